"""Level cuts through a part's surface: area, outline and straight runs of each layer.

Every triangle that a level crosses gives one directed segment with the body on its left, so the
area follows from the segments alone (Green's theorem) and no outline has to be put together.
"""

from dataclasses import dataclass

import numpy as np

from refledge.model.results import TriMesh
from refledge.typed import Floats, Ints

_PLANE = 1e-4
"""Triangles whose normals and offsets (over the part's size) differ by less lie in one plane."""


@dataclass(frozen=True, eq=False)
class Slices:
    """Cuts through the middle of every layer."""

    levels: Floats
    """(n,), m above the bed."""
    areas: Floats
    """(n,), m2."""
    outlines: Floats
    """(n,), m, length of all outlines together, holes included."""
    run_layers: Ints
    """(n_runs,), layer of each straight run."""
    runs: Floats
    """(n_runs,), m, length of each straight run of an outline."""


def layer_count(height: float, layer: float) -> int:
    """Layers of a part ``height`` m tall; a last layer thinner than a tenth is not printed."""
    return max(1, int(np.ceil(height / layer - 0.1)))


def slice_part(mesh: TriMesh, layer: float) -> Slices:
    """Cut a part as it lies on the bed (z from 0, m) at the middle of every layer."""
    top = float(mesh.vertices[:, 2].max())
    levels: Floats = (np.arange(layer_count(top, layer), dtype=float) + 0.5) * layer
    levels[-1] = min(levels[-1], (levels[-1] - layer / 2 + top) / 2)
    which, triangle = _pairs(mesh, levels)
    start, end = _segments(mesh.vertices[mesh.triangles][triangle], levels[which])
    length = np.hypot(*(end - start).T)
    doubled = start[:, 0] * end[:, 1] - start[:, 1] * end[:, 0]
    number = len(levels)
    run_layers, runs = _straight(mesh, which, triangle, length)
    return Slices(
        levels,
        _sums(which, 0.5 * doubled, number),
        _sums(which, length, number),
        run_layers,
        runs,
    )


def _pairs(mesh: TriMesh, levels: Floats) -> tuple[Ints, Ints]:
    """Every (level, triangle) that cross, (n_pairs,) each."""
    heights = mesh.vertices[mesh.triangles][:, :, 2]
    first = np.searchsorted(levels, heights.min(axis=1), side="left")
    past = np.searchsorted(levels, heights.max(axis=1), side="left")
    counts = past - first
    triangle = np.repeat(np.arange(len(heights)), counts)
    before = np.concatenate([[0], np.cumsum(counts)])[:-1]
    which = np.arange(int(counts.sum())) - np.repeat(before, counts) + np.repeat(first, counts)
    return which, triangle


def _segments(corners: Floats, level: Floats) -> tuple[Floats, Floats]:
    """Start and end, (n, 2), m, of the cut of each triangle (n, 3, 3); the body on the left."""
    above = corners[:, :, 2] > level[:, None]
    up = above[:, [1, 2, 0]] & ~above
    down = ~above[:, [1, 2, 0]] & above
    rows = np.arange(len(corners))
    points = []
    for edge in (np.argmax(down, axis=1), np.argmax(up, axis=1)):
        a, b = corners[rows, edge], corners[rows, (edge + 1) % 3]
        share = (level - a[:, 2]) / (b[:, 2] - a[:, 2])
        points.append(a[:, :2] + share[:, None] * (b - a)[:, :2])
    return points[0], points[1]


def _straight(mesh: TriMesh, which: Ints, triangle: Ints, length: Floats) -> tuple[Ints, Floats]:
    """Segments of one plane in one layer joined: layer and length of each run."""
    corners = mesh.vertices[mesh.triangles]
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    normal /= np.maximum(np.linalg.norm(normal, axis=1), 1e-30)[:, None]
    offset = np.einsum("ij,ij->i", normal, corners[:, 0]) / np.ptp(mesh.vertices, axis=0).max()
    plane = np.unique(np.round(np.c_[normal, offset] / _PLANE), axis=0, return_inverse=True)[1]
    key = which * (int(plane.max()) + 1) + plane.ravel()[triangle]
    runs, inverse = np.unique(key, return_inverse=True)
    return runs // (int(plane.max()) + 1), _sums(inverse, length, len(runs))


def _sums(into: Ints, what: Floats, number: int) -> Floats:
    """Sum of ``what`` for each of ``number`` places."""
    return np.bincount(into, weights=what, minlength=number).astype(float)
