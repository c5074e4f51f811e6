"""Centre plates in body axes, their underside at z = 0."""

from math import cos, sin, sqrt

from refledge.errors import GeometryError
from refledge.geometry import kernel as solid_kernel
from refledge.geometry.drill import clamp_holes, clearance, rectangle_of, screw_of
from refledge.geometry.holes import Hole, check_holes
from refledge.geometry.kernel import Solid
from refledge.geometry.outlines import pads, rim_windows
from refledge.geometry.port import Kernel
from refledge.geometry.profile import Loop, Point, circle, turned
from refledge.model.fasteners import Hardware
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
    clamp = clearance(screw_of(hardware, frame.clamp.screw), frame)
    holes = [Hole(each, clamp, "clamp") for each in clamp_points(frame, layout)]
    if which == "upper":
        foot = clearance(screw_of(hardware, frame.seat.screw), frame)
        holes += [Hole(each, foot, "seat") for each in seat_points(frame)]
    else:
        tray = clearance(screw_of(hardware, frame.tray.screw), frame)
        holes += [Hole(each, tray, "tray") for each in tray_points(frame)]
    if frame.plate.centre_bore > 0:
        holes.append(Hole((0.0, 0.0), frame.plate.centre_bore, "centre"))
    return holes


def clamp_points(frame: FrameDesign, layout: Layout) -> list[Point]:
    """Every clamp bolt in body axes, m, four to an arm in order of arms."""
    points = []
    for angle in map(float, layout.arm_angles):
        shift = frame.clamp.root_radius * cos(angle), frame.clamp.root_radius * sin(angle)
        for each in clamp_holes(frame.clamp):
            x, y = turned(each, angle)
            points.append((x + shift[0], y + shift[1]))
    return points


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
    check_holes(f"{which} plate", outline, holes)
    cut = [each.loop for each in holes]
    if frame.plate.style == "ring":
        cut += _rim_windows(frame, layout)
    if frame.plate.style != "spider":
        outline = circle((0.0, 0.0), 2 * frame.plate.outer_radius)
    solid = kernel.extrude(outline, 0.0, frame.plate.thickness, cut)
    return kernel.checked(solid, f"{which} plate ({frame.plate.outer_radius * 1e3:.1f} mm radius)")
