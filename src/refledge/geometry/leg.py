"""Landing leg; origin midway between its two bolts on the flange's top, x outwards, z up."""

from math import hypot

from refledge.errors import GeometryError
from refledge.geometry import kernel as solid_kernel
from refledge.geometry.drill import clearance, drills, screw_of
from refledge.geometry.holes import LEAST_LIGAMENT
from refledge.geometry.kernel import Solid
from refledge.geometry.port import Kernel
from refledge.geometry.profile import Loop, Point, circle, rounded
from refledge.model.fasteners import Hardware, Screw
from refledge.model.parts import FrameDesign

FILLET = 3e-3
"""Fillet where strut meets flange, m. Our choice."""
LAP_EDGE = 1.2e-3
"""Plastic outside the washers of a joint, along the strut, m: our choice, as on the arms' laps."""
_EDGE = 0.5e-3  # clear space round the washer, m: our choice


def leg_bolts(frame: FrameDesign) -> float:
    """Radius of the outer clamp bolts, from which the legs hang, m."""
    return frame.clamp.root_radius + frame.clamp.first + frame.clamp.pitch_x


def plate_reach(frame: FrameDesign) -> float:
    """From the outer clamp bolts to the outer edge of plates and root blocks, m."""
    return frame.arm.root_length - frame.clamp.first - frame.clamp.pitch_x


def leg_line(frame: FrameDesign, hardware: Hardware) -> tuple[Point, Point]:
    """Middle of the strut at the flange's underside and of the foot on the ground, (x, z) in m."""
    leg = frame.leg
    x = strut_inner(screw_of(hardware, frame.clamp.screw)) + leg.depth_top / 2
    return (x, -leg.flange_thickness), (x + leg.splay, -leg.height)


def bolt_edge(screw: Screw) -> float:
    """From the middle of the bolts to the flange's inner edge, m."""
    return screw.washer_diameter / 2 + _EDGE


def strut_inner(screw: Screw) -> float:
    """Inner face of the strut where it leaves the flange: clear of washers and fillet, m."""
    return bolt_edge(screw) + FILLET


def leg_profile(frame: FrameDesign, hardware: Hardware) -> Loop:
    """Flange and strut in (x, z), m; the foot is a half round that touches the ground."""
    leg = frame.leg
    (x0, z0), (x1, z1) = leg_line(frame, hardware)
    back = -bolt_edge(screw_of(hardware, frame.clamp.screw))
    out, front = x0 + leg.depth_top / 2, x0 - leg.depth_top / 2
    lean = hypot(x1 - x0, z1 - z0) / abs(z1 - z0)
    half = leg.depth_foot / 2 * lean
    points: list[Point] = [(back, 0.0), (back, z0), (front, z0)]
    inner, outer = _swell(frame, hardware)
    points += [*inner, (x1 - half, z1), (x1 + half, z1), *outer, (out, z0), (out, 0.0)]
    round_foot, swell = 0.45 * 2 * half, [FILLET] * len(inner)
    radii = [0.5e-3, 1e-3, FILLET, *swell, round_foot, round_foot, *swell, FILLET, 0.5e-3]
    return rounded(points, radii)


def _swell(frame: FrameDesign, hardware: Hardware) -> tuple[list[Point], list[Point]]:
    """Corners of the deeper stretch round a joint, downwards inside, upwards outside, m; none on a
    leg in one piece. Its ends slope by 45 degrees."""
    leg = frame.leg
    if not leg.split:
        return [], []
    (x0, z0), (x1, z1) = leg_line(frame, hardware)
    long = hypot(x1 - x0, z1 - z0)
    along = ((x1 - x0) / long, (z1 - z0) / long)
    ends = []
    for s, out in ((leg.split - leg.lap / 2, -1), (leg.split + leg.lap / 2, 1)):
        depth = leg.depth_top + (leg.depth_foot - leg.depth_top) * s / long
        ramp = (leg.lap_depth - depth) / 2
        pair = [(s + out * ramp, depth / 2), (s, leg.lap_depth / 2)]
        ends += pair if out < 0 else pair[::-1]

    def at(s: float, aside: float) -> Point:
        return (x0 + s * along[0] - aside * along[1], z0 + s * along[1] + aside * along[0])

    return [at(s, -half) for s, half in ends], [at(s, half) for s, half in ends[::-1]]


def lap_bolts(frame: FrameDesign, hardware: Hardware) -> list[Point]:
    """The joint's two bolts, from the upper to the lower, (x, z) in m; none in one piece."""
    leg = frame.leg
    if not leg.split:
        return []
    (x0, z0), (x1, z1) = leg_line(frame, hardware)
    long = hypot(x1 - x0, z1 - z0)
    out = leg.lap / 2 - screw_of(hardware, leg.lap_screw).washer_diameter / 2 - LAP_EDGE
    shares = [(leg.split + k * out) / long for k in (-1, 1)]
    return [(x0 + share * (x1 - x0), z0 + share * (z1 - z0)) for share in shares]


def _cross_drills(frame: FrameDesign, hardware: Hardware, kernel: Kernel) -> list[Solid]:
    """Tools for the joint's two bolts, across the leg."""
    if not frame.leg.split:
        return []
    hole = clearance(screw_of(hardware, frame.leg.lap_screw), frame)
    half = frame.leg.thickness
    return [
        kernel.extrude(circle(each, hole), -half, half, axis="y")
        for each in lap_bolts(frame, hardware)
    ]


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
    tools = drills(kernel, bolts, hole, -leg.flange_thickness, 0.0)
    solid = kernel.cut(blank, *tools, *_cross_drills(frame, hardware, kernel))
    return kernel.checked(solid, f"leg ({leg.height * 1e3:.1f} mm high)")
