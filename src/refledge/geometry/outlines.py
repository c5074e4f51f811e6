"""Outline of a disc with pads: centre plates and motor mounts."""

from collections.abc import Sequence
from math import atan2, cos, hypot, pi, sin, sqrt, tan

import numpy as np

from refledge.errors import GeometryError
from refledge.geometry.profile import Loop, Point, Segment, turned

_LEAST_EDGE = 1e-3  # straight edge that a pad must keep beside an opening, m


def pads(
    angles: Sequence[float], reach: float, width: float, core: float, fillet: float, corner: float
) -> Loop:
    """Disc of radius ``core`` united with a pad ``width`` wide along each angle (rad) to ``reach``.

    Between pads the concave corners carry ``fillet``; the far corners of the pads are rounded by
    ``corner``. Where two fillets would meet, one arc tangent to both pads takes their place. m.
    """
    order = sorted(angle % (2 * pi) for angle in angles)
    segments: list[Segment] = []
    for i, angle in enumerate(order):
        after = order[(i + 1) % len(order)] + (2 * pi if i + 1 == len(order) else 0.0)
        valley = _valley((after - angle) / 2, reach - corner, width / 2, core, fillet)
        centre = (angle + after) / 2
        head = _pad_head(reach, width / 2, corner, angle)
        segments += [*head, *_between(head[-1].end, valley, centre)]
    return _closed(segments)


def rim_windows(
    angles: Sequence[float], rim: float, width: float, core: float, fillet: float, corner: float
) -> list[Loop]:
    """Openings between the pads of ``pads`` and a rim whose inner radius is ``rim``, m.

    Along core and pads they follow the outline of ``pads``; their far corners are rounded by
    ``corner``. Where pads, core and rim leave no room for both roundings, there is no opening.
    """
    order = sorted(angle % (2 * pi) for angle in angles)
    found = []
    for i, angle in enumerate(order):
        after = order[(i + 1) % len(order)] + (2 * pi if i + 1 == len(order) else 0.0)
        window = _window((after - angle) / 2, rim, width / 2, core, fillet, corner)
        if window:
            found.append(_turned_loop(window, (angle + after) / 2))
    return found


def _window(
    alpha: float, rim: float, half: float, core: float, fillet: float, corner: float
) -> list[Segment]:
    """The opening between two pads ``2 alpha`` apart about the x axis; empty where it is closed."""
    y = half + corner
    if rim - corner <= y:
        return []
    x = sqrt((rim - corner) ** 2 - y**2)
    spread = alpha - atan2(y, x)
    valley = _valley(alpha, rim, half, core, fillet) if spread > 0 else []
    if not valley or turned(valley[0], alpha)[0] > x - _LEAST_EDGE:
        return []
    toward = np.array([0.0, -1.0]) + np.array([x, y]) / (rim - corner)
    via = np.array([x, y]) + corner * toward / np.linalg.norm(toward)
    on_rim = (x * rim / (rim - corner), y * rim / (rim - corner))
    # the corner beside the right-hand pad; the other mirrors it
    edge, mid, far = (turned((float(a), float(b)), -alpha) for a, b in ((x, half), via, on_rim))
    other = [(px, -py) for px, py in (edge, mid, far)]
    inner = [Segment(valley[k], valley[k + 2], valley[k + 1]) for k in range(0, len(valley) - 1, 2)]
    return [
        *inner,
        Segment(valley[-1], other[0]),
        Segment(other[0], other[2], other[1]),
        Segment(other[2], far, (rim, 0.0)),
        Segment(far, edge, mid),
        Segment(edge, valley[0]),
    ]


def _turned_loop(segments: list[Segment], angle: float) -> Loop:
    return tuple(
        Segment(turned(s.start, angle), turned(s.end, angle),
                None if s.via is None else turned(s.via, angle))
        for s in segments
    )  # fmt: skip


def _pad_head(reach: float, half: float, corner: float, angle: float) -> list[Segment]:
    """The far end of a pad, from its right corner to its left."""
    k = corner * (1 - sqrt(0.5))
    a, b = (reach - corner, -half), (reach, -half + corner)
    c, d = (reach, half - corner), (reach - corner, half)
    right, left = (reach - k, -half + k), (reach - k, half - k)
    a, b, c, d, right, left = (turned(p, angle) for p in (a, b, c, d, right, left))
    if corner == 0:
        return [Segment(a, d)]
    return [Segment(a, b, right), Segment(b, c), Segment(c, d, left)]


def _valley(alpha: float, limit: float, half: float, core: float, fillet: float) -> list[Point]:
    """Points start, via, end of the arcs between two pads ``2 alpha`` apart, about their bisector.

    Seen with the bisector along +x, from the right-hand pad to the left-hand one: one arc (three
    points) or fillet, core arc, fillet (seven points).
    """
    r = _fitting(fillet, limit, half, core)
    y = half + r
    x = sqrt(max(0.0, (core + r) ** 2 - y * y))
    if core > half and atan2(y, x) < alpha - 1e-3:
        return _two_fillets(alpha, (x, y), half, core)
    if alpha > pi / 2 - 1e-3:
        raise GeometryError(f"core radius {core * 1e3:.1f} mm does not reach past the pads")
    return _one_arc(alpha, limit, half, fillet)


def _fitting(fillet: float, limit: float, half: float, core: float) -> float:
    """``fillet``, or less where it would run past the straight edge of the pad, m."""
    if core <= half:
        return fillet
    room = (limit**2 - core**2 + half**2) / (2 * (core - half))
    if room <= 0:
        raise GeometryError(
            f"pads reach {limit * 1e3:.1f} mm, not past their core of {core * 1e3:.1f} mm radius"
        )
    return min(fillet, 0.95 * room)


def _two_fillets(alpha: float, centre: Point, half: float, core: float) -> list[Point]:
    x, y = centre
    r = y - half
    on_core = (x * core / (core + r), y * core / (core + r))
    toward = np.array([0.0, -1.0]) + np.array([-x, -y]) / hypot(x, y)
    via = np.array(centre) + r * toward / np.linalg.norm(toward)
    first = [turned(p, -alpha) for p in ((x, half), (float(via[0]), float(via[1])), on_core)]
    return [*first, (core, 0.0), *[(px, -py) for px, py in reversed(first)]]


def _one_arc(alpha: float, limit: float, half: float, fillet: float) -> list[Point]:
    r = min(fillet, 0.98 * (limit * tan(alpha) - half))
    if r <= 0:
        raise GeometryError(f"pads {2 * half * 1e3:.1f} mm wide overlap over their whole length")
    d = (half + r) / sin(alpha)
    first = turned((d * cos(alpha), half), -alpha)
    return [first, (d - r, 0.0), (first[0], -first[1])]


def _between(start: Point, valley: list[Point], bisector: float) -> list[Segment]:
    """Pad edge inwards and the arcs of ``valley``; the edge outwards is left to ``_closed``."""
    points = [turned(p, bisector) for p in valley]
    segments = [Segment(start, points[0])]
    for i in range(0, len(points) - 1, 2):
        segments.append(Segment(points[i], points[i + 2], points[i + 1]))
    return segments


def _closed(segments: list[Segment]) -> Loop:
    """Joins ends that do not meet by straight lines."""
    out: list[Segment] = []
    for i, each in enumerate(segments):
        out.append(each)
        following = segments[(i + 1) % len(segments)].start
        if hypot(each.end[0] - following[0], each.end[1] - following[1]) > 1e-9:
            out.append(Segment(each.end, following))
    return tuple(out)
