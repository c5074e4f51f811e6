"""The printed side of each joint: what clamps bear, inserts hold and screws tear."""

from collections.abc import Mapping
from math import hypot

from refledge.airframe.clamp import washer_area
from refledge.airframe.working import Working
from refledge.analysis.joints import bolt_preload
from refledge.model.fasteners import Hardware
from refledge.model.parts import FrameDesign

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


def bolt_share(force: float, moment: float, pitch_x: float, pitch_y: float) -> float:
    """Force on the hardest-loaded of four bolts two by two, N: force with moment in their plane.

    Elastic bolt group (Shigley, shear joints with eccentric loading): moment times half diagonal
    over the sum of squared distances.
    """
    diagonal = hypot(pitch_x, pitch_y) / 2
    return abs(force) / 4 + abs(moment) / (4 * diagonal)
