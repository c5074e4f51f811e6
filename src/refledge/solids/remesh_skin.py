"""A closed surface in work: its edges, normals, and what of it must keep its place."""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from refledge.errors import AnalysisError
from refledge.typed import Bools, Floats, Ints

SHARP = np.cos(np.radians(35.0))
"""Faces that meet at more than 35 degrees keep their edge (a choice)."""
FLAT = 2e-3
"""Height over length below which a triangle has no normal to speak of (a choice)."""
TURN = np.cos(np.radians(40.0))
"""Kept edges that turn by more at a corner keep the corner (a choice)."""
FREE, LINE, FIXED = 0, 1, 2
Field = Callable[[Floats], Floats]
"""Edge wanted at points (k, 3) over the one asked for, (k,), at most 1."""


def alike(points: Floats) -> Floats:
    """The same edge everywhere."""
    return np.ones(len(points))


@dataclass(frozen=True, eq=False)
class Skin:
    """A closed surface in work."""

    points: Floats
    """(n, 3)."""
    tris: Ints
    """(t, 3), outward."""
    label: Ints
    """(t,): triangles of unlike labels keep the edge between them."""


@dataclass(frozen=True, eq=False)
class Edges:
    """Edges of a closed surface."""

    ends: Ints
    """(m, 2), lower number first."""
    sides: Ints
    """(m, 2), the two triangles."""
    of_tri: Ints
    """(t, 3): edge from corner k to k + 1."""


def edges_of(tris: Ints) -> Edges:
    """AnalysisError where an edge has not exactly two triangles."""
    pairs = np.concatenate([tris[:, [0, 1]], tris[:, [1, 2]], tris[:, [2, 0]]])
    ordered = np.sort(pairs, axis=1)
    size = int(tris.max()) + 1
    keys, inverse, counts = np.unique(
        ordered[:, 0] * size + ordered[:, 1], return_inverse=True, return_counts=True
    )
    if np.any(counts != 2):
        raise AnalysisError(
            f"the surface is not closed: {int(np.sum(counts != 2))} edges have not two triangles"
        )
    owner = np.tile(np.arange(len(tris)), 3)
    sides = owner[np.argsort(inverse, kind="stable")].reshape(-1, 2)
    ends = np.column_stack((keys // size, keys % size))
    return Edges(ends, sides, inverse.reshape(3, -1).T)


def normals_of(points: Floats, tris: Ints) -> tuple[Floats, Floats]:
    """Unit normals (t, 3) and areas (t,)."""
    a, b, c = (points[tris[:, k]] for k in range(3))
    across = np.cross(b - a, c - a)
    twice = np.linalg.norm(across, axis=1)
    return across / np.where(twice > 0, twice, 1.0)[:, None], twice / 2


def lengths_of(points: Floats, ends: Ints) -> Floats:
    """(m,)."""
    return np.asarray(np.linalg.norm(points[ends[:, 0]] - points[ends[:, 1]], axis=1))


def shares_of(points: Floats, ends: Ints, field: Field) -> Floats:
    """(m,), m: lengths over the field in their middle, to be held against the edge asked for."""
    return np.asarray(lengths_of(points, ends) / field(points[ends].mean(axis=1)))


def corner_normals(skin: Skin) -> Floats:
    """(n, 3): unit normals at the corners, triangles weighing by area."""
    normal, area = normals_of(skin.points, skin.tris)
    total = np.zeros_like(skin.points)
    for axis in range(3):
        each = np.repeat(normal[:, axis] * area, 3)
        total[:, axis] = np.bincount(skin.tris.ravel(), each, minlength=len(skin.points))
    return np.asarray(total / np.maximum(np.linalg.norm(total, axis=1), 1e-30)[:, None])


def kept_edges(skin: Skin, edges: Edges) -> Bools:
    """(m,): sharp ones, and borders between labels."""
    normal, area = normals_of(skin.points, skin.tris)
    longest = lengths_of(skin.points, edges.ends)[edges.of_tri].max(axis=1)
    flat = 2 * area < FLAT * longest**2
    one, two = edges.sides.T
    bend = np.sum(normal[one] * normal[two], axis=1)
    sharp = (bend < SHARP) & ~flat[one] & ~flat[two]
    return np.asarray(sharp | (skin.label[one] != skin.label[two]))


def kinds_of(skin: Skin, edges: Edges, kept: Bools) -> Ints:
    """(n,): FREE corners, those on a LINE of kept edges, FIXED where such lines meet or turn."""
    ends = edges.ends[kept]
    degree = np.bincount(ends.ravel(), minlength=len(skin.points))
    way = skin.points[ends[:, 1]] - skin.points[ends[:, 0]]
    way = way / np.maximum(np.linalg.norm(way, axis=1), 1e-30)[:, None]
    total = np.zeros_like(skin.points)
    np.add.at(total, ends[:, 0], way)
    np.add.at(total, ends[:, 1], -way)  # two unit vectors away from a corner: |sum|2 = 2 + 2 cos
    straight = np.sum(total**2, axis=1) <= 2.0 - 2.0 * TURN
    found = np.full(len(skin.points), FIXED)
    found[degree == 0] = FREE
    found[(degree == 2) & straight] = LINE
    return found


def compact(skin: Skin) -> Skin:
    """Without points that no triangle uses."""
    used, renumbered = np.unique(skin.tris, return_inverse=True)
    return replace(skin, points=skin.points[used], tris=renumbered.reshape(-1, 3))
