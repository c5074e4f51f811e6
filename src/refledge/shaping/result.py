"""A grown arm from study to bed, for what writes it."""

from dataclasses import dataclass, replace

from refledge.model.frame_figures import FrameFigures
from refledge.model.results import PartSpec
from refledge.printing.mass import printed_mass
from refledge.shaping.printable import Laid, Printable
from refledge.shaping.reanalysis import ArmFound
from refledge.shaping.shape import Shaped
from refledge.study import Study


@dataclass(frozen=True, kw_only=True)
class InFrame:
    """The arm of one growth in the airframe sized round it."""

    loads: float
    """Greatest ratio of a load case's force on the tip to that with the drawn arm (1)."""
    use: float
    """Greatest use of the arms' strength, factors in (1)."""
    first_mode: float
    """Of the free airframe, Hz."""
    all_up_mass: float
    """kg."""
    lacking: tuple[str, ...]
    """Keys of checks that fail, or that the mesh error leaves open."""


@dataclass(frozen=True, kw_only=True)
class Round:
    """What one growth came to."""

    number: int
    loads: float
    """It grew under, the greatest over that of the airframe with the drawn arm (1)."""
    allowed: float | None
    """kg, what it might weigh, solid throughout; None where least mass was sought."""
    mass: float
    """kg, as printed."""
    voxel_use: float
    """Greatest use of strength by voxels, after the first round times what was more as printed."""
    use: float | None
    """Greatest use as printed under those loads; None where the voxels said enough."""
    framed: InFrame | None
    """None where it was not solved as printed, or no airframe can have it."""


@dataclass(frozen=True, eq=False)
class Result:
    """Everything found."""

    study: Study
    """The airframe with the arm that it is grown in place of."""
    shaped: Shaped
    body: Printable
    laid: Laid
    solids: tuple[ArmFound, ArmFound] | None = None
    """The present and the grown arm solved again as printed, in one way; None if not asked for."""
    framed: Study | None = None
    """The airframe sized round the grown arm; None where that was not solved, or ``grounded``."""
    grounded: str = ""
    """Why no airframe can have the grown arm."""
    frames: tuple[FrameFigures, ...] = ()
    """Figures of the airframe with the drawn arm and of the one with the grown arm, where made."""
    rounds: tuple[Round, ...] = ()
    """Every growth, the one that was kept among them; empty where it was not solved."""

    @property
    def present(self) -> PartSpec:
        """The arm as it was sized."""
        return next(spec for spec in self.study.parts if spec.key == "arm")

    @property
    def spec(self) -> PartSpec:
        """The grown arm as it goes on the list."""
        brief, old = self.study.brief, self.present
        rho = self.study.task.materials[old.material].rho
        mass = printed_mass(self.body.volume, self.body.area, rho, brief.frame, brief.printer)
        bed = brief.printer
        long, short = sorted(self.laid.size[:2], reverse=True)
        fits = long <= bed.bed_length and short <= bed.bed_width and self.laid.size[2] <= bed.height
        return replace(
            old,
            name="grown arm",
            volume=self.body.volume,
            mass=mass,
            size=self.laid.size,
            print_note=self._note(),
            fits_bed=bool(fits),
        )

    def _note(self) -> str:
        area = self.laid.support.area
        if area == 0.0:
            return "top face down; no support"
        return f"top face down; {area * 1e4:.1f} cm² rest on support"
