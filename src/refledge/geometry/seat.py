"""Flight-controller seat; origin in the middle under the posts' feet, z up."""

from math import dist

from refledge.errors import GeometryError
from refledge.geometry import kernel as solid_kernel
from refledge.geometry.drill import INSERT_SPACE, insert_of, rectangle_of, sinks
from refledge.geometry.holes import LEAST_LIGAMENT
from refledge.geometry.kernel import Solid
from refledge.geometry.plate import seat_points
from refledge.geometry.port import Kernel
from refledge.geometry.profile import Point, rectangle, rounded
from refledge.model.fasteners import Hardware, Insert
from refledge.model.parts import FrameDesign, SeatDesign

FLARE = 1.5e-3
"""Cone that eases each post into the plate, m. Our choice: a fillet that prints unsupported."""
EDGE = 0.5e-3
"""Plate round a post on an ear, m: our choice."""
_PAST = 1e-3  # cutters reach this far beyond what they cut, m


def make_seat(frame: FrameDesign, hardware: Hardware, kernel: Kernel = solid_kernel) -> Solid:
    """Plate on four posts with pockets for inserts below and, for screwed controllers, on top."""
    seat, insert = frame.seat, insert_of(hardware, frame.seat.screw)
    _check(frame, insert)
    half, corner = seat.side / 2, min(seat.post_diameter / 2, 0.4 * seat.side)
    top = seat.post_height + seat.thickness
    plate = kernel.extrude(
        rounded(rectangle(-half, half, -half, half), corner), seat.post_height, top
    )
    feet = seat_points(frame)
    tops = rectangle_of(seat.pitch, seat.pitch) if seat.pitch > 0 else []
    bodies = [*_posts(frame, feet, kernel), *_bosses(frame, insert, tops, kernel)]
    bodies += _ears(frame, kernel)
    depth, hole = insert.length + INSERT_SPACE, insert.hole_diameter + frame.hole_allowance
    tools = sinks(kernel, feet, hole, -_PAST, depth)
    tools += sinks(kernel, tops, hole, top - depth, top + _PAST)
    solid = kernel.cut(kernel.fuse(plate, *bodies), *tools)
    return kernel.checked(solid, f"seat ({seat.side * 1e3:.1f} mm square)")


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


def _bosses(frame: FrameDesign, insert: Insert, tops: list[Point], kernel: Kernel) -> list[Solid]:
    """Plastic under the upper pockets where the plate is thinner than they are deep."""
    seat = frame.seat
    hang = insert.length + INSERT_SPACE + LEAST_LIGAMENT - seat.thickness
    if hang <= 0:
        return []
    low, high = seat.post_height - hang, seat.post_height + seat.thickness / 2
    return sinks(kernel, tops, insert.boss_diameter, low, high)


def _check(frame: FrameDesign, insert: Insert) -> None:
    seat, deep = frame.seat, insert.length + INSERT_SPACE
    if seat.post_diameter < insert.boss_diameter - 1e-9:
        raise GeometryError(
            f"seat: posts {seat.post_diameter * 1e3:.1f} mm thick; inserts {insert.size} need "
            f"{insert.boss_diameter * 1e3:.1f} mm"
        )
    tops = rectangle_of(seat.pitch, seat.pitch)
    apart = min(dist(foot, each) for foot in seat_points(frame) for each in tops)
    over = apart < insert.hole_diameter + LEAST_LIGAMENT and seat.pitch > 0
    deepest = 2 * deep + LEAST_LIGAMENT if over else deep
    if seat.post_height + (seat.thickness if over else 0.0) < deepest:
        raise GeometryError(
            f"seat: posts {seat.post_height * 1e3:.1f} mm high are too short for inserts "
            f"{insert.length * 1e3:.1f} mm long"
        )
    if seat.pitch > 0 and seat.side / 2 - seat.pitch / 2 < insert.boss_diameter / 2:
        raise GeometryError(
            f"seat: {seat.side * 1e3:.1f} mm square is too small for holes "
            f"{seat.pitch * 1e3:.1f} mm apart"
        )
