"""Windows between zig-zag bars: the openings of trusses and rib-braced channels."""

from collections.abc import Callable, Sequence

import numpy as np

from refledge.geometry.profile import Loop, Point, rounded
from refledge.typed import Floats

LEAST_WINDOW = 0.6e-3
"""In-circle diameter below which a window is left solid, m: 1.5 bores of the usual nozzle."""

Edge = Callable[[float], float]
"""Height of a straight edge over x, m."""


_Line = tuple[Floats, Floats]  # a point and a direction, (2,) each


def windows(
    nodes: Sequence[float], lower: Edge, upper: Edge, thickness: float, first: str, fillet: float
) -> list[Loop]:
    """Rounded windows between zig-zag bars ``thickness`` thick and two straight edges.

    The bars' middle lines run from node to node (x, m), alternately on the ``upper`` and ``lower``
    edge; ``first`` names the edge of the first node; straight walls stand at the first and last
    node. Where bars leave less than LEAST_WINDOW between them they merge: no window. All in m.
    """
    edges = (upper, lower) if first == "upper" else (lower, upper)
    points = [(x, edges[i % 2](x)) for i, x in enumerate(nodes)]
    found = [_between(points[i - 1 : i + 2], edges[(i + 1) % 2], thickness) for i in _inner(points)]
    found.append(_at_end(points[0], points[1], edges[1], thickness))
    found.append(_at_end(points[-1], points[-2], edges[len(points) % 2], thickness))
    open_ones = [each for each in found if _in_circle(each) >= LEAST_WINDOW]
    return [rounded(_points(each), min(fillet, 0.4 * _in_circle(each))) for each in open_ones]


def _inner(points: Sequence[Point]) -> range:
    return range(1, len(points) - 1)


def _points(triangle: Floats) -> list[Point]:
    return [(float(x), float(y)) for x, y in triangle]


def _between(points: Sequence[Point], opposite: Edge, thickness: float) -> Floats:
    """Window from the middle node towards the opposite edge, between the bars on both sides.

    (3, 2), m; all zero where the bars overlap beyond that edge.
    """
    before, node, after = points
    left = _offset(before, node, after, thickness)
    right = _offset(node, after, before, thickness)
    base = _line(opposite, before[0], after[0])
    found = np.array([_cross(left, right), _cross(left, base), _cross(right, base)])
    return _unless_crossed(found, np.subtract(after, before))


def _at_end(wall: Point, node: Point, edge: Edge, thickness: float) -> Floats:
    """Window between the wall through the first (last) node and the bar that starts there."""
    corner = (wall[0], edge(wall[0]))
    bar = _offset(wall, node, corner, thickness)
    base = _line(edge, wall[0], node[0])
    upright = (np.array(wall), np.array([0.0, 1.0]))
    found = np.array([_cross(bar, upright), corner, _cross(bar, base)])
    return _unless_crossed(found, np.subtract(node, corner))


def _unless_crossed(triangle: Floats, sense: Floats) -> Floats:
    """Bars that overlap turn the triangle inside out: its base then runs against ``sense``."""
    return triangle if (triangle[2] - triangle[1]) @ sense > 0 else np.zeros((3, 2))


def _line(edge: Callable[[float], float], x0: float, x1: float) -> _Line:
    return np.array([x0, edge(x0)]), np.array([x1 - x0, edge(x1) - edge(x0)])


def _offset(a: Point, b: Point, towards: Point, thickness: float) -> _Line:
    """The side of the bar a-b that faces ``towards``."""
    p, d = np.array(a), np.subtract(b, a)
    normal = np.array([-d[1], d[0]]) / np.linalg.norm(d)
    if normal @ (np.array(towards) - p) < 0:
        normal = -normal
    return p + normal * thickness / 2, d


def _cross(one: _Line, other: _Line) -> Floats:
    (p, d), (q, e) = one, other
    t = np.linalg.solve(np.column_stack([d, -e]), q - p)[0]
    return np.asarray(p + t * d)


def _in_circle(triangle: Floats) -> float:
    """Diameter of the in-circle, m: four times the area over the way round."""
    a, b, c = triangle
    (ux, uy), (vx, vy) = b - a, c - a
    around = sum(float(np.linalg.norm(p - q)) for p, q in ((a, b), (b, c), (c, a)))
    return 2 * abs(ux * vy - uy * vx) / around if around else 0.0
