"""What a design does under its loads, and how that changes with each voxel's density.

Deflections and tilts by the unit-load method, g = l . u; with K l' = l the change of g with a
voxel's stiffness is minus that voxel's mutual energy (Bendsoe and Sigmund 2003, adjoint method).
Frequencies: Rayleigh's quotient of the mode. Voxels nearly empty are given less mass yet, so that
they have no modes of their own (Du and Olhoff, Topological design of freely vibrating continuum
structures, 2007); nor do they weigh on what carries them.
"""

from dataclasses import dataclass, field, replace
from typing import NamedTuple

import numpy as np

from refledge.typed import Floats, Ints
from refledge.voxels.backend import Array
from refledge.voxels.grid import CORNERS, at_corner
from refledge.voxels.krylov import Solved
from refledge.voxels.loads import Field, Loads
from refledge.voxels.modes import Mass, Modes, natural_modes, trial_motions
from refledge.voxels.own_forces import own_forces, own_work
from refledge.voxels.problem import FrequencyLimit, Problem, Recipe
from refledge.voxels.stressed import Stressed, Stresses

_PARALLEL = 1e-12  # of two load fields, one minus the cosine between them
_MODES = 1e-4  # least residual of modes on the way; a frequency's error goes with its square
_THIN, _FALL = 0.1, 6  # density below which mass falls as this power


class Motion(NamedTuple):
    """Row ``feel`` of the solved fields times ``factor`` feels the motion under row ``load``."""

    load: int
    feel: int
    factor: float


@dataclass(frozen=True, eq=False)
class Evaluated:
    """One design's figures; gradients to its densities."""

    compliance: float
    """Weighted sum over the loads, J."""
    compliance_slope: Array
    motions: Floats
    """(limits,): m or rad."""
    motion_slopes: list[Array]
    frequencies: Floats
    frequency_slopes: list[Array]
    """Of each frequency's square, (rad/s)^2."""
    iterations: Ints
    """Of the solves, by case; the modes' last."""
    u: Array
    """Overwritten by the next evaluation."""
    modes: Modes | None = field(default=None)
    stressed: Stressed | None = field(default=None)


class Responses:
    """The solves of one problem; keeps the last motions as the next guess."""

    def __init__(self, problem: Problem, recipe: Recipe) -> None:
        self.problem, self.recipe = problem, recipe
        backend = problem.body.backend
        self._body = replace(problem.body, smoothing=problem.body.smoothing.light)
        rows, self._motions = _plan(problem)
        self._loads = Loads.of(backend, rows, problem.body.held)
        empty = problem.empty
        self._present: Array = 1 if empty is None else backend.put(~empty, bool)
        self._stresses = None if problem.strength is None else Stresses(problem, recipe)
        self._stressed: Stressed | None = None
        self._u: Array | None = None
        self._shapes: Array | None = None

    def evaluate(self, density: Array) -> Evaluated:
        """Solve at ``density`` (nx, ny, nz), and what follows."""
        return self.follow(density, self.solve(density))

    def solve(self, density: Array, *, judged: bool = True) -> Solved:
        """Motions at ``density``; ``judged`` whether strength is looked at where it is limited.

        Where a caller keeps no hold of the density and strength is not looked at, only the
        stiffness stands beside the solver's fields.
        """
        scale = self._scale(density)
        kept = density if judged and self._stresses is not None else None
        loads = self._pulling(density)
        self._stressed = None
        del density
        stiffness = self._body.at(scale, self._loads.shape[0])
        solved = stiffness.solve(loads, self._u, self.recipe.tolerance)
        self._u = solved.x
        if kept is not None and self._stresses is not None:
            self._stressed = self._stresses.evaluate(
                stiffness, kept, solved.x, self._slope(kept), self._weight_slope(kept)
            )
        del stiffness, scale
        self.problem.body.backend.tidy()
        return solved

    def follow(self, density: Array, solved: Solved) -> Evaluated:
        """Figures and gradients at ``density`` from its motions."""
        body, u, slope = self.problem.body, solved.x, self._slope(density)
        iterations = solved.iterations
        compliance, whole = self._compliance(body.backend.energies(body.element, u, u), u, density)
        motions, slopes = self._limits(u, slope, density)
        modes, frequencies, frequency_slopes = None, np.zeros(0), []
        if self.problem.frequency is not None:
            modes = self._modes(self.problem.frequency, self._scale(density), density)
            frequencies = modes.frequencies
            frequency_slopes = self._frequency_slopes(modes, slope, density)
            iterations = np.append(iterations, modes.iterations)
        if self._stressed is not None:
            iterations = np.append(iterations, self._stressed.iterations)
        return Evaluated(
            compliance, whole, motions, slopes, frequencies, frequency_slopes, iterations, u, modes,
            self._stressed,
        )  # fmt: skip

    def _scale(self, density: Array) -> Array:
        least = self.recipe.least_stiffness
        return self._present * (least + (1 - least) * density**self.recipe.penalty)

    def _slope(self, density: Array) -> Array:
        """Of a voxel's stiffness to its density."""
        least, power = self.recipe.least_stiffness, self.recipe.penalty
        return self._present * ((1 - least) * power * density ** (power - 1))

    def _pulling(self, density: Array) -> Loads | Field:
        """The loads with each voxel's own forces, where any has them."""
        if not any(load.felt for load in self.problem.loads):
            return self._loads
        body = self.problem.body
        weight = _weight(body.backend.xp, density)
        forces = body.backend.xp.zeros(self._loads.shape, np.float64)
        self._loads.add(forces)
        for row, load in enumerate(self.problem.loads):
            if load.felt is not None:
                forces[row] += own_forces(body, load.felt, weight)
        return Field.of(body.backend, forces, body.held)

    def _weight_slope(self, density: Array) -> Array:
        """Of a voxel's weight to its density."""
        return self._present * _weight_slope(self.problem.body.backend.xp, density)

    def _compliance(self, energies: Array, u: Array, density: Array) -> tuple[float, Array]:
        body, loads = self.problem.body, self.problem.loads
        work = self._loads.work(u)
        total = sum(load.weight * float(work[row]) for row, load in enumerate(loads))
        whole = sum(-load.weight * energies[row] for row, load in enumerate(loads))
        slope = whole * self._slope(density)
        weight = _weight(body.backend.xp, density)
        for row, load in enumerate(loads):
            if load.felt is not None:
                own = load.weight * own_work(body, load.felt, u[row])
                total += float((weight * own).sum(dtype=np.float64))
                slope = slope + 2 * own * self._weight_slope(density)
        return total, slope

    def _limits(self, u: Array, slope: Array, density: Array) -> tuple[Floats, list[Array]]:
        body = self.problem.body
        values, slopes = [], []
        for load, feel, factor in self._motions:
            a, b = u[load : load + 1], u[feel : feel + 1]
            values.append(factor * float(self._loads.case(feel).work(a)[0]))
            mutual = body.backend.energies(body.element, a, b)[0]
            found = -factor * mutual * slope
            felt = self.problem.loads[load].felt
            if felt is not None:
                own = factor * own_work(body, felt, b[0])
                found = found + own * self._weight_slope(density)
            slopes.append(found)
        return np.array(values), slopes

    def _modes(self, wanted: FrequencyLimit, scale: Array, density: Array) -> Modes:
        stiffness = self.problem.body.at(scale, trial_motions(wanted.count))
        mass = Mass(stiffness, _weight(self.problem.body.backend.xp, density), wanted.lumps)
        tolerance = max(_MODES, 10 * self.recipe.tolerance)
        modes = natural_modes(stiffness, mass, wanted.count, self._shapes, tolerance)
        self._shapes = modes.trial
        return modes

    def _frequency_slopes(self, modes: Modes, slope: Array, density: Array) -> list[Array]:
        body = self.problem.body
        xp = body.backend.xp
        energies = body.backend.energies(body.element, modes.shapes, modes.shapes)
        moving = _corner_mean(modes.shapes, body.grid.shape) * body.element.mass
        weight = _weight_slope(xp, density)
        values = (2 * np.pi * modes.frequencies) ** 2
        return [
            energies[k] * slope - float(value) * moving[k] * weight
            for k, value in enumerate(values)
        ]


def _plan(problem: Problem) -> tuple[list[Floats], list[Motion]]:
    """The load fields to solve for, the loads first, and each limit's place among them."""
    rows = [load.forces for load in problem.loads]
    names = [load.name for load in problem.loads]
    alone = [load.felt is None for load in problem.loads]
    motions = []
    for limit in problem.limits:
        for row, known in enumerate(rows):
            if row < len(alone) and not alone[row]:  # its field is of other forces too
                continue
            size = np.vdot(known, known)
            factor = float(np.vdot(known, limit.feel) / size)
            left = limit.feel - factor * known
            if np.vdot(left, left) <= _PARALLEL * np.vdot(limit.feel, limit.feel):
                motions.append(Motion(names.index(limit.load), row, factor))
                break
        else:
            rows.append(limit.feel)
            motions.append(Motion(names.index(limit.load), len(rows) - 1, 1.0))
    return rows, motions


def _weight(xp: Array, density: Array) -> Array:
    return xp.where(density >= _THIN, density, density**_FALL / _THIN ** (_FALL - 1))


def _weight_slope(xp: Array, density: Array) -> Array:
    thin = _FALL * density ** (_FALL - 1) / _THIN ** (_FALL - 1)
    return xp.where(density >= _THIN, 1.0, thin)


def _corner_mean(shapes: Array, elements: tuple[int, int, int]) -> Array:
    """(k, nx, ny, nz): mean of the squared motion over each voxel's corners."""
    squares = (shapes**2).sum(axis=1)
    return sum(squares[(slice(None), *at_corner(elements, corner))] for corner in CORNERS) / 8
