"""Skid across the ends of a front and a rear leg, on the left; the right one is the same, turned.

Origin half-way between the two legs' own, level with them: x to the nose, y outwards, z up.
"""

from math import cos, pi, sin

import numpy as np

from refledge.errors import GeometryError
from refledge.geometry import kernel as solid_kernel
from refledge.geometry.drill import clearance, screw_of
from refledge.geometry.foot import cup_bodies
from refledge.geometry.kernel import Solid
from refledge.geometry.leg import leg_bolts, leg_line
from refledge.geometry.port import Kernel
from refledge.geometry.profile import Loop, Point, circle, rounded
from refledge.model.fasteners import Hardware, Screw
from refledge.model.gear import SkidDesign
from refledge.model.parts import FrameDesign
from refledge.typed import Floats

LAP_PITCH = 10.0
"""Between the two bolts of the joint, over the screw's diameter. Our choice."""
EDGE = 1.2e-3
"""Plastic beyond a washer, m. Our choice."""
TIP = 8e-3
"""Most that the bar's ends rise from the ground, at 45 degrees, m: they print without support."""
_PAST = 1e-3  # cutters reach this far beyond what they cut, m


def skid_of(frame: FrameDesign) -> SkidDesign:
    """The frame's skids; raises GeometryError where it has none."""
    if frame.skid is None:
        raise GeometryError("this frame has no skids; next: frame.gear")
    return frame.skid


def skid_keys(skid: SkidDesign | None) -> tuple[str, ...]:
    """Part keys that make up one skid."""
    if skid is None:
        return ()
    return ("skid_front", "skid_rear") if skid.lap else ("skid",)


def lap_of_skid(screw: Screw) -> float:
    """Length of the joint between two parts of a skid, m."""
    return LAP_PITCH * screw.diameter + screw.washer_diameter + 2 * EDGE


def skid_line(frame: FrameDesign, hardware: Hardware) -> tuple[float, float, float]:
    """Half the distance between the legs' ends, m; the bar's middle, y, and its underside, z."""
    skid, (_, (out, low)) = skid_of(frame), leg_line(frame, hardware)
    return (leg_bolts(frame) + out) * cos(skid.turn), out * sin(skid.turn), low - skid.sole


def skid_rise(skid: SkidDesign) -> float:
    """How far the bar's ends rise from the ground, and over which length, m."""
    return min(TIP, skid.height - 2e-3)


def skid_bolts(frame: FrameDesign, hardware: Hardware) -> tuple[Point, Point]:
    """Bolts through the joint, across the bar: (x, z), m."""
    skid = skid_of(frame)
    x = LAP_PITCH * screw_of(hardware, skid.screw).diameter / 2
    z = skid_line(frame, hardware)[2] + skid.height / 2
    return (x, z), (-x, z)


def make_skid(
    key: str, frame: FrameDesign, hardware: Hardware, kernel: Kernel = solid_kernel
) -> Solid:
    """The whole skid, or one part of it: ``skid``, ``skid_front`` or ``skid_rear``."""
    skid = skid_of(frame)
    if key not in skid_keys(skid):
        raise GeometryError(f"no part {key} in this frame; known: {', '.join(skid_keys(skid))}")
    half, y, _ = skid_line(frame, hardware)
    solid = kernel.move(_bar(frame, hardware, kernel), np.eye(3), np.array([0.0, y, 0.0]))
    made, pockets = [solid], []
    for rear in (False, True):
        sleeve, sole, pocket = cup_bodies(frame, skid, hardware, kernel, "skid")
        put = _leg_pose(frame, rear)
        made += [kernel.move(each, *put) for each in (sleeve, sole)]
        pockets.append(kernel.move(pocket, *put))
    solid = kernel.cut(kernel.fuse(*made), *pockets)
    if skid.lap:
        solid = _part(key, solid, frame, hardware, kernel)
    return kernel.checked(solid, f"{key} ({2 * (half + skid.nose) * 1e3:.1f} mm long)")


def _leg_pose(frame: FrameDesign, rear: bool) -> tuple[Floats, Floats]:
    """Rotation (3, 3) and translation (3,), m, of a leg's axes in the skid's."""
    turn = skid_of(frame).turn
    angle = pi - turn if rear else turn
    c, s = cos(angle), sin(angle)
    rotation = np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])
    return rotation, np.array([leg_bolts(frame) * c, 0.0, 0.0])


def _bar(frame: FrameDesign, hardware: Hardware, kernel: Kernel) -> Solid:
    skid = skid_of(frame)
    return kernel.extrude(_profile(frame, hardware), -skid.width / 2, skid.width / 2, axis="y")


def _profile(frame: FrameDesign, hardware: Hardware) -> Loop:
    """The bar from the side, its lower corners cut off, in (x, z), m."""
    skid = skid_of(frame)
    half, _, low = skid_line(frame, hardware)
    end, top, rise = half + skid.nose, low + skid.height, skid_rise(skid)
    points: list[Point] = [
        (rise - end, low), (end - rise, low), (end, low + rise), (end, top), (-end, top),
        (-end, low + rise),
    ]  # fmt: skip
    return rounded(points, [3e-3, 3e-3, 0.0, 1e-3, 1e-3, 0.0])


def _part(key: str, whole: Solid, frame: FrameDesign, hardware: Hardware, kernel: Kernel) -> Solid:
    """One half with its tongue: the front part's on the outside, the rear part's on the inside."""
    skid = skid_of(frame)
    half, y, low = skid_line(frame, hardware)
    way, gap = (1.0 if key == "skid_front" else -1.0), frame.fit_gap
    far, top, wide = half + skid.nose + 0.1, low + skid.sleeve + skid.height + 0.1, 0.1
    end = skid.lap / 2
    beyond = sorted((-way * (end - gap), -way * far))
    beside = sorted((-way * (end + _PAST), way * end))
    across = sorted((y, y - way * wide))
    tools = [
        kernel.box((beyond[0], y - wide, low - _PAST), (beyond[1], y + wide, top)),
        kernel.box((beside[0], across[0], low - _PAST), (beside[1], across[1], top)),
    ]
    hole = clearance(screw_of(hardware, skid.screw), frame)
    tools += [
        kernel.extrude(circle(each, hole), y - wide, y + wide, axis="y")
        for each in skid_bolts(frame, hardware)
    ]
    return kernel.cut(whole, *tools)
