"""A grown arm from study to bed, for what writes it."""

from dataclasses import dataclass, replace

from refledge.model.results import PartSpec
from refledge.printing.mass import printed_mass
from refledge.shaping.aloft import Aloft
from refledge.shaping.printable import Laid, Printable
from refledge.shaping.reanalysis import ArmFound
from refledge.shaping.shape import Shaped
from refledge.study import Study


@dataclass(frozen=True, eq=False)
class Result:
    """Everything found."""

    study: Study
    shaped: Shaped
    body: Printable
    laid: Laid
    solids: tuple[ArmFound, ArmFound] | None = None
    """The present and the grown arm solved again as printed, in one way; None if not asked for."""
    aloft: Aloft | None = None
    """The airframe with grown arms; None where the arm was not solved again, or ``grounded``."""
    grounded: str = ""
    """Why the airframe with grown arms could not be solved."""

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
