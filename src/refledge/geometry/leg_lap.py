"""The joint of a leg in two parts: tongues side by side in a wider stretch of the strut, two bolts
across.

The upper part keeps the right-hand half (y < 0), the lower part the left-hand half.
"""

from dataclasses import dataclass
from math import atan2, cos, hypot, sin

import numpy as np

from refledge.errors import GeometryError
from refledge.geometry import kernel as solid_kernel
from refledge.geometry.drill import screw_of
from refledge.geometry.kernel import Solid
from refledge.geometry.leg import LAP_EDGE, leg_line, make_leg
from refledge.geometry.port import Kernel
from refledge.geometry.profile import Point
from refledge.model.fasteners import Hardware
from refledge.model.parts import FrameDesign

_FAR = 1.0  # m; cutters reach beyond everything


@dataclass(frozen=True)
class LegLap:
    """Where the joint lies in the leg's (x, z), m."""

    middle: Point
    along: Point
    """Unit vector down the strut."""
    half: float
    """Half its length along the strut."""


def leg_lap(frame: FrameDesign, hardware: Hardware) -> LegLap:
    """Of a leg in two parts; raises GeometryError for one in one piece, or without room."""
    leg = frame.leg
    if not leg.split:
        raise GeometryError("this frame's legs are in one piece")
    screw = screw_of(hardware, leg.lap_screw)
    (x0, z0), (x1, z1) = leg_line(frame, hardware)
    long = hypot(x1 - x0, z1 - z0)
    along = ((x1 - x0) / long, (z1 - z0) / long)
    middle = (x0 + leg.split * along[0], z0 + leg.split * along[1])
    out = leg.lap / 2 - screw.washer_diameter / 2 - LAP_EDGE
    ramp = (leg.lap_depth - leg.depth_foot) / 2
    if out < screw.washer_diameter / 2 or not leg.lap / 2 + ramp < leg.split < long - leg.lap / 2:
        raise GeometryError(
            f"leg: no room for a joint {leg.lap * 1e3:.1f} mm long in a strut "
            f"{long * 1e3:.1f} mm long"
        )
    return LegLap(middle, along, leg.lap / 2)


def make_leg_part(
    which: str, frame: FrameDesign, hardware: Hardware, kernel: Kernel = solid_kernel
) -> Solid:
    """``upper`` or ``lower`` part of a leg, in the axes of the whole."""
    lap, gap, deep = leg_lap(frame, hardware), frame.fit_gap, 4 * frame.leg.lap_depth
    whole = make_leg(frame, hardware, kernel)
    if which == "upper":
        off = [(-lap.half, _FAR, 0.0, _FAR), (lap.half - gap, _FAR, -_FAR, 0.0)]
    else:
        off = [(-_FAR, lap.half, -_FAR, 0.0), (-_FAR, gap - lap.half, 0.0, _FAR)]
    tools = [_block(lap, each, deep, kernel) for each in off]
    return kernel.checked(kernel.cut(whole, *tools), f"{which} part of a leg")


def _block(
    lap: LegLap, span: tuple[float, float, float, float], deep: float, kernel: Kernel
) -> Solid:
    """From s0 to s1 along the strut about the joint's middle and from y0 to y1, m; ``deep`` to
    either side of the strut."""
    s0, s1, y0, y1 = span
    box = kernel.box((s0, y0, -deep), (s1, y1, deep))
    turn = atan2(lap.along[1], lap.along[0])
    c, s = cos(turn), sin(turn)
    rotation = np.array([[c, 0.0, -s], [0.0, 1.0, 0.0], [s, 0.0, c]])
    return kernel.move(box, rotation, np.array([lap.middle[0], 0.0, lap.middle[1]]))
