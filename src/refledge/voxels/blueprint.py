"""From variables to the densities that are printed: nominal, eroded and dilated, and back."""

from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from refledge.typed import Bools
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
        self.shape = problem.body.grid.shape
        self.solid, self.empty = (
            None if marked is None or not marked.any() else backend.put(marked, bool)
            for marked in (problem.solid, problem.empty)
        )
        whole = self.solid is None and self.empty is None  # most large grids: no need of a mask
        self.free: Array | None = None if whole else backend.put(problem.free, bool)
        self.voxels = float(problem.body.grid.size - _count(problem.empty))

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
        g = self._of_free(gradient.astype(np.float32, copy=False))
        overhang = self.recipe.overhang
        if overhang is not None:
            plain = overhang.forward(self.xp, printed.drawn)
            g = self._of_free(overhang.backward(self.xp, printed.drawn, plain, g))
        g = printed.projection.backward(self.xp, designs.filtered, g)
        return self.recipe.ties.average(self._of_free(self.filter.backward(g)))

    def mass(self, printed: Printed) -> float:
        """Share of the voxels that are not kept empty."""
        return float(printed.density.sum(dtype=np.float64)) / self.voxels

    def mass_slope(self, designs: Designs, printed: Printed) -> Array:
        """Gradient of ``mass`` to the variables."""
        ones = self.xp.full(self.shape, np.float32(1 / self.voxels))
        return self.backward(designs, printed, ones)

    def _print(self, filtered: Array, projection: Projection) -> Printed:
        drawn = self._marked(self.xp.clip(projection.forward(self.xp, filtered), 0, 1))
        overhang = self.recipe.overhang
        density = drawn if overhang is None else overhang.forward(self.xp, drawn)
        return Printed(projection, drawn, self._marked(self.xp.clip(density, 0, 1)))

    def _marked(self, x: Array) -> Array:
        for marked, value in ((self.empty, 0), (self.solid, 1)):
            if marked is not None:
                x = self.xp.where(marked, np.float32(value), x)
        return x

    def _of_free(self, gradient: Array) -> Array:
        return gradient if self.free is None else gradient * self.free


def _count(marked: Bools | None) -> int:
    return 0 if marked is None else int(marked.sum())
