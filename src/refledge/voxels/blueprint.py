"""From variables to the densities that are printed: nominal, eroded and dilated, and back."""

from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from refledge.voxels.backend import Array
from refledge.voxels.fields import ConeFilter, Projection
from refledge.voxels.problem import Problem, Recipe


class Printed(NamedTuple):
    """One way the design may come out, with what ``backward`` needs."""

    projection: Projection
    drawn: Array
    density: Array
    """(nx, ny, nz), marked voxels at 1 or 0."""


@dataclass(frozen=True, eq=False)
class Designs:
    """The same variables printed thin (eroded), as drawn (nominal) and thick (dilated)."""

    filtered: Array
    eroded: Printed
    nominal: Printed
    dilated: Printed


class Blueprint:
    """Tie, filter, project, print; written once for every backend."""

    def __init__(self, problem: Problem, recipe: Recipe) -> None:
        backend = problem.body.backend
        self.xp: Any = backend.xp
        self.recipe = recipe
        self.filter = ConeFilter(backend, problem.body.grid.shape, recipe.filter_radius)
        shape = problem.body.grid.shape
        solid = np.zeros(shape, bool) if problem.solid is None else problem.solid
        empty = np.zeros(shape, bool) if problem.empty is None else problem.empty
        self.solid, self.empty = backend.put(solid, bool), backend.put(empty, bool)
        self.free = ~(self.solid | self.empty)
        self.voxels = float(backend.get((~self.empty).sum()))

    def draw(self, x: Array, sharpness: float) -> Designs:
        """Densities of variables ``x`` (nx, ny, nz), 0 to 1."""
        tied = self._marked(self.recipe.ties.average(x))
        filtered = self.filter.forward(tied)
        gap = self.recipe.robust
        nominal = self._print(filtered, Projection(sharpness, 0.5))
        if gap == 0:
            return Designs(filtered, nominal, nominal, nominal)
        eroded = self._print(filtered, Projection(sharpness, 0.5 + gap))
        dilated = self._print(filtered, Projection(sharpness, 0.5 - gap))
        return Designs(filtered, eroded, nominal, dilated)

    def backward(self, designs: Designs, printed: Printed, gradient: Array) -> Array:
        """fp32 gradient to the variables of what has ``gradient`` to ``printed.density``."""
        g = gradient.astype(np.float32) * self.free
        overhang = self.recipe.overhang
        if overhang is not None:
            plain = overhang.forward(self.xp, printed.drawn)
            g = overhang.backward(self.xp, printed.drawn, plain, g) * self.free
        g = printed.projection.backward(self.xp, designs.filtered, g)
        return self.recipe.ties.average(self.filter.backward(g) * self.free)

    def mass(self, printed: Printed) -> float:
        """Share of the voxels that are not kept empty."""
        return float(printed.density.sum(dtype=np.float64)) / self.voxels

    def mass_slope(self, designs: Designs, printed: Printed) -> Array:
        """Gradient of ``mass`` to the variables."""
        ones = self.xp.full(self.free.shape, np.float32(1 / self.voxels))
        return self.backward(designs, printed, ones)

    def _print(self, filtered: Array, projection: Projection) -> Printed:
        drawn = self._marked(self.xp.clip(projection.forward(self.xp, filtered), 0, 1))
        overhang = self.recipe.overhang
        density = drawn if overhang is None else overhang.forward(self.xp, drawn)
        return Printed(projection, drawn, self._marked(self.xp.clip(density, 0, 1)))

    def _marked(self, x: Array) -> Array:
        return self.xp.where(self.solid, np.float32(1), self.xp.where(self.empty, np.float32(0), x))
