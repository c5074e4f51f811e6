"""A light kernel for tests: a solid is a question, "does this point lie inside?".

It makes what ``port.Kernel`` asks for and measures volumes by counting points, so it also checks
the real kernel from outside. It has no surfaces: no meshes, no files, no check of validity.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from refledge.errors import GeometryError
from refledge.geometry.kernel import Solid
from refledge.geometry.profile import Loop, polyline
from refledge.model.results import TriMesh
from refledge.typed import Bools, Floats

_AXES = {"x": (1, 2, 0), "y": (0, 2, 1), "z": (0, 1, 2)}


@dataclass(frozen=True, eq=False)
class Region:
    """Points inside, and a box that holds them all."""

    inside: Callable[[Floats], Bools]
    """Points (n, 3), m, to answers (n,)."""
    box: Floats
    """(2, 3), m."""


def box(low: Sequence[float], high: Sequence[float]) -> Solid:
    """Block between two opposite corners, m."""
    ends = np.array([low, high], dtype=np.float64)
    return _solid(lambda p: np.all((p >= ends[0]) & (p <= ends[1]), axis=1), ends)


def cone(base: Sequence[float], lower: float, upper: float, height: float) -> Solid:
    """Upright round bar of diameters ``lower`` and ``upper`` standing on ``base``, m."""
    x, y, z = base
    r = max(lower, upper) / 2

    def inside(p: Floats) -> Bools:
        share = (p[:, 2] - z) / height
        radius = (lower + (upper - lower) * share) / 2
        return (share >= 0) & (share <= 1) & (np.hypot(p[:, 0] - x, p[:, 1] - y) <= radius)

    return _solid(inside, np.array([[x - r, y - r, z], [x + r, y + r, z + height]]))


def extrude(
    outline: Loop, low: float, high: float, holes: Sequence[Loop] = (), axis: str = "z"
) -> Solid:
    """Prism between ``low`` and ``high`` along ``axis``; the outline lies in the other two, m."""
    edges = [polyline(loop, per_arc=96) for loop in (outline, *holes)]
    across, along = list(_AXES[axis][:2]), _AXES[axis][2]
    ends = np.empty((2, 3))
    ends[:, across], ends[:, along] = [edges[0].min(axis=0), edges[0].max(axis=0)], [low, high]

    def inside(p: Floats) -> Bools:
        hit = (p[:, along] >= low) & (p[:, along] <= high)
        crossings = sum(_crossings(each, p[hit][:, across]) for each in edges)
        hit[hit] = np.asarray(crossings) % 2 == 1
        return hit

    return _solid(inside, ends)


def fuse(*solids: Solid) -> Solid:
    """Everything that lies in any of them."""
    regions = [_region(each) for each in solids]
    boxes = np.stack([each.box for each in regions])
    ends = np.stack([boxes[:, 0].min(axis=0), boxes[:, 1].max(axis=0)])
    return _solid(lambda p: np.any([each.inside(p) for each in regions], axis=0), ends)


def cut(solid: Solid, *tools: Solid) -> Solid:
    """What is left of ``solid`` outside all ``tools``."""
    body, regions = _region(solid), [_region(each) for each in tools]

    def inside(p: Floats) -> Bools:
        kept = body.inside(p)
        for each in regions:
            kept[kept] = ~each.inside(p[kept])
        return kept

    return _solid(inside, body.box)


def common(one: Solid, other: Solid) -> Solid:
    """What lies in both."""
    a, b = _region(one), _region(other)
    ends = np.stack([np.maximum(a.box[0], b.box[0]), np.minimum(a.box[1], b.box[1])])
    return _solid(lambda p: a.inside(p) & b.inside(p), ends)


def facetted(mesh: TriMesh) -> Solid:
    """The inside of a closed triangle surface, m, by its solid angle seen from each point.

    It is 4 pi inside and 0 outside; of one triangle, Van Oosterom and Strackee, The solid angle of
    a plane triangle, IEEE Trans. Biomed. Eng. 1983.
    """
    corners = mesh.vertices[mesh.triangles]

    def inside(p: Floats) -> Bools:
        total = np.zeros(len(p))
        for triangle in corners:
            a, b, c = (each - p for each in triangle)
            u, v, w = (np.linalg.norm(each, axis=1) for each in (a, b, c))
            up = np.einsum("ij,ij->i", a, np.cross(b, c))
            dot = [np.einsum("ij,ij->i", *pair) for pair in ((a, b), (b, c), (c, a))]
            total += 2 * np.arctan2(up, u * v * w + dot[0] * w + dot[1] * u + dot[2] * v)
        return np.asarray(total > 2 * np.pi)

    return _solid(inside, np.stack([corners.min(axis=(0, 1)), corners.max(axis=(0, 1))]))


def move(solid: Solid, rotation: Floats, translation: Floats) -> Solid:
    """Turned by ``rotation`` (3, 3), then shifted by ``translation`` (3,), m."""
    region = _region(solid)
    corners = np.array(np.meshgrid(*region.box.T)).reshape(3, -1).T @ rotation.T + translation
    ends = np.stack([corners.min(axis=0), corners.max(axis=0)])
    return _solid(lambda p: region.inside((p - translation) @ rotation), ends)


def checked(solid: Solid, what: str) -> Solid:
    """``solid`` itself; raises GeometryError naming ``what`` where hardly a point lies inside."""
    if volume(solid, 4000) <= 0:
        raise GeometryError(f"{what}: no body left")
    return solid


def volume(solid: Solid, points: int = 400_000) -> float:
    """Volume by one random point in each cell of a grid over the box, m3; the same every time."""
    region = _region(solid)
    size = region.box[1] - region.box[0]
    if np.any(size <= 0):
        return 0.0
    counts = np.maximum(1, np.round(size * (points / np.prod(size)) ** (1 / 3))).astype(int)
    cells = np.stack(np.meshgrid(*map(np.arange, counts), indexing="ij"), axis=-1).reshape(-1, 3)
    spread = np.random.default_rng(1).random(cells.shape)
    hits = np.count_nonzero(region.inside(region.box[0] + (cells + spread) / counts * size))
    return float(np.prod(size) * hits / len(cells))


def _solid(inside: Callable[[Floats], Bools], ends: Floats) -> Solid:
    return Solid(Region(inside, ends))


def _region(solid: Solid) -> Region:
    if not isinstance(solid.shape, Region):
        raise GeometryError("a solid of another kernel")
    return solid.shape


def _crossings(edge: Floats, p: Floats) -> Floats:
    """How many sides of the closed polygon ``edge`` (m, 2) lie to the right of each point."""
    found = np.zeros(len(p))
    for (ax, ay), (bx, by) in zip(edge, np.roll(edge, -1, axis=0), strict=True):
        if ay == by:
            continue
        spans = (ay > p[:, 1]) != (by > p[:, 1])
        found += spans & (ax + (p[:, 1] - ay) / (by - ay) * (bx - ax) > p[:, 0])
    return found
