"""Forces of each voxel's own mass in the field of acceleration that a load case has.

They go with the design: more plastic, more force. With f = sum of w(density) m a the gradient of a
figure g(u) gets l . df beside the -l . dK u of fixed forces, K l = dg/du, and compliance f . u gets
2 u . df (Bruyneel and Duysinx, Note on topology optimization of continuum structures including
self-weight, 2005). Every voxel's force is spread over its eight corners alike: its resultant is
exact in a field that is linear in place, its moment but for the spacing's square over twelve.
"""

from dataclasses import dataclass

import numpy as np

from refledge.typed import Floats
from refledge.voxels.backend import Array
from refledge.voxels.elasticity import Body
from refledge.voxels.grid import CORNERS, Grid, at_corner

Vector = tuple[float, float, float]


@dataclass(frozen=True)
class Felt:
    """A field of acceleration: gravity, or minus the acceleration of what carries the part."""

    field: Vector
    """m/s2, at ``about``."""
    turn: Vector = (0.0, 0.0, 0.0)
    """rad/s2: the field at x is ``field`` + turn x (x - ``about``)."""
    about: Vector = (0.0, 0.0, 0.0)
    """m."""

    def at(self, x: Floats, y: Floats, z: Floats) -> tuple[Floats, Floats, Floats]:
        """m/s2 along x, y, z at points (m) that broadcast together."""
        fx, fy, fz = self.field
        p, q, r = self.turn
        x, y, z = x - self.about[0], y - self.about[1], z - self.about[2]
        return fx + q * z - r * y, fy + r * x - p * z, fz + p * y - q * x


def own_forces(body: Body, felt: Felt, weight: Array) -> Array:
    """(3, nodes), N; weight: (nx, ny, nz), each voxel's share of the mass of a solid one."""
    xp, grid = body.backend.xp, body.grid
    found = xp.zeros(grid.field, np.float64)
    for row, each in zip(found, _fields(body, felt), strict=True):
        force = weight * (body.element.mass / len(CORNERS) * each)
        for corner in CORNERS:
            row[at_corner(grid.shape, corner)] += force
    return found


def own_work(body: Body, felt: Felt, u: Array) -> Array:
    """(nx, ny, nz), J: work of each voxel's force, were it solid, on motions ``u`` (3, nodes)."""
    shape = body.grid.shape
    total = body.backend.xp.zeros(shape, np.float64)
    for row, each in zip(u, _fields(body, felt), strict=True):
        mean = sum(row[at_corner(shape, corner)] for corner in CORNERS) / len(CORNERS)
        total += mean * (body.element.mass * each)
    return total


def _fields(body: Body, felt: Felt) -> list[Array]:
    """Of x, y, z in the middle of voxels, m/s2, shaped to broadcast over them."""
    return [body.backend.put(np.asarray(each), np.float64) for each in middles(body.grid, felt)]


def middles(grid: Grid, felt: Felt) -> tuple[Floats, Floats, Floats]:
    """The field in the middle of each voxel, m/s2 along x, y, z, shaped to broadcast."""
    return felt.at(*grid.centres())
