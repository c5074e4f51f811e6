"""Battery tray; origin in the middle of the lower plate's underside, x along the tray, z up.

It lies flat on the plate with fences beside the battery, or stands off on bosses round its screws.
"""

from itertools import pairwise

from refledge.errors import GeometryError
from refledge.geometry import kernel as solid_kernel
from refledge.geometry.drill import clearance, drills, rectangle_of, screw_of, sinks
from refledge.geometry.holes import Hole, check_holes
from refledge.geometry.kernel import Solid
from refledge.geometry.port import Kernel
from refledge.geometry.profile import Loop, Point, polygon, rectangle, rounded
from refledge.model.fasteners import Hardware, Screw
from refledge.model.hung import TrayDesign
from refledge.model.parts import FrameDesign

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
BOSS_WALL = 1.6e-3
"""Least plastic round the screw in a boss, m: four lines of the usual nozzle. Our choice."""
FLARE = 4e-3
"""Height of the cone that eases each boss into the plate, m; as wide at most. Our choice: printed
upwards it narrows, and the plate's moment in the boss has half gone where it ends."""
EDGE = 0.5e-3
"""Left of the plate outside a cone, m. Our choice."""
WALL_SHORT = 0.3e-3
"""Walls between bosses end this far below the lower plate, m: the bosses bear on it. Our choice."""
SHELF_GAP = 1e-3
"""Between a shelf for payload rails and the ears beside it, m. Our choice."""
_CORNER = 1.5e-3  # outer corners, m


def fence_wall(tray: TrayDesign) -> float:
    """Thickness of the fences, m: that of the tray's plate; 0 without fences."""
    return tray.thickness if tray.fence > 0 else 0.0


def sink_depth(screw: Screw) -> float:
    """Height at which a countersink, whose sides stand at 45 degrees, runs into its bore, m."""
    return (SINK * screw.diameter - screw.clearance_hole) / 2


def straps(tray: TrayDesign) -> list[tuple[float, float]]:
    """Middle along the tray and width of each strap, m: two round the battery, and the webbing of
    a payload's line between them."""
    s = STRAP_STATION * tray.length
    line = [(0.0, tray.line)] if tray.line > 0 else []
    return [(-s, tray.strap_width), *line, (s, tray.strap_width)]


def bore_top(tray: TrayDesign, x: float, hole: float) -> float:
    """Height at which a ``hole`` at ``x`` comes out, m: in a strap groove, if it meets one.

    Trays on bosses have no grooves: the straps run above the plate.
    """
    if tray.stand > 0:
        return 0.0
    in_groove = any(abs(abs(x) - at) < (wide + STRAP_PLAY + hole) / 2 for at, wide in straps(tray))
    return -groove_depth(tray) if in_groove else 0.0


def groove_depth(tray: TrayDesign) -> float:
    """Depth of the strap grooves, m."""
    return min(GROOVE, 0.4 * tray.thickness)


def make_tray(frame: FrameDesign, hardware: Hardware, kernel: Kernel = solid_kernel) -> Solid:
    """Plate with ears for the straps, fences or bosses, sunk screw holes."""
    tray = frame.tray
    outline, screws = tray_outline(tray), _screw_holes(frame, hardware)
    slots = _slots(tray)
    check_holes("tray", outline, screws)
    holes = [*(each.loop for each in screws), *slots]
    plate = kernel.extrude(outline, -tray.hang, -tray.stand, holes)
    if tray.stand > 0:
        points, hole = [each.centre for each in screws], screws[0].diameter
        added = [*_bosses(tray, points, hole, kernel), *_walls(tray, kernel)]
        tools = drills(kernel, points, hole, -tray.hang, 0.0)
    else:
        added = _fences(tray, kernel) if tray.fence > 0 else []
        tools = _grooves(tray, kernel)
    if tray.shelf > 0:
        added = [*added, *_shelves(tray, kernel)]
        tools = [*tools, *_shelf_screws(frame, hardware, kernel)]
    whole = kernel.fuse(plate, *added) if added else plate
    solid = kernel.cut(whole, *tools, *_sinks(frame, hardware, kernel))
    return kernel.checked(solid, f"tray ({tray.length * 1e3:.1f} mm long)")


def _bosses(tray: TrayDesign, points: list[Point], hole: float, kernel: Kernel) -> list[Solid]:
    """Round posts that reach into the plate, each flared where it leaves it."""
    if tray.boss < hole + 2 * BOSS_WALL:
        raise GeometryError(
            f"tray: bosses {tray.boss * 1e3:.1f} mm thick round holes {hole * 1e3:.1f} mm wide; at "
            f"least {(hole + 2 * BOSS_WALL) * 1e3:.1f} mm needed"
        )
    posts = sinks(kernel, points, tray.boss, -tray.stand - tray.thickness / 2, 0.0)
    high, reach = flare(tray)
    wide = tray.boss + 2 * reach
    return posts + [kernel.cone((x, y, -tray.stand), wide, tray.boss, high) for x, y in points]


def flare(tray: TrayDesign) -> tuple[float, float]:
    """Height and reach of the cone round a boss's foot, m: no wider than the plate leaves room."""
    room = (min(tray.length - tray.pitch_x, tray.width - tray.pitch_y) - tray.boss) / 2 - EDGE
    high = min(FLARE, 0.4 * tray.stand)
    return high, min(high, max(room, 0.0))


def _walls(tray: TrayDesign, kernel: Kernel) -> list[Solid]:
    """Between the bosses of either end, flared as they are, a little short of the lower plate."""
    if tray.wall == 0.0:
        return []
    half, low, (high, reach) = tray.wall / 2, -tray.stand, flare(tray)
    wide, root = half + reach, low - tray.thickness / 2
    made = []
    for middle in (-tray.pitch_x / 2, tray.pitch_x / 2):
        right = [(half, -WALL_SHORT), (half, low + high), (wide, low), (wide, root)]
        ring = [(middle - x, z) for x, z in right] + [(middle + x, z) for x, z in right[::-1]]
        made.append(kernel.extrude(polygon(ring), -tray.pitch_y / 2, tray.pitch_y / 2, axis="y"))
    return made


def shelf_room(length: float, strap_width: float) -> float:
    """Length of the shelves that fit between the straps of a tray, m."""
    ear = (strap_width + STRAP_PLAY) / 2 + LIP
    return 2 * (STRAP_STATION * length - ear - SHELF_GAP)


def _shelves(tray: TrayDesign, kernel: Kernel) -> list[Solid]:
    """The plate carried on outwards on both long sides, between the straps."""
    x, y0, y1 = tray.shelf_length / 2, tray.width / 2 - 1e-3, tray.width / 2 + tray.shelf
    spans = ((y0, y1), (-y1, -y0))
    return [kernel.box((-x, a, -tray.hang), (x, b, -tray.stand)) for a, b in spans]


def _shelf_screws(frame: FrameDesign, hardware: Hardware, kernel: Kernel) -> list[Solid]:
    """Holes of the rails' screws, sunk from above: nothing stands up under the clamp's nuts."""
    tray, screw = frame.tray, screw_of(hardware, frame.tray.screw)
    points = rectangle_of(tray.shelf_pitch_x, tray.shelf_pitch_y)
    wide, depth = SINK * screw.diameter + frame.hole_allowance, (SINK - 1) * screw.diameter / 2
    past = 0.5e-3
    heads = [
        kernel.cone((x, y, -tray.stand - depth), wide - 2 * depth, wide + 2 * past, depth + past)
        for x, y in points
    ]
    return [*drills(kernel, points, clearance(screw, frame), -tray.hang, -tray.stand), *heads]


def tray_outline(tray: TrayDesign) -> Loop:
    """Plate with ears that close the strap slots, m."""
    x, y, ear = tray.length / 2, tray.width / 2 + fence_wall(tray), tray.width / 2 + SLOT - 1e-3
    ear, ends = max(y, ear + LIP), _ears(tray)
    gaps = [b[0] - a[1] for a, b in pairwise([(-x, -x), *ends, (x, x)])]
    if min(gaps) < 1e-3 or (not tray.line and ends[1][0] < 1e-3):
        raise GeometryError(
            f"tray: straps {tray.strap_width * 1e3:.1f} mm wide do not fit a tray "
            f"{tray.length * 1e3:.1f} mm long"
        )
    stations = [-x, *(each for a, b in ends for each in (a, a, b, b)), x]
    levels = [y, *([y, ear, ear, y] * len(ends)), y]
    if ear <= y:
        return rounded(rectangle(-x, x, -y, y), _CORNER)
    under: list[Point] = [(a, -b) for a, b in zip(stations, levels, strict=True)]
    return rounded([*under, *[(a, -b) for a, b in reversed(under)]], _CORNER)


def _ears(tray: TrayDesign) -> list[tuple[float, float]]:
    """Where along the tray each pair of ears begins and ends, m."""
    halves = [(at, (wide + STRAP_PLAY) / 2 + LIP) for at, wide in straps(tray)]
    return [(at - half, at + half) for at, half in halves]


def _slots(tray: TrayDesign) -> list[Loop]:
    """Pairs of slots, half a slot under the battery's upper edge so that the strap pulls in."""
    inner = slot_edge(tray)
    spans = [(at, (wide + STRAP_PLAY) / 2) for at, wide in straps(tray)]
    shapes = [(x, half, y) for x, half in spans for y in (-inner - SLOT, inner)]
    return [rounded(rectangle(x - half, x + half, y, y + SLOT), 1e-3) for x, half, y in shapes]


def slot_edge(tray: TrayDesign) -> float:
    """Inner edges of the slots, over which straps pull, from the tray's middle, m."""
    return tray.width / 2 - 1e-3


def _fences(tray: TrayDesign, kernel: Kernel) -> list[Solid]:
    """Walls down both long sides of a flat tray, open where the straps run."""
    x, ends = tray.length / 2 - _CORNER, _ears(tray)
    spans = [(a[1], b[0]) for a, b in pairwise([(-x, -x), *ends, (x, x)])]
    y0, low = tray.width / 2, -tray.thickness - tray.fence
    y1 = y0 + fence_wall(tray)
    walls = []
    for start, end in spans:
        for y in ((y0, y1), (-y1, -y0)):
            walls.append(kernel.box((start, y[0], low), (end, y[1], -tray.thickness / 2)))
    return walls


def _grooves(tray: TrayDesign, kernel: Kernel) -> list[Solid]:
    y, depth = slot_edge(tray) + SLOT, groove_depth(tray)
    spans = [(at, (wide + STRAP_PLAY) / 2) for at, wide in straps(tray)]
    return [kernel.box((x - half, -y, -depth), (x + half, y, 1e-3)) for x, half in spans]


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
        kernel.cone((x, y, -tray.hang - past), wide + 2 * past, narrow, depth + past)
        for x, y in points
    ]
