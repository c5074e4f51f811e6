"""Triangle meshes: welding faces into one closed surface, and measuring it."""

from collections.abc import Sequence

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components
from scipy.spatial import KDTree

from refledge.errors import GeometryError
from refledge.model.results import TriMesh
from refledge.typed import Floats, Ints

_SAME = 1e-6  # m; corners nearer than this are one: far below any tessellation or printed detail


def weld(pieces: Sequence[tuple[Floats, Ints]]) -> TriMesh:
    """One surface from the faces' corners (n, 3) m and triangles (m, 3).

    Corners that coincide become one, triangles without area go; raises GeometryError unless every
    edge is then shared by exactly two triangles that run along it in opposite senses.
    """
    starts = np.cumsum([0, *(len(corners) for corners, _ in pieces)])
    corners = np.concatenate([each for each, _ in pieces])
    triangles = np.concatenate([t + s for (_, t), s in zip(pieces, starts, strict=False)])
    first, index = _merged(corners)
    joined = index[triangles]
    a, b, c = joined.T
    kept = joined[(a != b) & (b != c) & (c != a)]
    mesh = TriMesh(corners[first], kept)
    if not is_watertight(mesh):
        raise GeometryError("the triangles of the surface do not close")
    return mesh


def _merged(corners: Floats) -> tuple[Ints, Ints]:
    """First corner of each group that coincides, and the group of every corner (n,).

    By distance, not by rounding to a grid, whose cell borders would part neighbours.
    """
    pairs = KDTree(corners).query_pairs(_SAME, output_type="ndarray")
    count = len(corners)
    links = coo_array((np.ones(len(pairs)), (pairs[:, 0], pairs[:, 1])), shape=(count, count))
    _, group = connected_components(links, directed=False)
    _, first = np.unique(group, return_index=True)
    return first.astype(np.int64), group.astype(np.int64)


def is_watertight(mesh: TriMesh) -> bool:
    """Every edge is used once in each sense, and no other edge."""
    t = mesh.triangles
    edges = np.concatenate([t[:, [0, 1]], t[:, [1, 2]], t[:, [2, 0]]])
    size = len(mesh.vertices)
    forward = edges[:, 0] * size + edges[:, 1]
    backward = edges[:, 1] * size + edges[:, 0]
    unique = np.unique(forward)
    return len(unique) == len(forward) and bool(np.array_equal(unique, np.unique(backward)))


def mesh_volume(mesh: TriMesh) -> float:
    """Enclosed volume, m3, by the divergence theorem: sum of a . (b x c) / 6."""
    a, b, c = (mesh.vertices[mesh.triangles[:, i]] for i in range(3))
    return float(np.einsum("ij,ij->", a, np.cross(b, c)) / 6)


def mesh_centroid(mesh: TriMesh) -> Floats:
    """(3,), m, of the enclosed volume: tetrahedra to the origin weigh by their signed volumes."""
    corners = mesh.vertices[mesh.triangles]
    sixth = np.einsum("ij,ij->i", corners[:, 0], np.cross(corners[:, 1], corners[:, 2]))
    return np.asarray(sixth @ corners.sum(axis=1) / (4 * sixth.sum()))


def mesh_moments(mesh: TriMesh) -> tuple[float, Floats]:
    """Enclosed volume, m3, and moments of inertia about its centroid for unit density (3, 3), m5.

    Sum over the tetrahedra between the origin and each triangle; over one of volume V with corners
    0, a, b, c the integral of x x' is V (a a' + b b' + c c' + s s') / 20, s = a + b + c (Tonon,
    "Explicit exact formulas for the 3-D tetrahedron inertia tensor", J. Math. Stat. 2005, from
    memory).
    """
    corners = mesh.vertices[mesh.triangles]
    volumes = np.linalg.det(corners) / 6
    sums = corners.sum(axis=1)
    whole = float(volumes.sum())
    centroid = volumes @ sums / (4 * whole)
    squares = np.einsum("i,ijk,ijl->kl", volumes, corners, corners)
    squares = (squares + np.einsum("i,ik,il->kl", volumes, sums, sums)) / 20
    squares -= whole * np.outer(centroid, centroid)
    return whole, np.trace(squares) * np.eye(3) - squares


def section_areas(mesh: TriMesh, places: Floats) -> Floats:
    """Area of the cut square to x at each of ``places`` (n,), m2, by Green's theorem.

    Each triangle that a plane cuts gives one stretch of the cut's outline, plastic on its left as
    seen against x: sum of (y dz - z dy) / 2.
    """
    corners = mesh.vertices[mesh.triangles]
    low, high = corners[..., 0].min(axis=1), corners[..., 0].max(axis=1)
    found = np.empty(len(places))
    for number, x in enumerate(places):
        cut = corners[(low < x) & (high >= x)]
        above = cut[..., 0] >= x
        alone = np.where(above.sum(axis=1) == 1, above.argmax(axis=1), (~above).argmax(axis=1))
        rows = np.arange(len(cut))
        apex, first, last = (cut[rows, (alone + k) % 3] for k in range(3))
        start, end = (
            apex + (each - apex) * ((x - apex[:, 0]) / (each[:, 0] - apex[:, 0]))[:, None]
            for each in (first, last)
        )
        way = np.where(above[rows, alone], 1.0, -1.0)
        found[number] = np.sum(way * (start[:, 1] * end[:, 2] - start[:, 2] * end[:, 1])) / 2
    return found
