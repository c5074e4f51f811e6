"""Lines of bodies known by their triangles on paper: edges and outlines, seen and hidden.

An edge is drawn where its faces meet at an angle or where one looks at the eye and the other away.
Whether a stretch of it is seen is asked of a depth picture of all surfaces.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from refledge.geometry.raster import rasterise
from refledge.model.results import TriMesh
from refledge.typed import Bools, Floats, Ints

CREASE = 0.6
"""rad; faces that meet at less are one smooth surface: well above what the chords of a round face
turn by, and what smooth voxels do. Our choice."""
CELLS = 1200
"""Of the depth picture along the longer side of the paper: lines come out true to a thousandth of
the drawing. Our choice."""
STEP = 2.0
"""Cells along an edge from one question to the next."""
SLACK = 2.5
"""Cells by which a line may lie behind what is seen there: it lies on a surface that slopes."""


HIDDEN = 0.04
"""Of the longest side of the body: shorter hidden lines of a rough surface say nothing and stand in
the way. Our choice."""
_LEAST = 1e-6  # m: shorter stretches are edges that point at the eye


@dataclass(frozen=True, eq=False)
class Lines:
    """Of one body, polylines (n, 2), m on the paper."""

    visible: tuple[Floats, ...]
    hidden: tuple[Floats, ...]


def mesh_lines(meshes: Sequence[TriMesh], axes: Floats) -> tuple[Lines, ...]:
    """Lines of each body where all stand together. axes: (3, 3), rows to the right of the paper, up
    it, and towards the eye."""
    turned = [TriMesh(each.vertices @ axes.T, each.triangles) for each in meshes]
    depth = _Depth(turned)
    return tuple(_lines(each, depth) for each in turned)


class _Depth:
    """How near to the eye the nearest surface lies in each cell of the paper."""

    def __init__(self, meshes: Sequence[TriMesh]) -> None:
        corners = np.concatenate([each.vertices[each.triangles] for each in meshes])
        self.low = corners[..., :2].min(axis=(0, 1))
        size = corners[..., :2].max(axis=(0, 1)) - self.low
        self.cell = float(size.max()) / CELLS
        width, height = (int(each) + 2 for each in size / self.cell)
        flat = (corners[..., :2] - self.low) / self.cell
        away = -corners[..., 2:]
        self.away = rasterise(np.concatenate([flat, away], axis=2), width, height).depth

    def seen(self, points: Floats) -> Bools:
        """Whether each of points (n, 3) has nothing before it; off all surfaces nothing has."""
        x, y = ((points[:, :2] - self.low) / self.cell).astype(np.int64).T
        return np.asarray(-points[:, 2] <= self.away[y, x] + SLACK * self.cell)


def _lines(mesh: TriMesh, depth: _Depth) -> Lines:
    edges = mesh.vertices[_drawn(mesh)]
    if not len(edges):
        return Lines((), ())
    pieces, seen = _runs(edges, depth)
    long = np.abs(np.diff(pieces, axis=1)).max(axis=(1, 2)) > _LEAST
    hidden = chained(pieces[~seen & long])
    told = HIDDEN * float(np.ptp(mesh.vertices, axis=0).max())
    kept = tuple(each for each in hidden if float(np.ptp(each, axis=0).max()) >= told)
    return Lines(chained(pieces[seen & long]), kept)


def _runs(edges: Floats, depth: _Depth) -> tuple[Floats, Bools]:
    """Stretches (n, 2, 2) of edges (m, 2, 3) that are seen or hidden throughout, and which are."""
    way = edges[:, 1] - edges[:, 0]
    counts = np.ceil(np.linalg.norm(way, axis=1) / (STEP * depth.cell)).astype(np.int64)
    counts = np.maximum(1, counts)
    which = np.repeat(np.arange(len(edges)), counts)
    step = np.arange(len(which)) - np.repeat(np.cumsum(counts) - counts, counts)
    middle = edges[which, 0] + way[which] * ((step + 0.5) / counts[which])[:, None]
    seen = depth.seen(middle)
    fresh = np.ones(len(which), dtype=np.bool_)
    fresh[1:] = (which[1:] != which[:-1]) | (seen[1:] != seen[:-1])
    first = np.flatnonzero(fresh)
    last = np.append(first[1:], len(which)) - 1
    edge = which[first]
    ends = [edges[edge, 0] + way[edge] * (at / counts[edge])[:, None]
            for at in (step[first], step[last] + 1)]  # fmt: skip
    return np.stack(ends, axis=1)[..., :2], seen[first]


def _drawn(mesh: TriMesh) -> Ints:
    """(n, 2): ends of the edges that are creases or outlines, eye along z."""
    t = mesh.triangles
    half = np.concatenate([t[:, [0, 1]], t[:, [1, 2]], t[:, [2, 0]]])
    owner = np.tile(np.arange(len(t)), 3)
    order = np.lexsort((half.max(axis=1), half.min(axis=1)))
    one, other = owner[order[0::2]], owner[order[1::2]]
    a, b, c = (mesh.vertices[t[:, k]] for k in range(3))
    normal = np.cross(b - a, c - a)
    normal /= np.maximum(np.linalg.norm(normal, axis=1), 1e-30)[:, None]
    sharp = np.einsum("ij,ij->i", normal[one], normal[other]) < np.cos(CREASE)
    turned = (normal[one, 2] > 1e-6) != (normal[other, 2] > 1e-6)
    return np.asarray(half[order[0::2]][sharp | turned])


def chained(pieces: Floats) -> tuple[Floats, ...]:
    """Stretches (n, 2, 2) that end where others begin, put together where just two meet."""
    ends: dict[tuple[int, int], list[int]] = {}
    keys = np.round(pieces * 1e7).astype(np.int64)
    for number, pair in enumerate(keys.tolist()):
        for end in pair:
            ends.setdefault((end[0], end[1]), []).append(number)
    left, found = set(range(len(pieces))), []
    for number in range(len(pieces)):
        if number not in left:
            continue
        left.discard(number)
        line = [pieces[number, 0], pieces[number, 1]]
        for forward in (True, False):
            here, at = number, keys[number, int(forward)]
            while True:
                met = ends[(int(at[0]), int(at[1]))]
                nexts = [each for each in met if each != here and each in left]
                if len(met) != 2 or not nexts:
                    break
                here = nexts[0]
                left.discard(here)
                side = 1 if tuple(keys[here, 0]) == tuple(at) else 0
                line.insert(len(line) if forward else 0, pieces[here, side])
                at = keys[here, side]
        found.append(np.array(line))
    return tuple(found)
