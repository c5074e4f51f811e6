"""Use of strength of a design under each load case, and its gradient by one more solve a case.

The gradient of a figure f(stress(u), density) is its own slope to density less l . dK u, and l . dp
where voxels' own forces p pull, with K l = df/du (adjoint method; Le, Norato, Bruns, Ha and
Tortorelli, 2010, for the p-norm of relaxed stresses). What is kept is the greatest use itself: the
p-norm gives the direction and is corrected to it at every design, their scaling without memory, so
that a growth taken up again goes on alike.
"""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from refledge.typed import Floats, Ints
from refledge.voxels.backend import Array
from refledge.voxels.elasticity import Body, Stiffness
from refledge.voxels.loads import Field
from refledge.voxels.own_forces import Felt, own_work
from refledge.voxels.problem import Problem, Recipe, StrengthLimit
from refledge.voxels.strains import middle_forces, middle_strains
from refledge.voxels.strength import Gathered, gathered, uses

_IDLE = 0.5
"""Of what is allowed: other cases than the worst that use less steer nothing and get no solve."""


class Judged(NamedTuple):
    """One load case: its row among the solved fields, and the factor on its use of strength."""

    row: int
    factor: float
    felt: Felt | None
    """What its plastic feels."""


@dataclass(frozen=True, eq=False)
class Stressed:
    """Of one design, by judged load case."""

    uses: Floats
    """(judged,): the greatest of any voxel that counts, factors in."""
    norms: Floats
    """(judged,): their p-norms."""
    slopes: list[Array]
    """Gradients of the norms to the densities; None where the case is idle."""
    iterations: Ints


class Stresses:
    """The strength of one problem; keeps the last adjoint motions as the next guess."""

    def __init__(self, problem: Problem, recipe: Recipe) -> None:
        limit = problem.strength
        assert limit is not None  # made only where there is one
        self.body, self.limit, self.recipe = problem.body, limit, recipe
        self.xp = problem.body.backend.xp
        self.judged = [
            Judged(row, limit.factors[load.name], load.felt)
            for row, load in enumerate(problem.loads)
            if limit.factors.get(load.name, 0.0) > 0
        ]
        self._counts = problem.body.backend.put(limit.counts, np.float64)
        self._known: dict[int, Array] = {}

    def evaluate(
        self, stiffness: Stiffness, density: Array, u: Array, slope: Array, weight_slope: Array
    ) -> Stressed:
        """slope, weight_slope: (nx, ny, nz), of voxels' stiffness and weight to their density."""
        found = [self._gathered(each, density, u) for each in self.judged]
        worst = max(each.most for each in found)
        active = [
            k for k, each in enumerate(found)
            if each.most > _IDLE * self.limit.most or each.most == worst
        ]  # fmt: skip
        slopes: list[Array] = [None] * len(found)
        forces = self.xp.stack([self._forces(found[k]) for k in active])
        adjoint, iterations = self._solved(stiffness, forces, active)
        for at, k in enumerate(active):
            row, felt = self.judged[k].row, self.judged[k].felt
            mutual = stiffness.energies(adjoint[at : at + 1], u[row : row + 1])[0]
            slopes[k] = found[k].to_density - mutual * slope
            if felt is not None:
                slopes[k] += own_work(self.body, felt, adjoint[at]) * weight_slope
        most, norms = (np.array([each[k] for each in found]) for k in range(2))
        return Stressed(most, norms, slopes, iterations)

    def _gathered(self, case: Judged, density: Array, u: Array) -> Gathered:
        counts = case.factor * self._counts
        return _of_case(self.body, self.limit, counts, density, u[case.row])

    def _forces(self, found: Gathered) -> Array:
        """(3, nodes): df/du, K symmetric."""
        strain = self.xp.tensordot(_law(self.body), found.to_stress, axes=1)
        return middle_forces(self.xp, strain, self.body.grid.spacing)

    def _solved(self, stiffness: Stiffness, forces: Array, active: list[int]) -> tuple[Array, Ints]:
        none = self.xp.zeros(forces.shape[1:])
        guess = self.xp.stack([self._known.get(k, none) for k in active])
        loads = Field.of(self.body.backend, forces, self.body.held)
        solved = stiffness.fewer(len(active)).solve(loads, guess, self.recipe.tolerance)
        for at, k in enumerate(active):
            self._known[k] = solved.x[at]
        return solved.x, solved.iterations


def greatest_use(
    body: Body, limit: StrengthLimit, load: str, density: Array, motion: Array
) -> float:
    """Of any voxel that counts, the load's factor in, from the motions (3, nodes) under ``load``;
    0 where that is not judged."""
    counts = limit.factors.get(load, 0.0) * body.backend.put(limit.counts, np.float64)
    return _of_case(body, limit, counts, density, motion).most


def voxel_uses(body: Body, limit: StrengthLimit, load: str, density: Array, motion: Array) -> Array:
    """(nx, ny, nz): the same of each voxel, by whichever criterion asks more."""
    counts = limit.factors.get(load, 0.0) * body.backend.put(limit.counts, np.float64)
    plastic, layers = uses(body.backend.xp, _stress(body, motion), limit.strength)
    return counts * density**limit.relax * body.backend.xp.maximum(plastic.use, layers.use)


def _of_case(
    body: Body, limit: StrengthLimit, counts: Array, density: Array, motion: Array
) -> Gathered:
    stress = _stress(body, motion)
    return gathered(
        body.backend.xp, stress, density, counts, limit.strength, limit.relax, limit.norm
    )


def _stress(body: Body, motion: Array) -> Array:
    """(6, nx, ny, nz), Pa: of solid plastic at the voxels' strains."""
    xp = body.backend.xp
    return xp.tensordot(_law(body), middle_strains(xp, motion, body.grid.spacing), axes=1)


def _law(body: Body) -> Array:
    return body.backend.xp.asarray(body.law.stiffness())
