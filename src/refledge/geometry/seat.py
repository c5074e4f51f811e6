"""Flight-controller seat; origin in the middle under the posts' feet, z up."""

from collections.abc import Iterator
from math import dist

from refledge.errors import GeometryError
from refledge.geometry import kernel as solid_kernel
from refledge.geometry.drill import INSERT_SPACE, insert_of, sinks
from refledge.geometry.holes import LEAST_LIGAMENT
from refledge.geometry.kernel import Solid
from refledge.geometry.nut_slot import ROOM, check_slots, frame_slot, slot_tools, top_points
from refledge.geometry.plate import seat_points
from refledge.geometry.port import Kernel
from refledge.geometry.profile import Point, rectangle, rounded
from refledge.model.fasteners import Hardware, Insert
from refledge.model.parts import FrameDesign
from refledge.model.upper import SeatDesign

Bored = tuple[str, list[Point], float, float, float]
FLARE = 1.5e-3
"""Cone that eases each post into the plate, m. Our choice: a fillet that prints unsupported."""
LEAST_STEP = 0.1e-3
"""Between round surfaces that would else coincide, which the modeller cannot always join, m: our
choice."""
EDGE = 0.5e-3
"""Plate round a post on an ear, m: our choice."""
_PAST = 1e-3  # cutters reach this far beyond what they cut, m


def make_seat(frame: FrameDesign, hardware: Hardware, kernel: Kernel = solid_kernel) -> Solid:
    """Plate on four posts with pockets for inserts, or slots for nuts, below and, for screwed
    controllers, on top."""
    seat, feet, tops = frame.seat, seat_points(frame), top_points(frame)
    over = _over(frame)
    if seat.threads == "nuts":
        check_slots(frame, hardware, over)
        boss, hang = seat.post_diameter, frame_slot(frame, hardware).hung
        tools = slot_tools(frame, hardware, tops, kernel)
    else:
        insert = insert_of(hardware, seat.screw)
        _check_pockets(frame, insert, over)
        boss, hang = insert.boss_diameter, pocket_depth(insert) + LEAST_LIGAMENT - seat.thickness
        tools = _pockets(frame, insert, kernel)
    _check_side(frame, boss)
    bodies = [*_posts(frame, feet, kernel), *_bosses(frame, boss, hang, kernel)]
    solid = kernel.cut(kernel.fuse(_plate(frame, kernel), *bodies, *_ears(frame, kernel)), *tools)
    return kernel.checked(solid, f"seat ({seat.side * 1e3:.1f} mm square)")


def pocket_depth(insert: Insert) -> float:
    """Of the pocket for an insert, m."""
    return insert.length + INSERT_SPACE


def seat_bores(frame: FrameDesign, hardware: Hardware) -> Iterator[Bored]:
    """Name, points, diameter, lower and upper end of all round holes alike, m.

    ``ceiling_bore``: those that begin in the ceiling of a nut's slot as it prints.
    """
    seat, top = frame.seat, frame.seat.post_height + frame.seat.thickness
    feet, tops = seat_points(frame), top_points(frame)
    if seat.threads == "nuts":
        slot, under = frame_slot(frame, hardware), seat.post_height
        room = under - slot.height
        yield "foot_bore", feet, slot.hole, 0.0, slot.ledge
        yield "foot_room", feet, slot.hole, slot.ledge + slot.height, slot.deep
        yield "top_bore", tops, slot.hole, under, top
        yield "top_room", tops, slot.hole, room - ROOM, room
        yield "ceiling_bore_foot", feet, slot.hole, 0.0, slot.ledge
        yield "ceiling_bore_top", tops, slot.hole, room - ROOM, room
        return
    insert = insert_of(hardware, seat.screw)
    depth, hole = pocket_depth(insert), insert.hole_diameter + frame.hole_allowance
    yield "foot_bore", feet, hole, 0.0, depth
    yield "top_bore", tops, hole, top - depth, top


def _plate(frame: FrameDesign, kernel: Kernel) -> Solid:
    seat, half = frame.seat, frame.seat.side / 2
    corner = seat.post_diameter / 2
    if seat.threads == "nuts":  # posts or bosses as round stand in the very corners
        corner -= LEAST_STEP
    outline = rounded(rectangle(-half, half, -half, half), min(corner, 0.8 * half))
    return kernel.extrude(outline, seat.post_height, seat.post_height + seat.thickness)


def _pockets(frame: FrameDesign, insert: Insert, kernel: Kernel) -> list[Solid]:
    """What is cut out for inserts."""
    depth, hole = pocket_depth(insert), insert.hole_diameter + frame.hole_allowance
    top = frame.seat.post_height + frame.seat.thickness
    below = sinks(kernel, seat_points(frame), hole, -_PAST, depth)
    return below + sinks(kernel, top_points(frame), hole, top - depth, top + _PAST)


def _posts(frame: FrameDesign, feet: list[Point], kernel: Kernel) -> list[Solid]:
    """Posts that reach into the plate, each with a flare that stays under it."""
    seat = frame.seat
    d, into = seat.post_diameter, seat.thickness / 2
    posts = sinks(kernel, feet, d, 0.0, seat.post_height + into)
    out = max(abs(each) for point in feet for each in point)
    flare = min(FLARE, 0.25 * seat.post_height, (seat.side - d) / 2 - out)
    if flare < 0.2e-3:
        return posts
    low = seat.post_height - flare
    return posts + [kernel.cone((x, y, low), d, d + 2 * flare, flare) for x, y in feet]


def ear_reach(seat: SeatDesign) -> float:
    """Middle to the ends of the ears that carry posts turned onto the axes, m; 0 without."""
    return seat.foot_pitch / 2**0.5 + seat.post_diameter / 2 + EDGE if seat.turn else 0.0


def _ears(frame: FrameDesign, kernel: Kernel) -> list[Solid]:
    """Plate out to the posts that stand beyond its sides, each with a round end."""
    seat, reach = frame.seat, ear_reach(frame.seat)
    if reach <= seat.side / 2:
        return []
    half = seat.post_diameter / 2 + EDGE
    low, top = seat.post_height, seat.post_height + seat.thickness
    bars = rectangle(-reach, reach, -half, half), rectangle(-half, half, -reach, reach)
    return [kernel.extrude(rounded(bar, 0.9 * half), low, top) for bar in bars]


def _bosses(frame: FrameDesign, boss: float, hang: float, kernel: Kernel) -> list[Solid]:
    """Plastic ``boss`` wide that hangs under the plate round the pockets or slots on top."""
    if hang <= 0:
        return []
    low, high = frame.seat.post_height - hang, frame.seat.post_height + frame.seat.thickness / 2
    return sinks(kernel, top_points(frame), boss, low, high)


def _over(frame: FrameDesign) -> bool:
    """True where what holds a foot's screw and what holds one on top share a post."""
    tops = top_points(frame)
    return any(
        dist(foot, each) < frame.seat.post_diameter for foot in seat_points(frame) for each in tops
    )


def _check_pockets(frame: FrameDesign, insert: Insert, over: bool) -> None:
    seat, deep = frame.seat, pocket_depth(insert)
    if seat.post_diameter < insert.boss_diameter - 1e-9:
        raise GeometryError(
            f"seat: posts {seat.post_diameter * 1e3:.1f} mm thick; inserts {insert.size} need "
            f"{insert.boss_diameter * 1e3:.1f} mm"
        )
    deepest = 2 * deep + LEAST_LIGAMENT if over else deep
    if seat.post_height + (seat.thickness if over else 0.0) < deepest:
        raise GeometryError(
            f"seat: posts {seat.post_height * 1e3:.1f} mm high are too short for inserts "
            f"{insert.length * 1e3:.1f} mm long"
        )


def _check_side(frame: FrameDesign, boss: float) -> None:
    seat = frame.seat
    if seat.pitch > 0 and seat.side / 2 - seat.pitch / 2 < boss / 2 - 1e-9:
        raise GeometryError(
            f"seat: {seat.side * 1e3:.1f} mm square is too small for holes "
            f"{seat.pitch * 1e3:.1f} mm apart"
        )
