"""Splitting, collapsing, flipping and shifting edges of a closed surface, many at once.

Botsch and Kobbelt, A remeshing approach to multiresolution modeling, SGP 2004. Changes that could
meet are never made in the same sweep: of all that touch a neighbourhood only one goes ahead.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from scipy import sparse

from refledge.errors import AnalysisError
from refledge.typed import Bools, Floats, Ints

SHARP = np.cos(np.radians(35.0))
"""Faces that meet at more than 35 degrees keep their edge (a choice)."""
FLAT = 2e-3
"""Height over length below which a triangle has no normal to speak of (a choice)."""
TURN = np.cos(np.radians(40.0))
"""Kept edges that turn by more at a corner keep the corner (a choice)."""
STILL = 0.7
"""Least cosine between a triangle's normals before and after its corner is moved (a choice)."""
OUTWARD = 0.2
"""Least product of a triangle's new normal and those of the corners that it came from, summed."""
FREE, LINE, FIXED = 0, 1, 2
Draw = np.random.Generator
Away = Callable[[Floats, Floats], Floats]
"""How far points (k, 3) whose surface has normals (k, 3) lie from where they may be, (k,), above 0
where too far."""
Field = Callable[[Floats], Floats]
"""Edge wanted at points (k, 3) over the one asked for, (k,), at most 1."""
LEVEL = np.cos(np.radians(20.0))
"""Triangles that lean more than 20 degrees from those they take the place of are not even."""


def nowhere(points: Floats, _normals: Floats) -> Floats:
    return np.zeros(len(points))


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


def collapse(
    skin: Skin,
    short: float,
    longest: float,
    tiny: float,
    draw: Draw,
    away: Away = nowhere,
    field: Field = alike,
) -> Skin:
    """One sweep of edges shorter than ``short``; none made longer than ``longest``, both times
    ``field`` on the spot, as is ``tiny``.

    Edges shorter than ``tiny`` go even where corners are kept. draw: shuffles the order a little,
    so that an edge that may not go does not stop its neighbours in every sweep.
    """
    edges = edges_of(skin.tris)
    kept = kept_edges(skin, edges)
    kind = kinds_of(skin, edges, kept)
    length = shares_of(skin.points, edges.ends, field)
    gone, stays, rows = _directed(edges, kept, kind, length, short, tiny)
    order = length[rows] * draw.uniform(0.5, 1.0, len(rows))
    most = _apart(edges.ends, len(skin.points), gone, stays, order)
    gone, stays = gone[most], stays[most]
    sound = _linked(skin.tris, edges.ends, gone, stays)
    gone, stays = gone[sound], stays[sound]
    even = _stays_even(skin, gone, stays, longest, tiny, away, field)
    gone, stays = gone[even], stays[even]
    to = np.arange(len(skin.points))
    to[gone] = stays
    tris = to[skin.tris]
    whole = (tris[:, 0] != tris[:, 1]) & (tris[:, 1] != tris[:, 2]) & (tris[:, 2] != tris[:, 0])
    return compact(Skin(skin.points, tris[whole], skin.label[whole]))


def compact(skin: Skin) -> Skin:
    """Without points that no triangle uses."""
    used, renumbered = np.unique(skin.tris, return_inverse=True)
    return replace(skin, points=skin.points[used], tris=renumbered.reshape(-1, 3))


def _directed(
    edges: Edges, kept: Bools, kind: Ints, length: Floats, short: float, tiny: float
) -> tuple[Ints, Ints, Ints]:
    """Corner that goes, corner that stays and edge, for all edges short enough."""
    gone, stays, rows = [], [], []
    for one, two in ((0, 1), (1, 0)):
        r, k = edges.ends[:, one], edges.ends[:, two]
        may = (kind[r] == FREE) | ((kind[r] == LINE) & kept)
        may = (may & (length < short)) | ((length < tiny) & (kind[r] <= kind[k]))
        better = (
            (kind[r] < kind[k])
            | ((kind[r] == kind[k]) & (one == 0))
            | ~_other_way(kind, kept, length, k, short, tiny)
        )
        pick = np.flatnonzero(may & better)
        gone.append(r[pick])
        stays.append(k[pick])
        rows.append(pick)
    return np.concatenate(gone), np.concatenate(stays), np.concatenate(rows)


def _other_way(
    kind: Ints, kept: Bools, length: Floats, corner: Ints, short: float, tiny: float
) -> Bools:
    may = (kind[corner] == FREE) | ((kind[corner] == LINE) & kept)
    return np.asarray((may & (length < short)) | (length < tiny))


def _linked(tris: Ints, ends: Ints, gone: Ints, stays: Ints) -> Bools:
    """Both corners have exactly two neighbours in common: the surface stays a surface."""
    size = int(tris.max()) + 1
    both = np.concatenate((ends, ends[:, ::-1]))
    links = sparse.csr_array((np.ones(len(both)), both.T), shape=(size, size))
    common: Any = links[gone].multiply(links[stays]).sum(axis=1)
    return np.asarray(np.asarray(common).ravel() == 2)


def _stays_even(
    skin: Skin,
    gone: Ints,
    stays: Ints,
    longest: float,
    tiny: float,
    away: Away,
    field: Field,
) -> Bools:
    """No triangle turns over or leaves the surface, and no edge becomes too long."""
    size = len(skin.points)
    corner = skin.tris.ravel()
    by = np.argsort(corner, kind="stable")
    starts = np.searchsorted(corner[by], np.arange(size + 1))
    counts = starts[gone + 1] - starts[gone]
    which = np.repeat(np.arange(len(gone)), counts)
    offset = np.arange(len(which)) - np.repeat(np.cumsum(counts) - counts, counts)
    tri = by[starts[gone][which] + offset] // 3
    moved = np.where(skin.tris[tri] == gone[which][:, None], stays[which][:, None], skin.tris[tri])
    stands = ~np.any(skin.tris[tri] == stays[which][:, None], axis=1)
    before, area = normals_of(skin.points, skin.tris[tri])
    after, fresh = normals_of(skin.points, moved)
    spread = np.max(
        np.linalg.norm(skin.points[moved] - skin.points[stays[which]][:, None], axis=2), axis=1
    )
    here = field(skin.points[stays])
    length = (np.linalg.norm(skin.points[gone] - skin.points[stays], axis=1) / here)[which]
    here = here[which]
    speck = area < here**2 * tiny * np.maximum(length, tiny)
    bent = (np.sum(before * after, axis=1) < STILL) & ~speck & (length >= tiny)
    own = corner_normals(skin)
    inward = np.sum(after * (own[gone] + own[stays])[which], axis=1) < OUTWARD
    bent |= inward & (2 * fresh > FLAT * spread**2)
    lean = 0.05 * spread**2
    thin = (fresh < lean) & (area >= lean) & (length >= tiny)
    bad = stands & (bent | (spread > longest * here) | thin)
    left = np.flatnonzero(stands & ~bad & (length >= tiny))
    bad[left] |= away(skin.points[moved[left]].mean(axis=1), after[left]) > 0
    return np.asarray(np.bincount(which, bad, minlength=len(gone)) == 0)


def _apart(ends: Ints, size: int, gone: Ints, stays: Ints, order: Floats) -> Bools:
    """Those that are the shortest in their whole neighbourhood."""
    rank = np.empty(len(order))
    rank[np.lexsort((gone, order))] = np.arange(len(order))
    least = np.full(size, np.inf)
    np.minimum.at(least, gone, rank)
    np.minimum.at(least, stays, rank)
    near = least.copy()
    np.minimum.at(near, ends[:, 0], least[ends[:, 1]])
    np.minimum.at(near, ends[:, 1], least[ends[:, 0]])
    return np.asarray((near[gone] >= rank) & (near[stays] >= rank))


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
