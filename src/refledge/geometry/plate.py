"""Centre plates in body axes, their underside at z = 0."""

from dataclasses import replace
from math import cos, sin, sqrt

from refledge.errors import GeometryError
from refledge.geometry import kernel as solid_kernel
from refledge.geometry.drill import clearance, rectangle_of, screw_of
from refledge.geometry.hinge import leg_point, root_bolts, root_holes
from refledge.geometry.holes import LEAST_LIGAMENT, Hole, check_holes
from refledge.geometry.kernel import Solid
from refledge.geometry.outlines import pads, rim_windows
from refledge.geometry.port import Kernel
from refledge.geometry.profile import Loop, Point, circle, turned
from refledge.geometry.tray import SINK
from refledge.model.fasteners import Hardware, Screw
from refledge.model.layout import Layout
from refledge.model.parts import FrameDesign

CORNER = 3e-3
"""Rounding of the pads' far corners, m. Our choice."""
WINDOW_CORNER = 4e-3
"""Rounding between pads and rim, m. Our choice."""
FILLET_SHARE = 1 / 3
"""Fillet between pads over pad width: our choice; a wider one only fills the valley."""


def plate_outline(frame: FrameDesign, layout: Layout) -> Loop:
    """Core disc and one pad to each arm, far corners inside ``outer_radius``, m.

    All plates have these; a rim or a whole disc comes on top.
    """
    plate = frame.plate
    half = plate.arm_pad_width / 2
    if plate.outer_radius <= half:
        raise GeometryError(f"plate: outer radius {plate.outer_radius * 1e3:.1f} mm is inside pads")
    reach = sqrt(plate.outer_radius**2 - half**2)
    fillet, corner = FILLET_SHARE * plate.arm_pad_width, min(CORNER, 0.4 * half)
    angles = [float(each) for each in layout.arm_angles]
    return pads(angles, reach, plate.arm_pad_width, plate.core_radius, fillet, corner)


def _rim_windows(frame: FrameDesign, layout: Layout) -> list[Loop]:
    """Openings between core, pads and rim."""
    plate, angles = frame.plate, [float(each) for each in layout.arm_angles]
    fillet = FILLET_SHARE * plate.arm_pad_width
    inner = plate.outer_radius - plate.rim
    return rim_windows(angles, inner, plate.arm_pad_width, plate.core_radius, fillet, WINDOW_CORNER)


def plate_holes(frame: FrameDesign, layout: Layout, hardware: Hardware, which: str) -> list[Hole]:
    """Holes of the ``upper`` or ``lower`` plate in body axes."""
    bores = root_holes(frame, hardware) * layout.n_arms
    points = zip(clamp_points(frame, layout), bores, strict=True)
    holes = [Hole(each, bore, "clamp") for each, bore in points]
    if which == "upper":
        foot = clearance(screw_of(hardware, frame.seat.screw), frame)
        holes += [Hole(each, foot, "seat") for each in seat_points(frame)]
    else:
        tray = clearance(screw_of(hardware, frame.tray.screw), frame)
        holes += [Hole(each, tray, "tray") for each in tray_points(frame)]
        leg = clearance(screw_of(hardware, frame.clamp.screw), frame)
        holes += [Hole(each, leg, "leg") for each in leg_screws(frame, layout)]
    if frame.plate.centre_bore > 0:
        holes.append(Hole((0.0, 0.0), frame.plate.centre_bore, "centre"))
    return holes


def clamp_points(frame: FrameDesign, layout: Layout) -> list[Point]:
    """Every clamp bolt in body axes, m, four to an arm in order of arms, two to a folding one."""
    angles = map(float, layout.arm_angles)
    return [_in_body(each, frame, angle) for angle in angles for each in root_bolts(frame)]


def leg_screws(frame: FrameDesign, layout: Layout) -> list[Point]:
    """Screws that hold the legs of folding arms beside their pivots, in body axes, m."""
    if frame.hinge is None:
        return []
    angles = [float(layout.arm_angles[arm]) for arm in frame.leg.arms]
    return [_in_body(leg_point(frame.clamp), frame, angle) for angle in angles]


def _in_body(point: Point, frame: FrameDesign, angle: float) -> Point:
    """A point in the axes of the arm at ``angle`` (rad), in body axes, m."""
    x, y = turned(point, angle)
    return x + frame.clamp.root_radius * cos(angle), y + frame.clamp.root_radius * sin(angle)


def seat_points(frame: FrameDesign) -> list[Point]:
    """Screws up into the seat's posts, m."""
    seat = frame.seat
    return [turned(each, seat.turn) for each in rectangle_of(seat.foot_pitch, seat.foot_pitch)]


def tray_points(frame: FrameDesign) -> list[Point]:
    """Screws of the tray in body axes, m."""
    tray = frame.tray
    return [turned(each, tray.yaw) for each in rectangle_of(tray.pitch_x, tray.pitch_y)]


def make_plate(
    which: str,
    frame: FrameDesign,
    layout: Layout,
    hardware: Hardware,
    kernel: Kernel = solid_kernel,
) -> Solid:
    """The ``upper`` or ``lower`` centre plate; what a rim or a whole disc adds carries no holes."""
    outline = plate_outline(frame, layout)
    holes = plate_holes(frame, layout, hardware, which)
    screw = screw_of(hardware, frame.clamp.screw)
    wide = SINK * screw.diameter + frame.hole_allowance
    checked = [replace(h, diameter=wide) if h.name == "leg" else h for h in holes]
    check_holes(f"{which} plate", outline, checked)
    cut = [each.loop for each in holes]
    if frame.plate.style == "ring":
        cut += _rim_windows(frame, layout)
    if frame.plate.style != "spider":
        outline = circle((0.0, 0.0), 2 * frame.plate.outer_radius)
    solid = kernel.extrude(outline, 0.0, frame.plate.thickness, cut)
    if any(hole.name == "leg" for hole in holes):
        solid = kernel.cut(solid, *_sinks(frame, screw, layout, kernel))
    return kernel.checked(solid, f"{which} plate ({frame.plate.outer_radius * 1e3:.1f} mm radius)")


def least_sunk(screw: Screw) -> float:
    """Least thickness of a lower plate that takes the sunk heads of the legs' screws, m."""
    return (SINK - 1) * screw.diameter / 2 + LEAST_LIGAMENT


def _sinks(frame: FrameDesign, screw: Screw, layout: Layout, kernel: Kernel) -> list[Solid]:
    """Right-angled cones in the lower plate's upper face: folding arms sweep over those heads."""
    top, depth, past = frame.plate.thickness, (SINK - 1) * screw.diameter / 2, 0.5e-3
    if top < least_sunk(screw) - 1e-9:
        raise GeometryError(
            f"lower plate: the legs' sunk screw heads are {depth * 1e3:.1f} mm deep in a plate "
            f"{top * 1e3:.1f} mm thick; next: a thicker plate, or a smaller screw (frame.rod_screw)"
        )
    wide = SINK * screw.diameter + frame.hole_allowance
    return [
        kernel.cone((x, y, top - depth), wide - 2 * depth, wide + 2 * past, depth + past)
        for x, y in leg_screws(frame, layout)
    ]
