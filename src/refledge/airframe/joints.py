"""The printed side of each joint: what clamps bear, inserts hold and screws tear."""

from collections.abc import Mapping
from math import hypot

from refledge.airframe.bolting import grip_of_clamp
from refledge.airframe.clamp_rings import washer_area
from refledge.airframe.working import Working
from refledge.analysis.joints import bolt_preload, clamped_stiffness
from refledge.model.fasteners import Hardware
from refledge.model.parts import FrameDesign

STEEL_E = 205e9
"""Pa, handbook value."""
LEAST_PRELOAD = 0.6
"""Preload left after creep over preload at first: common practice, no source."""
WASHER_SHARE = 0.2
"""Pressure under washers over strength, so that creep leaves a preload: common practice."""


def clamp_preload(
    frame: FrameDesign, materials: Mapping[str, Working], hardware: Hardware
) -> float:
    """Preload of each clamp bolt, N: the steel's limit or the plastic's under the washer."""
    screw = hardware.screws[frame.clamp.screw]
    steel = float(bolt_preload(screw.stress_area, screw.proof_stress))
    plate = materials[frame.plate.material]
    return min(steel, WASHER_SHARE * plate.strength_xy * washer_area(screw))


def joint_stiffnesses(
    frame: FrameDesign, materials: Mapping[str, Working], hardware: Hardware
) -> tuple[float, float]:
    """Clamp bolt and the plastic it squeezes, N/m."""
    screw, block = hardware.screws[frame.clamp.screw], materials[frame.plate.material]
    grip = grip_of_clamp(frame)
    plastic = clamped_stiffness(block.E_z, screw.washer_diameter, screw.clearance_hole, grip)
    return STEEL_E * screw.stress_area / grip, float(plastic)


def bolt_share(force: float, moment: float, pitch_x: float, pitch_y: float) -> float:
    """Force on the hardest-loaded of four bolts two by two, N: force with moment in their plane.

    Elastic bolt group (Shigley, shear joints with eccentric loading): moment times half diagonal
    over the sum of squared distances.
    """
    diagonal = hypot(pitch_x, pitch_y) / 2
    return abs(force) / 4 + abs(moment) / (4 * diagonal)
