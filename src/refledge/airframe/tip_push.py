"""What a load case does to an arm up and down: at its tip, and to its own plastic on the way."""

from dataclasses import dataclass

from refledge.airframe.assessment import Assessment
from refledge.airframe.grown_strength import arm_loads
from refledge.airframe.statics import CaseResult
from refledge.model.parts import FrameDesign


@dataclass(frozen=True)
class TipPush:
    """Upwards, of one arm."""

    arm: int
    force: float  # N, at the motor axis
    own: float  # N/m, of the arm's own plastic, as felt at its middle

    def at_tip(self, length: float) -> float:
        """Force at the tip, N, that bends the arm's root as much; length: root to motor axis, m."""
        return self.force + self.own * length / 2


def tip_pushes(frame: FrameDesign, found: Assessment, result: CaseResult) -> tuple[TipPush, ...]:
    """One for each arm."""
    middle = frame.clamp.root_radius + frame.arm.length / 2
    made = []
    for arm, load in enumerate(arm_loads(found.structure, result)):
        felt = load[8] - load[10] * middle
        line = _mass(found, arm) / frame.arm.length
        made.append(TipPush(arm, float(load[2]), float(felt) * line))
    return tuple(made)


def _mass(found: Assessment, arm: int) -> float:
    """Of one arm's beams, kg."""
    structure = found.structure
    rows = structure.beams_of("arm", arm)
    return sum(structure.bars[row].mass(structure.frame.nodes) for row in rows)
