"""Splitting, flipping and shifting edges of a closed surface, many at once.

Botsch and Kobbelt, A remeshing approach to multiresolution modeling, SGP 2004. Changes that could
meet are never made in the same sweep: of all that touch a neighbourhood only one goes ahead.
"""

from dataclasses import replace

import numpy as np

from refledge.solids.remesh_skin import (
    FREE,
    Edges,
    Skin,
    corner_normals,
    edges_of,
    kept_edges,
    kinds_of,
    normals_of,
)
from refledge.typed import Bools, Floats, Ints

LEVEL = np.cos(np.radians(20.0))
"""Triangles that lean more than 20 degrees from those they take the place of are not even."""


def split(skin: Skin, edges: Edges, at: Ints, places: Floats) -> Skin:
    """Edges ``at`` (k,) cut at ``places`` (k, 3)."""
    middle = np.full(len(edges.ends), -1)
    middle[at] = len(skin.points) + np.arange(len(at))
    points = np.vstack((skin.points, places))
    marks = middle[edges.of_tri]
    count = np.sum(marks >= 0, axis=1)
    tris, labels = [skin.tris[count == 0]], [skin.label[count == 0]]
    for number, cut in ((1, _cut_one), (2, _cut_two), (3, _cut_three)):
        mine = count == number
        for piece in cut(points, skin.tris[mine], marks[mine]):
            tris.append(piece)
            labels.append(skin.label[mine])
    return Skin(points, np.concatenate(tris), np.concatenate(labels))


def _turned(tris: Ints, marks: Ints, first: Ints) -> tuple[Ints, Ints]:
    """Corners and marks turned so that ``first`` (t,) comes first."""
    order = (first[:, None] + np.arange(3)) % 3
    return np.take_along_axis(tris, order, axis=1), np.take_along_axis(marks, order, axis=1)


def _cut_one(_points: Floats, tris: Ints, marks: Ints) -> list[Ints]:
    t, m = _turned(tris, marks, np.argmax(marks >= 0, axis=1))
    a, b, c = t.T
    return [np.column_stack((a, m[:, 0], c)), np.column_stack((m[:, 0], b, c))]


def _cut_two(points: Floats, tris: Ints, marks: Ints) -> list[Ints]:
    """The corner between both cuts goes; the rest is parted along its shorter diagonal."""
    t, m = _turned(tris, marks, (np.argmin(marks, axis=1) + 1) % 3)
    (a, b, c), (p, q, _) = t.T, m.T  # p on ab, q on bc
    first = np.linalg.norm(points[a] - points[q], axis=1)
    short = (first < np.linalg.norm(points[p] - points[c], axis=1))[:, None]
    one = np.where(short, np.column_stack((a, p, q)), np.column_stack((a, p, c)))
    two = np.where(short, np.column_stack((a, q, c)), np.column_stack((p, q, c)))
    return [np.column_stack((p, b, q)), one, two]


def _cut_three(_points: Floats, tris: Ints, marks: Ints) -> list[Ints]:
    (a, b, c), (p, q, r) = tris.T, marks.T
    corners = ((a, p, r), (p, b, q), (q, c, r), (p, q, r))
    return [np.column_stack(each) for each in corners]


def flip(skin: Skin) -> Skin:
    """One sweep of flips that widen the least angle of two even triangles."""
    edges = edges_of(skin.tris)
    angles = _angles(skin.points, skin.tris)
    across = np.bincount(edges.of_tri.ravel(), np.roll(angles, 1, axis=1).ravel())
    odd = np.flatnonzero(~kept_edges(skin, edges) & (across > np.pi + 1e-3))
    one, two = edges.sides[odd].T
    a, b = edges.ends[odd].T
    c = skin.tris[one].sum(axis=1) - a - b
    d = skin.tris[two].sum(axis=1) - a - b
    forward = np.any(
        (skin.tris[one] == a[:, None]) & (np.roll(skin.tris[one], -1, axis=1) == b[:, None]), axis=1
    )
    a, b = np.where(forward, a, b), np.where(forward, b, a)  # one is a b c, two is b a d
    first, second = np.column_stack((a, d, c)), np.column_stack((d, b, c))
    now = np.minimum(*(angles[side].min(axis=1) for side in (one, two)))
    then = np.minimum(*(_angles(skin.points, each).min(axis=1) for each in (first, second)))
    good = (then > now + 1e-3) & (c != d)
    both = sum(
        n * a[:, None] for n, a in (normals_of(skin.points, skin.tris[e]) for e in (one, two))
    )
    both = both / np.maximum(np.linalg.norm(both, axis=1), 1e-30)[:, None]
    for fresh in (first, second):
        good &= np.sum(normals_of(skin.points, fresh)[0] * both, axis=1) > LEVEL
    good &= ~_joined(edges.ends, c, d)
    rows = np.flatnonzero(good)
    order = (now - then)[rows]
    rows = rows[_alone(len(skin.tris), np.column_stack((one, two))[rows], order)]
    pair = np.sort(np.column_stack((c, d))[rows], axis=1)
    rows = rows[np.unique(pair, axis=0, return_index=True)[1]]
    tris = skin.tris.copy()
    tris[one[rows]], tris[two[rows]] = first[rows], second[rows]
    return replace(skin, tris=tris)


def _angles(points: Floats, tris: Ints) -> Floats:
    """(t, 3), rad: angle at each corner."""
    p = points[tris]
    edge = p[:, [1, 2, 0]] - p
    square = np.sum(edge**2, axis=2)
    twice = np.linalg.norm(np.cross(edge[:, 0], -edge[:, 2]), axis=1)
    dot = (np.roll(square, 1, axis=1) + square - np.roll(square, -1, axis=1)) / 2
    return np.asarray(np.arctan2(twice[:, None], dot))


def _joined(ends: Ints, c: Ints, d: Ints) -> Bools:
    """Whether an edge from c to d is there already."""
    size = int(ends.max()) + 1
    keys = ends[:, 0] * size + ends[:, 1]  # sorted, as edges_of makes them
    wanted = np.minimum(c, d) * size + np.maximum(c, d)
    at = np.minimum(np.searchsorted(keys, wanted), len(keys) - 1)
    return np.asarray(keys[at] == wanted)


def _alone(size: int, owned: Ints, order: Floats) -> Bools:
    """(k,): those first in order at all that they take, (k, ...) numbers below ``size``."""
    rank = np.empty(len(order))
    rank[np.argsort(order, kind="stable")] = np.arange(len(order))
    least = np.full(size, np.inf)
    for column in owned.T:
        np.minimum.at(least, column, rank)
    return np.asarray(np.all(least[owned] >= rank[:, None], axis=1))


def even_out(skin: Skin) -> Floats:
    """(n, 3): free corners at the middle of their neighbours, in the tangent plane."""
    edges = edges_of(skin.tris)
    kind = kinds_of(skin, edges, kept_edges(skin, edges))
    size = len(skin.points)
    total, count = np.zeros((size, 3)), np.bincount(edges.ends.ravel(), minlength=size)
    np.add.at(total, edges.ends[:, 0], skin.points[edges.ends[:, 1]])
    np.add.at(total, edges.ends[:, 1], skin.points[edges.ends[:, 0]])
    own = corner_normals(skin)
    step = total / np.maximum(count, 1)[:, None] - skin.points
    step -= np.sum(step * own, axis=1)[:, None] * own
    step[kind != FREE] = 0.0
    return np.asarray(skin.points + 0.7 * step)
