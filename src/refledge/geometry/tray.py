"""Battery tray; origin in the middle of the face against the lower plate, x along it, z up."""

from refledge.errors import GeometryError
from refledge.geometry import kernel as solid_kernel
from refledge.geometry.drill import clearance, rectangle_of, screw_of
from refledge.geometry.holes import Hole, check_holes
from refledge.geometry.kernel import Solid
from refledge.geometry.port import Kernel
from refledge.geometry.profile import Loop, Point, rectangle, rounded
from refledge.model.fasteners import Hardware, Screw
from refledge.model.parts import FrameDesign, TrayDesign

SLOT = 3e-3
"""Slot across the strap, m: a hook-and-loop strap folded once; from memory, typical."""
STRAP_PLAY = 1e-3
"""Slot longer than the strap is wide, m. Our choice."""
LIP = 2e-3
"""Plastic outside a slot, m. Our choice."""
GROOVE = 1.2e-3
"""Depth of the groove that lets the strap pass under the plate, m; from memory, typical."""
SINK = 2.24
"""Theoretical head diameter of a countersunk screw over its thread, ISO 10642; from memory."""
STRAP_STATION = 0.3
"""Straps stand this share of the length from the middle. Our choice."""
_CORNER = 1.5e-3  # outer corners, m


def fence_wall(tray: TrayDesign) -> float:
    """Thickness of the fences, m: that of the tray's plate."""
    return tray.thickness


def sink_depth(screw: Screw) -> float:
    """Height at which a countersink, whose sides stand at 45 degrees, runs into its bore, m."""
    return (SINK * screw.diameter - screw.clearance_hole) / 2


def bore_top(tray: TrayDesign, x: float, hole: float) -> float:
    """Height at which a ``hole`` at ``x`` comes out, m: in a strap groove, if it meets one."""
    reach = (tray.strap_width + STRAP_PLAY + hole) / 2
    in_groove = abs(abs(x) - STRAP_STATION * tray.length) < reach
    return -groove_depth(tray) if in_groove else 0.0


def groove_depth(tray: TrayDesign) -> float:
    """Depth of the strap grooves, m."""
    return min(GROOVE, 0.4 * tray.thickness)


def make_tray(frame: FrameDesign, hardware: Hardware, kernel: Kernel = solid_kernel) -> Solid:
    """Plate with ears for the straps, fences outside the battery, sunk screw holes."""
    tray = frame.tray
    outline, screws = tray_outline(tray), _screw_holes(frame, hardware)
    slots = _slots(tray)
    check_holes("tray", outline, screws)
    holes = [*(each.loop for each in screws), *slots]
    plate = kernel.extrude(outline, -tray.thickness, 0.0, holes)
    whole = kernel.fuse(plate, *_fences(tray, kernel)) if tray.fence > 0 else plate
    tools = [*_grooves(tray, kernel), *_sinks(frame, hardware, kernel)]
    return kernel.checked(kernel.cut(whole, *tools), f"tray ({tray.length * 1e3:.1f} mm long)")


def tray_outline(tray: TrayDesign) -> Loop:
    """Plate with four ears that close the strap slots, m."""
    x, y, ear = tray.length / 2, tray.width / 2 + fence_wall(tray), tray.width / 2 + SLOT - 1e-3
    ear, reach, s = max(y, ear + LIP), _ear_reach(tray), STRAP_STATION * tray.length
    if s - reach < 1e-3 or s + reach > x - 1e-3:
        raise GeometryError(
            f"tray: straps {tray.strap_width * 1e3:.1f} mm wide do not fit a tray "
            f"{tray.length * 1e3:.1f} mm long"
        )
    stations = [-x, -s - reach, -s - reach, -s + reach, -s + reach]
    stations += [s - reach, s - reach, s + reach, s + reach, x]
    levels = [y, y, ear, ear, y, y, ear, ear, y, y]
    if ear <= y:
        return rounded(rectangle(-x, x, -y, y), _CORNER)
    under: list[Point] = [(a, -b) for a, b in zip(stations, levels, strict=True)]
    return rounded([*under, *[(a, -b) for a, b in reversed(under)]], _CORNER)


def _ear_reach(tray: TrayDesign) -> float:
    return (tray.strap_width + STRAP_PLAY) / 2 + LIP


def _slots(tray: TrayDesign) -> list[Loop]:
    """Two pairs of slots, half a slot under the battery's upper edge so that the strap pulls in."""
    half, inner = (tray.strap_width + STRAP_PLAY) / 2, tray.width / 2 - 1e-3
    s = STRAP_STATION * tray.length
    shapes = [(x, y) for x in (-s, s) for y in (-inner - SLOT, inner)]
    return [rounded(rectangle(x - half, x + half, y, y + SLOT), 1e-3) for x, y in shapes]


def _fences(tray: TrayDesign, kernel: Kernel) -> list[Solid]:
    """Walls down both long sides, open where the straps run."""
    s, gap, x = STRAP_STATION * tray.length, _ear_reach(tray), tray.length / 2 - _CORNER
    spans = [(-x, -s - gap), (-s + gap, s - gap), (s + gap, x)]
    y0, low = tray.width / 2, -tray.thickness - tray.fence
    y1 = y0 + fence_wall(tray)
    walls = []
    for start, end in spans:
        for y in ((y0, y1), (-y1, -y0)):
            walls.append(kernel.box((start, y[0], low), (end, y[1], -tray.thickness / 2)))
    return walls


def _grooves(tray: TrayDesign, kernel: Kernel) -> list[Solid]:
    half, y = (tray.strap_width + STRAP_PLAY) / 2, tray.width / 2 + SLOT - 1e-3
    depth = groove_depth(tray)
    s = STRAP_STATION * tray.length
    return [kernel.box((x - half, -y, -depth), (x + half, y, 1e-3)) for x in (-s, s)]


def _screw_holes(frame: FrameDesign, hardware: Hardware) -> list[Hole]:
    tray, screw = frame.tray, screw_of(hardware, frame.tray.screw)
    points = rectangle_of(tray.pitch_x, tray.pitch_y)
    return [Hole(each, clearance(screw, frame), "screw") for each in points]


def _sinks(frame: FrameDesign, hardware: Hardware, kernel: Kernel) -> list[Solid]:
    """Right-angled cones whose wide end lies in the battery's face."""
    tray, screw = frame.tray, screw_of(hardware, frame.tray.screw)
    wide, depth = SINK * screw.diameter + frame.hole_allowance, (SINK - 1) * screw.diameter / 2
    if depth > tray.thickness - 0.2e-3:
        raise GeometryError(
            f"tray: screw heads {depth * 1e3:.1f} mm deep in a plate "
            f"{tray.thickness * 1e3:.1f} mm thick"
        )
    narrow, past = wide - 2 * depth, 0.5e-3
    points = rectangle_of(tray.pitch_x, tray.pitch_y)
    return [
        kernel.cone((x, y, -tray.thickness - past), wide + 2 * past, narrow, depth + past)
        for x, y in points
    ]
