"""Walls thinner than the printer can lay, made thick enough by moving the smooth surface.

Where a wall is too thin both its sides move out along their normals. The plastic for it is taken
off everywhere else, by one depth. Nothing moves beyond the grid, where it would be cut to an edge.
"""

from dataclasses import dataclass, replace

import numpy as np
from scipy.spatial import KDTree

from refledge.geometry.mesh import mesh_volume
from refledge.model.results import TriMesh
from refledge.shaping.grown import Grown
from refledge.shaping.surface import SAME_VOLUME, Enclosed, area, corner_normals, edges_of, enclose
from refledge.shaping.surface_walls import ThinSpots
from refledge.typed import Bools, Floats, Ints
from refledge.voxels.grid import Grid

OVER = 1.05
"""Least walls to which walls are thickened: making triangles fewer and taking plastic off all over
make them thinner again."""
SLOPE = 0.4
"""Voxels by which corners that hang together may move differently: more would fold the surface (a
choice)."""
REACH = 1.5
"""Voxels about a thin spot whose corners move: all three of a triangle that holds it."""
DEEPEST = 0.1
"""Least walls that are taken off elsewhere at most: where hardly a wall is thick enough the part
gets heavier instead (a choice)."""
_PASSES, _SWEEPS = 20, 4
_LEAST = 0.01  # share of corners that the depth is guessed by at least
_EDGES = (np.minimum, np.maximum)


@dataclass(frozen=True, eq=False)
class Raised:
    """A smooth surface, and how far its corners are moved out where walls are thin."""

    smooth: Enclosed
    room: tuple[Floats, Floats]
    """(3,) and (3,), m: corners of the grid, beyond which no corner moves."""
    normals: Floats
    """(n, 3), of the smooth surface's corners."""
    out: Floats
    """(n,), m."""
    mesh: TriMesh
    """With all of it moved, and the volume of the smooth one."""
    filled: float = 0.0
    """m3 put where there were films, before."""

    @property
    def put(self) -> float:
        """m3 put where walls were thin; taken off elsewhere, as far as that goes."""
        if not self.out.any():
            return self.filled
        return self.filled + mesh_volume(self.moved(self.out, 0.0)) - self.smooth.volume

    def moved(self, out: Floats, depth: float) -> TriMesh:
        """Corners moved by ``out`` (n,), those that are not by ``depth`` inwards, m."""
        start = self.smooth.mesh.vertices
        reached = start + np.where(out > 0, out, -depth)[:, None] * self.normals
        low, high = (edge(start, each) for edge, each in zip(_EDGES, self.room, strict=True))
        return TriMesh(np.clip(reached, low, high), self.smooth.mesh.triangles)


def flush(density: Floats, grid: Grid, volume: float | None = None, filled: float = 0.0) -> Raised:
    """The smooth surface round ``density`` as it is, see ``enclose``."""
    smooth = enclose(density, grid, volume)
    low = np.array(grid.origin)
    room = (low, low + np.array(grid.shape) * grid.spacing)
    none = np.zeros(len(smooth.mesh.vertices))
    return Raised(smooth, room, corner_normals(smooth.mesh), none, smooth.mesh, filled)


def raised(before: Raised, spots: ThinSpots, least: float, share: float, grown: Grown) -> Raised:
    """Moved out further by ``share`` of what is missing of ``least`` (m) at ``spots``, not into
    voxels that must stay empty, and by no more than ``least``."""
    h, edges = grown.grid.spacing, edges_of(before.smooth.mesh.triangles)
    more = share * _missing(before, spots, least, REACH * h)
    out = _eased(np.minimum(before.out + more, least), edges, SLOPE * h)
    out = np.where(_void(grown, before.moved(out, 0.0).vertices), before.out, out)
    out = -_eased(-out, edges, SLOPE * h)
    return replace(before, out=out, mesh=_lowered(before, out, DEEPEST * least))


def _eased(out: Floats, edges: Ints, step: float) -> Floats:
    """``out`` raised where it lies more than ``step`` below that of a neighbour."""
    found = out.copy()
    for _ in range(_SWEEPS):
        for one, other in (edges.T, edges.T[::-1]):
            np.maximum.at(found, one, found[other] - step)
    return found


def _missing(before: Raised, spots: ThinSpots, least: float, reach: float) -> Floats:
    """(n,), m: the most that is missing at any spot near each corner, on either of its sides."""
    corners = KDTree(before.mesh.vertices)
    found = np.zeros(len(before.out))
    missing = OVER * least - spots.thick
    for places, side in ((spots.starts, 1.0), (spots.ends, -1.0)):
        near = KDTree(places).query_ball_tree(corners, reach)
        spot = np.repeat(np.arange(len(places)), [len(each) for each in near])
        mine = np.concatenate([np.asarray(each, np.int64) for each in near])
        same = side * np.einsum("ij,ij->i", before.normals[mine], spots.normals[spot]) > 0
        np.maximum.at(found, mine[same], missing[spot[same]])
    return found


def _void(grown: Grown, points: Floats) -> Bools:
    """(n,): whether points (n, 3), m, lie in voxels that must stay empty."""
    at = np.floor((points - grown.origin) / grown.grid.spacing).astype(np.int64)
    there = ((at >= 0) & (at < grown.grid.shape)).all(axis=1)
    found = np.zeros(len(points), bool)
    found[there] = grown.void[tuple(at[there].T)]
    return np.asarray(found)


def _lowered(before: Raised, out: Floats, deepest: float) -> TriMesh:
    """Moved out by ``out``, and in by one depth (at most ``deepest``, m) where that is nothing, to
    the same volume."""
    mesh, depth, rest = before.moved(out, 0.0), 0.0, float((out == 0).mean())
    for _ in range(_PASSES):
        surplus = mesh_volume(mesh) - before.smooth.volume
        if abs(surplus) < SAME_VOLUME * before.smooth.volume or depth == deepest:
            break
        depth = min(deepest, depth + surplus / (area(mesh) * max(rest, _LEAST)))
        mesh = before.moved(out, depth)
    return mesh
