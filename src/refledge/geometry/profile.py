"""Flat outlines of lines and arcs: what parts are extruded from and what sections return."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import atan2, cos, hypot, pi, sin, tan

import numpy as np

from refledge.errors import GeometryError
from refledge.typed import Floats

Point = tuple[float, float]


@dataclass(frozen=True)
class Segment:
    """A line from start to end or, with ``via``, the circular arc through the three; m."""

    start: Point
    end: Point
    via: Point | None = None


Loop = tuple[Segment, ...]
"""Closed, without crossing itself; the end of each segment is the start of the next."""


def circle(centre: Point, diameter: float) -> Loop:
    """A circle as two half turns."""
    x, y = centre
    r = diameter / 2
    right, left = (x + r, y), (x - r, y)
    return (Segment(right, left, (x, y + r)), Segment(left, right, (x, y - r)))


def polygon(points: Sequence[Point]) -> Loop:
    """Straight lines through ``points`` and back to the first."""
    return tuple(Segment(a, b) for a, b in pairwise([*points, points[0]]))


def rectangle(x0: float, x1: float, y0: float, y1: float) -> list[Point]:
    """Corners, counter-clockwise from (x0, y0)."""
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


def rounded(points: Sequence[Point], radius: float | Sequence[float]) -> Loop:
    """A polygon with rounded corners, one radius for all or one each (0 leaves it sharp).

    A radius too large for its sides is made smaller so that no arc takes more than 0.45 of a side.
    """
    n = len(points)
    radii = [radius] * n if isinstance(radius, (int, float)) else list(radius)
    corners = [_corner(points[i - 1], points[i], points[(i + 1) % n], radii[i]) for i in range(n)]
    segments: list[Segment] = []
    for i, corner in enumerate(corners):
        if len(corner) == 3:
            segments.append(Segment(corner[0], corner[2], corner[1]))
        segments.append(Segment(corner[-1], corners[(i + 1) % n][0]))
    return tuple(segments)


def _corner(before: Point, at: Point, after: Point, radius: float) -> tuple[Point, ...]:
    """The corner point alone, or start, middle and end of the arc that rounds it."""
    p, q, r = (np.array(each) for each in (before, at, after))
    u, v = (p - q) / np.linalg.norm(p - q), (r - q) / np.linalg.norm(r - q)
    half = np.arccos(np.clip(u @ v, -1.0, 1.0)) / 2
    if radius <= 0 or half > pi / 2 - 1e-3:
        return (at,)
    shorter = min(float(np.linalg.norm(p - q)), float(np.linalg.norm(r - q)))
    reach = min(radius / tan(half), 0.45 * shorter)
    bisector = (u + v) / np.linalg.norm(u + v)
    size = reach * tan(half)
    middle = q + bisector * (reach / cos(half) - size)
    return tuple(
        (float(each[0]), float(each[1])) for each in (q + reach * u, middle, q + reach * v)
    )


def turned(point: Point, angle: float) -> Point:
    """``point`` turned by ``angle`` (rad) about the origin."""
    x, y = point
    return (x * cos(angle) - y * sin(angle), x * sin(angle) + y * cos(angle))


def polyline(loop: Loop, per_arc: int = 24) -> Floats:
    """Points along ``loop``, arcs cut into ``per_arc`` chords; (n, 2), m, first not repeated."""
    points: list[Point] = []
    for each in loop:
        points.append(each.start)
        if each.via is not None:
            points.extend(_arc_points(each, per_arc))
    return np.array(points)


def arc_circle(each: Segment) -> tuple[Point, float, float, float]:
    """Centre, radius (m), start angle and signed sweep (rad) of the arc ``each``."""
    if each.via is None:
        raise GeometryError("a straight segment has no circle")
    (ax, ay), (bx, by), (cx, cy) = each.start, each.via, each.end
    d = 2 * (ax * (by - cy) + bx * (cy - ay) + cx * (ay - by))
    a2, b2, c2 = ax * ax + ay * ay, bx * bx + by * by, cx * cx + cy * cy
    ux = (a2 * (by - cy) + b2 * (cy - ay) + c2 * (ay - by)) / d
    uy = (a2 * (cx - bx) + b2 * (ax - cx) + c2 * (bx - ax)) / d
    start, end = atan2(ay - uy, ax - ux), atan2(cy - uy, cx - ux)
    counter = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax) > 0
    sweep = (end - start) % (2 * pi) if counter else -((start - end) % (2 * pi))
    return (ux, uy), hypot(ax - ux, ay - uy), start, sweep


def _arc_points(each: Segment, count: int) -> list[Point]:
    (x, y), radius, start, sweep = arc_circle(each)
    angles = start + sweep * np.arange(1, count) / count
    return [(float(x + radius * cos(a)), float(y + radius * sin(a))) for a in angles]


def chained(wires: Sequence[Sequence[Segment]]) -> tuple[Loop, ...]:
    """Segments of each wire put end to end, the loop of greatest extent first."""
    loops = [_chain(wire) for wire in wires]
    return tuple(sorted(loops, key=lambda loop: -float(np.ptp(polyline(loop), axis=0).max())))


def _chain(wire: Sequence[Segment]) -> Loop:
    loose = list(wire)
    chain = [loose.pop(0)]
    while loose:
        at = chain[-1].end
        following = min(loose, key=lambda s: min(_apart(s.start, at), _apart(s.end, at)))
        loose.remove(following)
        backward = _apart(following.end, at) < _apart(following.start, at)
        turned_round = Segment(following.end, following.start, following.via)
        chain.append(turned_round if backward else following)
    if _apart(chain[-1].end, chain[0].start) > 1e-6:
        raise GeometryError("a section's outline does not close")
    return tuple(chain)


def _apart(a: Point, b: Point) -> float:
    return hypot(a[0] - b[0], a[1] - b[1])
