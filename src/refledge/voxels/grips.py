"""Grips: a set of nodes taken hold of as a rigid piece would, for loads, readings and lumps.

The motion of a grip is the rigid motion that fits its nodes best in the least-squares sense; a
force and moment on it spreads over the nodes by the transpose, which keeps work equal (the
interpolating link of finite-element codes, known as RBE3).
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from refledge.errors import AnalysisError
from refledge.typed import Bools, Floats, Ints
from refledge.voxels.backend import Array
from refledge.voxels.grid import Grid

_RANK = 1e-9  # least singular value, relative, of nodes that can tell six motions apart


@dataclass(frozen=True, eq=False)
class Grip:
    """Marked ``nodes`` (nx + 1, ny + 1, nz + 1) of a grid, moving about ``centre`` (m)."""

    grid: Grid
    nodes: Bools
    centre: tuple[float, float, float]

    @cached_property
    def places(self) -> Ints:
        """(m,): the nodes' places in a flattened nodal array."""
        if self.nodes.shape != self.grid.nodes:
            raise AnalysisError(f"grip nodes have shape {self.nodes.shape}, not {self.grid.nodes}")
        return np.flatnonzero(self.nodes)

    @cached_property
    def shapes(self) -> Floats:
        """(m, 3, 6): nodal motion for each unit of the grip's x, y, z, and turns about them."""
        axes = np.broadcast_arrays(*self.grid.axes())
        x, y, z = (a.ravel()[self.places] - c for a, c in zip(axes, self.centre, strict=True))
        R = np.zeros((len(x), 3, 6))
        R[:, [0, 1, 2], [0, 1, 2]] = 1
        R[:, 1, 3], R[:, 2, 3] = -z, y
        R[:, 0, 4], R[:, 2, 4] = z, -x
        R[:, 0, 5], R[:, 1, 5] = -y, x
        return R

    @cached_property
    def weights(self) -> Floats:
        """(m, 3, 6): nodal forces of a unit force or moment on the grip."""
        R = self.shapes.reshape(-1, 6)
        size = np.array([1.0] * 3 + [self.grid.spacing] * 3)
        values = np.linalg.svd(R / size, compute_uv=False)
        if len(values) < 6 or values[-1] < _RANK * values[0]:
            raise AnalysisError(
                f"a grip of {len(self.places)} nodes cannot feel all turns; take at least three "
                "nodes that are not in one line"
            )
        return np.asarray(R @ np.linalg.inv(R.T @ R)).reshape(-1, 3, 6)

    def field(self, wrench: Floats) -> Floats:
        """(3, nodes), N: nodal forces of ``wrench`` (6,): force, N, and moment, N m."""
        loads = np.zeros((3, self.nodes.size))
        loads[:, self.places] = (self.weights @ np.asarray(wrench, float)).T
        return loads.reshape(self.grid.field)

    def motion(self, u: Array) -> Floats:
        """(..., 6): the grip's motion, m and rad, in fields ``u`` (..., 3, nodes) on the host."""
        at = np.asarray(u).reshape(*u.shape[:-3], -1)[..., self.places]
        return np.asarray(np.einsum("...cm,mcj->...j", at, self.weights))
