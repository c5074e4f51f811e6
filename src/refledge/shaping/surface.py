"""From densities to one smooth closed surface that encloses the same volume.

A surface through a field on voxel centres is stepped where the field is crisp, so it is smoothed by
Taubin's filter (Taubin, Curve and surface smoothing without shrinkage, ICCV 1995): a step towards
the neighbours' mean, then a slightly longer one away from it. What little volume the filter takes
is put back by moving the surface along its normals.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy import sparse
from skimage.measure import marching_cubes

from refledge.errors import GeometryError
from refledge.geometry.mesh import mesh_volume
from refledge.model.results import TriMesh
from refledge.typed import Floats, Ints
from refledge.voxels.grid import Grid

STEPS = 10
"""Pairs of Taubin's steps: staircases of single voxels are gone after about ten (by trial)."""
INWARDS, OUTWARDS = 0.5, -0.53
"""Taubin's factors; waves longer than his pass band 1/0.5 - 1/0.53 = 0.11 stay."""
LEVELS = (0.02, 0.98)
"""Where the level is sought: outside it the field is no body with a border."""
SAME_VOLUME = 1e-5
"""Share of the volume within which a level or a shift will do."""
JUMP = 1e-3
"""Share of the volume that may be missing where the volume jumps with the level, as it does where
marching cubes changes its mind about a cube; moving the surface puts it back (a choice)."""
_PASSES = 40


@dataclass(frozen=True, eq=False)
class Enclosed:
    """A smooth surface of a density field and what was done to it."""

    mesh: TriMesh
    """May still be several bodies."""
    level: float
    """Density on the surface before smoothing (1)."""
    volume: float
    """m3 that the surface encloses: of the densities if nothing else was asked for."""
    smoothed: float
    """Share of the volume that smoothing added (below 0: took) before it was put back."""
    shift: float
    """m along the normals that put it back."""


def enclose(density: Floats, grid: Grid, volume: float | None = None) -> Enclosed:
    """The surface round ``density`` (nx, ny, nz), 0 to 1, m; air lies beyond the grid.

    volume: m3 that it encloses, by moving all over; what the densities add up to if not given.
    Raises GeometryError where no level encloses it.
    """
    if volume is None:
        volume = float(density.sum(dtype=np.float64)) * grid.spacing**3
    level = _level(density, grid, volume)
    rough = _surface(density, grid, level)
    smooth = taubin(rough)
    change = mesh_volume(smooth) / volume - 1.0
    mesh, shift = _restored(smooth, volume)
    return Enclosed(mesh, level, volume, change, shift)


def taubin(mesh: TriMesh, steps: int = STEPS) -> TriMesh:
    """Smoothed by ``steps`` pairs of Taubin's steps, neighbours weighing the same."""
    mean = _neighbours(mesh.triangles, len(mesh.vertices))
    points = mesh.vertices
    for _ in range(steps):
        for factor in (INWARDS, OUTWARDS):
            points = points + factor * (mean @ points - points)
    return TriMesh(points, mesh.triangles)


def corner_normals(mesh: TriMesh) -> Floats:
    """(n, 3): unit normals at the corners, triangles weighing by area."""
    a, b, c = (mesh.vertices[mesh.triangles[:, k]] for k in range(3))
    each = np.cross(b - a, c - a)
    summed = np.zeros_like(mesh.vertices)
    for k in range(3):
        np.add.at(summed, mesh.triangles[:, k], each)
    length = np.linalg.norm(summed, axis=1)[:, None]
    return np.asarray(summed / np.where(length > 0, length, 1.0))


def _level(density: Floats, grid: Grid, volume: float) -> float:
    """The level whose surface encloses ``volume``, m3; the enclosed volume falls as it rises."""

    densest = float(density.max())

    def excess(level: float) -> float:
        if level >= densest:
            return -1.0
        return mesh_volume(_surface(density, grid, level)) / volume - 1.0

    if not volume > 0:
        raise GeometryError("there is no plastic in the density field: nothing to draw round")
    ends = (excess(LEVELS[0]), excess(LEVELS[1]))
    if ends[0] < 0 or ends[1] > 0:
        raise GeometryError(
            f"no level between {LEVELS[0]} and {LEVELS[1]} encloses the densities' "
            f"{volume * 1e6:.3f} cm3: the nearest misses it by {min(map(abs, ends)):.1%}. The "
            "field is too grey; sharpen its projection or use smaller voxels"
        )
    return _crossing(excess, LEVELS, ends)


def _crossing(
    excess: Callable[[float], float], limits: tuple[float, float], ends: tuple[float, float]
) -> float:
    """Where ``excess`` is nought, by false position with halved stale ends (Illinois rule)."""
    (low, high), (more, less) = limits, ends
    at = (low + high) / 2
    for _ in range(_PASSES):
        found = excess(at)
        if abs(found) < SAME_VOLUME:
            return at
        if found > 0:
            low, more, less = at, found, less / 2
        else:
            high, less, more = at, found, more / 2
        at = low + (high - low) * more / (more - less)
    if abs(excess(at)) < JUMP:
        return at
    raise GeometryError(
        f"the surface's volume jumps past that of the densities at level {at:.4f}: use a field "
        "with a border of more than one value, or smaller voxels"
    )


def _surface(density: Floats, grid: Grid, level: float) -> TriMesh:
    """Marching cubes with topology kept (Lewiner et al., J. Graphics Tools 2003), m."""
    field = np.pad(np.asarray(density, np.float64), 1)
    # A corner exactly on the surface would make triangles without area.
    field = np.where(np.abs(field - level) < 1e-6, level + 1e-6, field)
    corners, faces, _, _ = marching_cubes(field, level, gradient_direction="ascent")  # type: ignore[no-untyped-call]
    points = np.array(grid.origin) + (corners.astype(np.float64) - 0.5) * grid.spacing
    mesh = TriMesh(points, faces.astype(np.int64))
    if mesh_volume(mesh) < 0:
        return TriMesh(points, mesh.triangles[:, ::-1])
    return mesh


def _restored(mesh: TriMesh, volume: float) -> tuple[TriMesh, float]:
    """Moved along its normals until it encloses ``volume`` again, and by how much, m."""
    whole, total = mesh, 0.0
    for _ in range(_PASSES):
        missing = volume - mesh_volume(whole)
        if abs(missing) < SAME_VOLUME * volume:
            return whole, total
        step = missing / area(whole)
        total += step
        whole = TriMesh(whole.vertices + step * corner_normals(whole), mesh.triangles)
    raise GeometryError("the smoothed surface could not be given its volume back")


def area(mesh: TriMesh) -> float:
    """m2."""
    a, b, c = (mesh.vertices[mesh.triangles[:, k]] for k in range(3))
    return float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2)


def edges_of(triangles: Ints) -> Ints:
    """(3 n, 2): pairs of corners, each met in both of its triangles."""
    return np.concatenate([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]])


def _neighbours(triangles: Ints, count: int) -> sparse.csr_array:
    """(n, n): row i times points is the mean of i's neighbours."""
    pairs = edges_of(triangles)
    both = np.concatenate([pairs, pairs[:, ::-1]])
    links = sparse.coo_array((np.ones(len(both)), both.T), shape=(count, count)).tocsr()
    links.data[:] = 1.0  # each edge is met in both of its triangles
    degree = np.asarray(links.sum(axis=1)).ravel()
    return sparse.csr_array(sparse.diags_array(1.0 / np.maximum(degree, 1.0)) @ links)
