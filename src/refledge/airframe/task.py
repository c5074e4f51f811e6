"""What sizing works from: one brief, one layout kind, one set of operating points."""

from collections.abc import Mapping
from dataclasses import dataclass

from refledge.airframe.bolting import Lengths
from refledge.airframe.working import Working
from refledge.flight.rotor import RotorModel
from refledge.model.brief import Brief
from refledge.model.fasteners import Hardware
from refledge.model.flight import OperatingPoint, SpeedRange
from refledge.model.grown import GrownArm
from refledge.model.materials import MaterialCard


@dataclass(frozen=True, eq=False, kw_only=True)
class Task:
    """Everything that stays fixed while a frame is sized for one all-up mass."""

    brief: Brief
    kind: str
    angles: tuple[float, ...]
    paired: bool
    cards: Mapping[str, MaterialCard]
    materials: Mapping[str, Working]
    hardware: Hardware
    lengths: Lengths
    rotor: RotorModel
    hover: OperatingPoint
    full: OperatingPoint
    speeds: SpeedRange
    all_up_mass: float
    ratios: Mapping[str, float]
    """Mass of each solid over its estimate, once solids have been made."""
    grown: GrownArm | None = None
    """The arm that the brief names, where it names one."""

    @property
    def landing_mass(self) -> float:
        """kg; a slung payload is on the ground before the legs are."""
        payload = self.brief.payload
        return self.all_up_mass - (payload.mass if payload.slung else 0.0)

    @property
    def excited(self) -> tuple[float, ...]:
        """Once-per-revolution and blade-pass frequencies in hover, Hz."""
        turns = [speed / 6.283185307179586 for speed in self.speeds.hover_speeds]
        return tuple(turns) + tuple(self.speeds.blades * turn for turn in turns)
