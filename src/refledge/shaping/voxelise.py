"""Any closed surface on a grid: the share of every voxel that lies inside it."""

from itertools import pairwise

import numpy as np

from refledge.analysis.columns import cast_on
from refledge.geometry import kernel
from refledge.geometry.kernel import Solid
from refledge.model.results import TriMesh
from refledge.typed import Floats
from refledge.voxels.grid import Grid

BETWEEN = 62.5e-6
"""m between vertical lines: sides of walls to a sixteenth of a millimetre."""
FEWEST, MOST = 4, 16
"""Lines through a voxel along each side, whatever its size."""


def lines_for(spacing: float) -> int:
    """Lines through a voxel of that edge, m: small voxels need fewer for the same walls."""
    return int(np.clip(round(spacing / BETWEEN), FEWEST, MOST))


def solid_shares(solid: Solid, grid: Grid, lines: int | None = None) -> Floats:
    """(nx, ny, nz), 0 to 1: share of each voxel inside ``solid``."""
    return mesh_shares(kernel.tessellate(solid), grid, lines)


def mesh_shares(mesh: TriMesh, grid: Grid, lines: int | None = None) -> Floats:
    """The same of a closed triangle surface; exact along z, on ``lines`` x ``lines`` columns.

    lines: by default as many as ``lines_for`` the grid. What lies outside the grid is left out.
    """
    lines = lines or lines_for(grid.spacing)
    nx, ny, nz = grid.shape
    step = grid.spacing / lines
    fine = (nx * lines, ny * lines)
    columns = cast_on(mesh.vertices, mesh.triangles, np.array(grid.origin[:2]), step, fine)
    number, bottom, top = columns.inside
    planes = grid.origin[2] + grid.spacing * np.arange(nz + 1)
    voxel = (number // fine[1] // lines) * ny + number % fine[1] // lines
    share = np.zeros((nx * ny, nz))
    for k, (low, high) in enumerate(pairwise(planes)):
        length = np.clip(np.minimum(top, high) - np.maximum(bottom, low), 0.0, None)
        share[:, k] = np.bincount(voxel, length, minlength=nx * ny)
    return np.asarray(share.reshape(nx, ny, nz) / (grid.spacing * lines**2)).clip(0.0, 1.0)
