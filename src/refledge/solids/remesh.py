"""A closed triangle surface made even: triangles of one size, sharp edges and borders kept."""

from dataclasses import replace

import numpy as np
from scipy.spatial import KDTree

from refledge.solids.remesh_collapse import Away, collapse, nowhere
from refledge.solids.remesh_moves import even_out, flip, split
from refledge.solids.remesh_skin import (
    Edges,
    Field,
    Skin,
    alike,
    corner_normals,
    edges_of,
    lengths_of,
    normals_of,
    shares_of,
)
from refledge.typed import Bools, Floats, Ints

ROUNDS = 5
"""Rounds of splits, collapses, flips and shifts: Botsch and Kobbelt find five enough."""
LONG, SHORT = 4 / 3, 4 / 5
"""Of the wanted edge: longer ones are split, shorter ones collapse (Botsch and Kobbelt)."""
OFF = 0.04
"""Of the wanted edge: how far the middle of a triangle may lie off the surface (a choice)."""
TINY = 0.05
"""Of the wanted edge: steps this small between two surfaces are rounding, not shape (a choice)."""
_SWEEPS, _MOST = 6, 30
_FEW = 1e-3  # of the corners: fewer gone in a sweep are not worth another
SIDED = 0.5
"""Least cosine between a point's normal and that of a triangle it may be put on: the two faces of a
wall thinner than the wanted edge look the other way (a choice)."""
_NEAREST = 16


class Given:
    """The surface that points are put back on."""

    def __init__(self, skin: Skin) -> None:
        """Triangles all of about one size or smaller."""
        self._triangles = skin.points[skin.tris]
        self._normal, _ = normals_of(skin.points, skin.tris)
        self._tree = KDTree(self._triangles.mean(axis=1))

    def nearest(self, points: Floats, normals: Floats) -> tuple[Floats, Floats]:
        """Nearest points (k, 3) on triangles that look the same way as ``normals`` (k, 3), and how
        far away (k,), of those with the nearest centres; points without any stay, infinitely far.
        """
        tries = min(_NEAREST, len(self._triangles))
        _, near = self._tree.query(points, k=tries)
        best, away = points.copy(), np.full(len(points), np.inf)
        for column in np.asarray(near).reshape(len(points), tries).T:
            foot = _foot(points, self._triangles[column])
            distance = np.linalg.norm(points - foot, axis=1)
            same = np.sum(normals * self._normal[column], axis=1) > SIDED
            closer = same & (distance < away)
            best[closer], away[closer] = foot[closer], distance[closer]
        return best, away

    def beyond(self, most: float, field: Field = alike) -> Away:
        """How much farther than ``most`` times the field points lie from the surface."""
        return lambda points, normals: self.nearest(points, normals)[1] - most * field(points)


def even(skin: Skin, size: float, rounds: int = ROUNDS, field: Field = alike) -> Skin:
    """Edges of about ``size`` times the field, shorter where the surface bends; points stay on the
    one given."""
    fine = _short_enough(without_caps(skin, size, field=field), size * LONG, field)
    given = Given(fine)
    found, away = fine, given.beyond(OFF * size, field)
    for _ in range(rounds):
        found = _short_enough(found, LONG * size, field)
        found = _swept(found, SHORT * size, size, away, field)
        found = _shifted(flipped(found), given)
    return without_caps(flipped(found), size, away, field)


def settle_down(skin: Skin, size: float, field: Field = alike) -> Skin:
    """After new borders were cut in: what they left too short goes, the rest is evened out."""
    given = Given(skin)
    away = given.beyond(OFF * size, field)
    for _ in range(2):
        skin = flipped(_swept(skin, SHORT * SHORT * size, size, away, field))
        skin = _shifted(skin, given)
    return without_caps(flipped(skin), size, away, field)


def flipped(skin: Skin) -> Skin:
    """Flipped until hardly an edge is worth it."""
    for _ in range(_MOST):
        before = skin.tris
        skin = flip(skin)
        if np.sum(np.any(before != skin.tris, axis=1)) <= _FEW * len(before):
            break
    return skin


def without_caps(skin: Skin, size: float, away: Away = nowhere, field: Field = alike) -> Skin:
    """Triangles flatter than TINY of ``size`` cut at the foot of their height, then closed up."""
    for _ in range(_SWEEPS):
        skin = flipped(_swept(skin, TINY * size, size, away, field))
        edges = edges_of(skin.tris)
        at, places = caps(skin, edges, TINY * size, field)
        if not at.size:
            break
        skin = split(skin, edges, at, places)
    return flipped(_swept(skin, TINY * size, size, away, field))


def caps(skin: Skin, edges: Edges, tiny: float, field: Field = alike) -> tuple[Ints, Floats]:
    """Longest edges of triangles lower than ``tiny`` whose foot lies well inside, and the feet."""
    length = lengths_of(skin.points, edges.ends)
    longest = np.argmax(length[edges.of_tri], axis=1)
    rows = np.arange(len(skin.tris))
    edge = edges.of_tri[rows, longest]
    a, b, c = (skin.points[skin.tris[rows, (longest + k) % 3]] for k in range(3))
    along = np.sum((c - a) * (b - a), axis=1) / np.maximum(length[edge] ** 2, 1e-60)
    foot = a + along[:, None] * (b - a)
    low = np.linalg.norm(c - foot, axis=1)
    ends = np.minimum(along, 1 - along) * length[edge]
    found = np.flatnonzero((low < tiny * field(foot)) & (ends > low))
    found = found[np.argsort(low[found], kind="stable")]
    _, first = np.unique(edge[found], return_index=True)
    return edge[found[first]], foot[found[first]]


def _short_enough(skin: Skin, longest: float, field: Field) -> Skin:
    for _ in range(_SWEEPS):
        edges = edges_of(skin.tris)
        at = np.flatnonzero(shares_of(skin.points, edges.ends, field) > longest)
        if not at.size:
            break
        places = skin.points[edges.ends[at]].mean(axis=1)
        skin = flipped(split(skin, edges, at, places))
    return skin


def _swept(skin: Skin, short: float, size: float, away: Away, field: Field) -> Skin:
    draw = np.random.default_rng(1)
    for _ in range(_MOST):
        before = len(skin.points)
        skin = collapse(skin, short, LONG * size, TINY * size, draw, away, field)
        few = 0.0 if short <= TINY * size else _FEW
        if before - len(skin.points) <= few * before:
            break
    return skin


def _shifted(skin: Skin, given: Given) -> Skin:
    """Evened out and put back on the surface, except where a triangle would turn over."""
    points = even_out(skin)
    moved = np.flatnonzero(np.any(points != skin.points, axis=1))
    points[moved], _ = given.nearest(points[moved], corner_normals(skin)[moved])
    for _ in range(_SWEEPS):
        old, _ = normals_of(skin.points, skin.tris)
        new, area = normals_of(points, skin.tris)
        bad = (np.sum(old * new, axis=1) < 0.5) | (area <= 0)
        if not np.any(bad):
            break
        points[skin.tris[bad].ravel()] = skin.points[skin.tris[bad].ravel()]
    return replace(skin, points=points)


def _foot(points: Floats, triangles: Floats) -> Floats:
    """(k, 3): nearest point of each triangle (k, 3, 3): inside it or on one of its sides."""
    a, b, c = (triangles[:, k] for k in range(3))
    normal = np.cross(b - a, c - a)
    square = np.maximum(np.sum(normal**2, axis=1), 1e-60)
    flat = points - normal * (np.sum((points - a) * normal, axis=1) / square)[:, None]
    inside = _within(flat, triangles, normal)
    best: Floats = flat.copy()
    away = np.where(inside, 0.0, np.inf)
    for p, q in ((a, b), (b, c), (c, a)):
        d = q - p
        t = np.clip(np.sum((flat - p) * d, axis=1) / np.maximum(np.sum(d * d, axis=1), 1e-60), 0, 1)
        foot = p + t[:, None] * d
        distance = np.linalg.norm(flat - foot, axis=1)
        closer = distance < away
        best[closer], away[closer] = foot[closer], distance[closer]
    return np.asarray(best)


def _within(flat: Floats, triangles: Floats, normal: Floats) -> Bools:
    sides = [
        np.sum(
            np.cross(triangles[:, (k + 1) % 3] - triangles[:, k], flat - triangles[:, k]) * normal,
            axis=1,
        )
        for k in range(3)
    ]
    return np.asarray(np.all(np.array(sides) >= 0, axis=0))
