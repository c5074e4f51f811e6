"""Collapsing short edges of a closed surface, many at once.

Botsch and Kobbelt, A remeshing approach to multiresolution modeling, SGP 2004. Changes that could
meet are never made in the same sweep: of all that touch a neighbourhood only one goes ahead.
"""

from collections.abc import Callable
from typing import Any

import numpy as np
from scipy import sparse

from refledge.solids.remesh_skin import (
    FLAT,
    FREE,
    LINE,
    Edges,
    Field,
    Skin,
    alike,
    compact,
    corner_normals,
    edges_of,
    kept_edges,
    kinds_of,
    normals_of,
    shares_of,
)
from refledge.typed import Bools, Floats, Ints

STILL = 0.7
"""Least cosine between a triangle's normals before and after its corner is moved (a choice)."""
OUTWARD = 0.2
"""Least product of a triangle's new normal and those of the corners that it came from, summed."""
Draw = np.random.Generator
Away = Callable[[Floats, Floats], Floats]
"""How far points (k, 3) whose surface has normals (k, 3) lie from where they may be, (k,), above 0
where too far."""


def nowhere(points: Floats, _normals: Floats) -> Floats:
    return np.zeros(len(points))


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
