"""What growing, solving and sizing find, given beforehand, for tests of rounds."""

from dataclasses import dataclass, field, replace
from math import isnan
from types import SimpleNamespace
from typing import Any

import numpy as np

from refledge.airframe.statics import CaseResult
from refledge.errors import AnalysisError
from refledge.model.checks import Check, Verdict
from refledge.model.grown import LOADS, GrownCase
from refledge.shaping.figures import Figures, Moved
from refledge.shaping.loads import tip_loads
from refledge.shaping.result import Result
from refledge.shaping.rounds import Hands
from refledge.shaping.shape import Wish
from refledge.study import Study
from refledge.verify.results import SolidFigure


def check(key: str, margin: float, group: str = "strength", part: str = "arms") -> Check:
    answered = Verdict.FAILS if margin < 0 else Verdict.HOLDS
    verdict = Verdict.UNKNOWN if isnan(margin) else answered
    return Check(
        key=key, title=key, group=group, part=part, load_case="", demand=1.0,
        capacity=1.0 + margin, at_least=False, unit="1", shown="%", margin=margin, verdict=verdict,
        method="", source="",
    )  # fmt: skip


def framed(study: Study, *checks: Check, loads: float = 1.0) -> Study:
    """The study with these checks and every force ``loads`` times as great."""
    found = study.assessment
    results = tuple(replace(each, forces=loads * each.forces) for each in found.results)
    return replace(study, checks=checks, assessment=replace(found, results=results))


@dataclass
class Script:
    """What the ports give, and what they were asked."""

    study: Study
    frames: list[Study]
    voxels: list[float]
    """Use of strength of every load, growth by growth."""
    printed: float = 0.8
    """As printed, of every load case, without factor."""
    stop_after: int = 99
    """Growths."""
    stop_at: int = 99
    """Arms solved."""
    pieces: int = 99
    """Which growth falls to pieces."""
    unsolvable: int = 99
    """Which of those that are solved cannot be."""
    error: Exception | None = None
    volumes: tuple[float, ...] = ()
    """Of what is grown, m3; alike where none are given."""
    wishes: list[Wish] = field(default_factory=list)
    grounds: list[Study] = field(default_factory=list)
    solved: int = 0

    def hands(self) -> Hands:
        return Hands(self.grow, self.solve, self.frame, self.stopped)

    def stopped(self) -> bool:
        return len(self.wishes) >= self.stop_after or self.solved >= self.stop_at

    def grow(self, ground: Study, wish: Wish, number: int) -> Any:
        assert number == len(self.wishes) + 1
        self.grounds.append(ground)
        self.wishes.append(wish)
        if number == self.pieces:
            raise AnalysisError("in pieces")
        use = self.voxels[len(self.wishes) - 1]
        moved = tuple(
            Moved(each.name, 1.0, 1.0, 1.0, (1.0,) * 6, 0.0 if each.kind == "shake" else use)
            for each in tip_loads(ground)
        )
        shaped: Any = SimpleNamespace(
            after=Figures(0.07, moved, (30.0,)), wish=wish, budget=wish.mass or 0.075
        )
        printer = self.study.brief.printer
        volumes = self.volumes or (1e-4,) * len(self.voxels)
        body: Any = SimpleNamespace(volume=volumes[len(self.wishes) - 1], area=0.04)
        laid: Any = SimpleNamespace(
            size=(0.1, 0.02, printer.height / 2), support=SimpleNamespace(area=0.0)
        )
        return Result(ground, shaped, body, laid)

    def solve(self, ground: Study, _body: Any) -> Any:
        self.solved += 1
        if self.solved == self.unsolvable:
            raise AnalysisError("no mesh")
        cases = tuple(self._case(each) for each in ground.assessment.results)
        figures = tuple(
            SolidFigure(f"{each.case.title}: {what} of seat", "", size, 0.0, None)
            for each in ground.assessment.results
            for what, size in (("deflection", 1.2), ("tilt", 1.4))
        )
        return SimpleNamespace(
            use=self.printed, bears=SimpleNamespace(cases=cases), modes=(25.0,),
            verified=SimpleNamespace(figures=figures),
        )  # fmt: skip

    def _case(self, result: CaseResult) -> GrownCase:
        """Hovering uses most of flight, though full thrust stands for it; layers use most."""
        use = self.printed if result.case.key == "hover" else 0.9 * self.printed
        return GrownCase(
            title=result.case.title, kind=result.case.kind, load=np.zeros(len(LOADS)),
            plastic=use / 2, plastic_error=0.0, layers=use, layers_error=0.0,
            buckling=0.1, buckling_error=0.0, by_hand=False,
        )  # fmt: skip

    def frame(self, _arm: Any) -> Study:
        if self.error:
            raise self.error
        return self.frames[self.solved - 1]
