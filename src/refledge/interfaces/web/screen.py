"""What stands on the screen: the last full design, held under the numbers of the moment."""

from collections.abc import Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field

from refledge.errors import AnalysisError, FlightError, GeometryError, InputError
from refledge.interfaces.web.refusals import BusyError
from refledge.interfaces.web.results_doc import Standing
from refledge.interfaces.web.session import Session, digest
from refledge.live.dimensions import ByHand, Dimension, dimensions, value_at
from refledge.live.drawn import Drawn, drawn_of
from refledge.live.evaluate import Held, evaluate
from refledge.live.follow import mesh_names
from refledge.model.brief import Brief
from refledge.study import Study
from refledge.verify.results import Verified

CANNOT = (AnalysisError, FlightError, GeometryError)
"""What a valid brief may still come to."""


_COMPUTING = ThreadPoolExecutor(1, "computing")
"""One thread for every solve: a sparse factor that is let go of in another thread than the one that
made it is never freed (SuperLU's memory is kept by thread), a megabyte or two for each edit."""

_Asked = tuple[Study, Drawn, Brief, dict[str, float]]


def _same(one: _Asked, other: _Asked) -> bool:
    """Studies and solids are told apart by identity, brief and dimensions by value."""
    return one[0] is other[0] and one[1] is other[1] and one[2:] == other[2:]


@dataclass
class Screen:
    """Mutable, and owned by the workbench, which holds a lock whenever it touches it."""

    last: Study | None = None
    """The last full design, of whatever brief."""
    drawn: Drawn | None = None
    """The solids at hand."""
    held: Held | None = None
    """What is shown; None where nothing can be computed."""
    why_not: str = "The frame has not been sized yet."
    sizing: str = "wanted"
    solids: str = "current"
    verified: Verified | None = None
    verified_key: str = ""
    meshes: dict[str, str] = field(default_factory=dict)
    """Key of each mesh at hand to the name of its contents."""

    _asked: _Asked | None = None
    _known: Held | None = None

    @property
    def study(self) -> Study | None:
        return self.held.study if self.held else None

    def sized_as(self, study: Study) -> None:
        """A full design has come in."""
        self.last, self.sizing = study, "current"
        self.draw(drawn_of(study))

    def draw(self, drawn: Drawn) -> None:
        """New solids are at hand."""
        self.drawn, self.solids = drawn, "current"
        self.meshes = mesh_names(drawn.assembly)

    def redrawn(self, before: Mapping[str, str]) -> list[str]:
        """Keys of the meshes that had another name, or none, ``before``."""
        return sorted(key for key, name in self.meshes.items() if before.get(key) != name)

    def look(self, session: Session) -> None:
        """Compute anew what the session's brief and dimensions make of the frame at hand."""
        if self.last is None or self.drawn is None:
            return
        try:
            self.held = self.found(session.brief, session.by_hand)
        except (*CANNOT, InputError) as error:
            self.held, self.why_not = None, str(error)
            return
        if self.held.sized:
            self.sized_as(self.last)
        elif not self.held.drawn:
            self.solids = "following"
        else:
            self.solids = "current"

    def found(self, brief: Brief, by_hand: ByHand) -> Held:
        """What they make of the frame at hand; the newest answer is remembered."""
        if self.last is None or self.drawn is None:
            raise BusyError("the frame has not been sized yet")
        asked = (self.last, self.drawn, brief, dict(by_hand))
        if self._asked is None or not _same(self._asked, asked):
            computed = _COMPUTING.submit(evaluate, self.last, self.drawn, brief, by_hand)
            self._known = computed.result()
            self._asked = asked
        assert self._known is not None  # set with what was asked
        return self._known

    def wants_sizing(self, session: Session) -> bool:
        """Whether a full design of the session's brief is still to be made."""
        return not session.by_hand and not (self.held and self.held.sized)

    def standing(self, session: Session) -> Standing:
        """How far the results are from a full design."""
        if self.held is None:
            return Standing("none", self.sizing, self.solids, self.why_not)
        basis = "sized" if self.held.sized else "by hand" if session.by_hand else "held"
        extra = self.verified.checks if self.verified and self.is_verified(session) else ()
        return Standing(basis, self.sizing, self.solids, extra=extra)

    def is_verified(self, session: Session) -> bool:
        """Whether the solid verification speaks of what is shown."""
        return self.verified is not None and self.verified_key == key_of(session)

    def dimensions(self) -> tuple[Dimension, ...]:
        """Dimensions of the frame shown."""
        if self.held is None:
            return ()
        return tuple(dimensions(self.held.study.task, self.held.study.frame))

    def sized_value(self, path: str) -> float | None:
        """What sizing gave a dimension, m."""
        return value_at(self.last.frame, path) if self.last else None


def key_of(session: Session) -> str:
    """Name of what is to be computed: the brief's text and the dimensions set by hand."""
    by_hand = ",".join(f"{path}={value!r}" for path, value in sorted(session.by_hand.items()))
    return digest(f"{session.text}\n{by_hand}")
