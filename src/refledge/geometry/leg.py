"""Landing leg; origin midway between its two bolts on the flange's top, x outwards, z up."""

from math import hypot

from refledge.errors import GeometryError
from refledge.geometry import kernel as solid_kernel
from refledge.geometry.drill import clearance, drills, screw_of
from refledge.geometry.holes import LEAST_LIGAMENT
from refledge.geometry.kernel import Solid
from refledge.geometry.port import Kernel
from refledge.geometry.profile import Loop, Point, rounded
from refledge.model.fasteners import Hardware
from refledge.model.parts import FrameDesign

FILLET = 3e-3
"""Fillet where strut meets flange, m. Our choice."""
_EDGE = 0.5e-3  # clear space round the washer, m: our choice


def leg_bolts(frame: FrameDesign) -> float:
    """Radius of the outer clamp bolts, from which the legs hang, m."""
    return frame.clamp.root_radius + frame.clamp.first + frame.clamp.pitch_x


def leg_line(frame: FrameDesign, hardware: Hardware) -> tuple[Point, Point]:
    """Middle of the strut at the flange's underside and of the foot on the ground, (x, z) in m."""
    leg = frame.leg
    x = _inner(frame, hardware) + leg.depth_top / 2
    return (x, -leg.flange_thickness), (x + leg.splay, -leg.height)


def _inner(frame: FrameDesign, hardware: Hardware) -> float:
    """Inner face of the strut where it leaves the flange: clear of washers and fillet, m."""
    return screw_of(hardware, frame.clamp.screw).washer_diameter / 2 + _EDGE + FILLET


def leg_profile(frame: FrameDesign, hardware: Hardware) -> Loop:
    """Flange and strut in (x, z), m; the foot is a half round that touches the ground."""
    leg = frame.leg
    (x0, z0), (x1, z1) = leg_line(frame, hardware)
    back = -(screw_of(hardware, frame.clamp.screw).washer_diameter / 2 + _EDGE)
    out, front = x0 + leg.depth_top / 2, x0 - leg.depth_top / 2
    lean = hypot(x1 - x0, z1 - z0) / abs(z1 - z0)
    half = leg.depth_foot / 2 * lean
    points: list[Point] = [(back, 0.0), (back, z0), (front, z0)]
    points += [(x1 - half, z1), (x1 + half, z1), (out, z0), (out, 0.0)]
    round_foot = 0.45 * 2 * half
    return rounded(points, [0.5e-3, 1e-3, FILLET, round_foot, round_foot, FILLET, 0.5e-3])


def make_leg(frame: FrameDesign, hardware: Hardware, kernel: Kernel = solid_kernel) -> Solid:
    """The flat profile, as wide as the leg is thick, with two holes through the flange."""
    leg, hole = frame.leg, clearance(screw_of(hardware, frame.clamp.screw), frame)
    room = (leg.thickness - frame.clamp.pitch_y - hole) / 2
    if room < LEAST_LIGAMENT - 1e-9:
        raise GeometryError(
            f"leg: {room * 1e3:.2f} mm beside bolts {frame.clamp.pitch_y * 1e3:.1f} mm apart in a "
            f"leg {leg.thickness * 1e3:.1f} mm thick"
        )
    half = leg.thickness / 2
    blank = kernel.extrude(leg_profile(frame, hardware), -half, half, axis="y")
    bolts = [(0.0, frame.clamp.pitch_y / 2), (0.0, -frame.clamp.pitch_y / 2)]
    solid = kernel.cut(blank, *drills(kernel, bolts, hole, -leg.flange_thickness, 0.0))
    return kernel.checked(solid, f"leg ({leg.height * 1e3:.1f} mm high)")
