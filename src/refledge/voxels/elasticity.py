"""A body of voxels: grid, law, supports and backend together; its stiffness at given densities."""

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from refledge.errors import AnalysisError
from refledge.typed import Bools
from refledge.voxels.backend import Array, Backend, backend
from refledge.voxels.grid import Grid, bits_of
from refledge.voxels.hexahedron import Element, element
from refledge.voxels.krylov import Solved, solve
from refledge.voxels.loads import Field, Loads
from refledge.voxels.material import Layered
from refledge.voxels.multigrid import Multigrid, Smoothing


@dataclass(frozen=True, eq=False)
class Body:
    """What stays the same while densities change."""

    grid: Grid
    law: Layered
    held: Bools
    """(3, nx + 1, ny + 1, nz + 1): motions that are held at zero."""
    backend: Backend = field(default_factory=backend)
    smoothing: Smoothing = Smoothing()

    def __post_init__(self) -> None:
        if self.held.shape != self.grid.field or self.held.dtype != bool:
            raise AnalysisError(
                f"held motions are {self.held.dtype} {self.held.shape}; bool {self.grid.field} is "
                "needed"
            )

    @cached_property
    def element(self) -> Element:
        """One solid voxel."""
        return element(self.law.stiffness(), self.law.rho, self.grid.spacing)

    @cached_property
    def _held(self) -> Array:
        """Bits of ``held``."""
        return self.backend.put(bits_of(self.held), np.uint8)

    def at(self, scale: Array, cases: int = 1) -> "Stiffness":
        """The body with each voxel ``scale`` (nx, ny, nz) times as stiff as solid.

        Zero means nothing there: nodes that only such voxels touch take no part.
        """
        if tuple(scale.shape) != self.grid.shape:
            raise AnalysisError(f"scale has shape {scale.shape}; {self.grid.shape} is needed")
        scale = self.backend.put(scale, np.float32)
        self.backend.tidy()
        if not bool((scale >= 0).all()) or not bool((scale > 0).any()):
            raise AnalysisError("stiffness scales must be numbers of at least 0, one above 0")
        self.backend.require(self.grid.shape, cases)
        fine = self.backend.fine(self.element, scale, self._held)
        return Stiffness(self, Multigrid(self.backend, fine, cases, self.smoothing), cases)


@dataclass(frozen=True, eq=False)
class Stiffness:
    """A body at one set of densities, ready to solve ``cases`` load cases side by side."""

    body: Body
    multigrid: Multigrid
    cases: int

    def solve(
        self,
        loads: Array | Loads | Field,
        guess: Array | None = None,
        tolerance: float = 1e-5,
        limit: int = 500,
    ) -> Solved:
        """Motions, m, under nodal ``loads`` (cases, 3, nodes), N; loads on held motions are lost.

        A ``guess`` in the backend's precision of motions is overwritten by the answer.
        """
        expected = (self.cases, *self.body.grid.field)
        if tuple(loads.shape) != expected:
            raise AnalysisError(f"loads have shape {loads.shape}; {expected} is needed")
        if not isinstance(loads, Loads | Field):
            loads = Loads.of(self.body.backend, loads, self.body.held)
        return solve(self.multigrid, loads, guess, tolerance, limit)

    def fewer(self, cases: int) -> "Stiffness":
        """For less load cases, in the same memory: never while another solve is under way."""
        return Stiffness(self.body, self.multigrid.fewer(cases), cases)

    def energies(self, u: Array, v: Array) -> Array:
        """(cases, nx, ny, nz), J: u' K v of each voxel were it solid."""
        return self.body.backend.energies(self.body.element, u, v)
