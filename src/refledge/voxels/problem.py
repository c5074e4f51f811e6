"""What is to be grown: loads, limits, what must be solid or empty, and how to go about it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

import numpy as np

from refledge.errors import AnalysisError
from refledge.typed import Bools, Floats
from refledge.voxels.elasticity import Body
from refledge.voxels.fields import Ties
from refledge.voxels.modes import Lump
from refledge.voxels.overhang import Overhang
from refledge.voxels.own_forces import Felt
from refledge.voxels.strength import Strength


@dataclass(frozen=True, eq=False)
class Load:
    """Nodal forces of one load case, with its weight where compliance is minimised."""

    name: str
    forces: Floats
    """(3, nodes), N."""
    weight: float = 1.0
    felt: Felt | None = None
    """What the plastic itself feels in it, beside ``forces``."""


@dataclass(frozen=True, eq=False)
class Limit:
    """A motion that must stay small: |feel . u| under the named load is at most ``most``.

    ``feel`` is the dummy unit load of the motion looked at: a unit force for a deflection (m), a
    unit moment for a tilt (rad). The loads themselves give their compliance (J).
    """

    name: str
    load: str
    feel: Floats
    """(3, nodes)."""
    most: float


@dataclass(frozen=True, eq=False)
class FrequencyLimit:
    """The lowest ``count`` natural frequencies are at least ``least``, Hz, with ``lumps`` on."""

    least: float
    count: int = 2
    lumps: tuple[Lump, ...] = ()


@dataclass(frozen=True, eq=False)
class StrengthLimit:
    """No voxel that counts uses more than ``most`` of its strength, under any judged load."""

    strength: Strength
    factors: Mapping[str, float]
    """By load, on its use of strength; loads that are not named are not judged."""
    counts: Bools
    """(nx, ny, nz): voxels that are judged."""
    most: float = 1.0
    since: float = 0.0
    """Sharpness of the projection from which it is kept: uses of grey plastic say little."""
    relax: float = 0.5
    """Power of the density that uses are weighed by (Le and others, 2010, from memory)."""
    norm: float = 8.0
    """Of the p-norm that stands for the greatest use: above 10 gradients jump from voxel to voxel,
    below 6 they push where there is no need (Le and others' range, from memory)."""


@dataclass(frozen=True, eq=False)
class Problem:
    """Least mass within limits, or the stiffest for a mass."""

    body: Body
    loads: tuple[Load, ...]
    goal: Literal["mass", "stiffness"]
    limits: tuple[Limit, ...] = ()
    frequency: FrequencyLimit | None = None
    strength: StrengthLimit | None = None
    most_mass: float = 1.0
    """Share of the voxels that are not kept empty; needed for the goal "stiffness"."""
    solid: Bools | None = None
    """(nx, ny, nz): voxels that stay solid."""
    empty: Bools | None = None
    """(nx, ny, nz): voxels that stay empty and have no stiffness at all."""

    def __post_init__(self) -> None:
        names = [load.name for load in self.loads]
        if not names or len(set(names)) != len(names):
            raise AnalysisError("a problem needs loads, each with a name of its own")
        unknown = sorted({limit.load for limit in self.limits} - set(names))
        if unknown:
            raise AnalysisError(f"limits on unknown loads {', '.join(unknown)}; loads: {names}")
        if self.strength is not None:
            unknown = sorted(set(self.strength.factors) - set(names))
            if unknown:
                raise AnalysisError(f"strength under unknown loads {unknown}; loads: {names}")
        limits = (*self.limits, self.frequency, self.strength)
        if self.goal == "mass" and all(each is None for each in limits):
            raise AnalysisError("least mass without a limit is no part at all; give a limit")
        if not 0 < self.most_mass <= 1:
            raise AnalysisError(f"mass share {self.most_mass:g}; allowed: above 0, at most 1")
        self._check_shapes()

    def _check_shapes(self) -> None:
        grid = self.body.grid
        wanted: list[tuple[str, Any, tuple[int, ...]]]
        wanted = [(f"load {each.name}", each.forces, grid.field) for each in self.loads]
        wanted += [(f"limit {each.name}", each.feel, grid.field) for each in self.limits]
        judged = None if self.strength is None else self.strength.counts
        marks = (("solid", self.solid), ("empty", self.empty), ("strength", judged))
        wanted += [(name, each, grid.shape) for name, each in marks if each is not None]
        for name, given, shape in wanted:
            if given.shape != shape:
                raise AnalysisError(f"{name} has shape {given.shape}; {shape} is needed")
        if self.solid is not None and self.empty is not None and (self.solid & self.empty).any():
            raise AnalysisError("some voxels are marked both solid and empty")

    @property
    def free(self) -> Bools:
        """(nx, ny, nz): voxels that the optimiser may change."""
        free = np.ones(self.body.grid.shape, bool)
        for marked in (self.solid, self.empty):
            if marked is not None:
                free &= ~marked
        return free


@dataclass(frozen=True)
class Recipe:
    """How the optimiser goes about it; lengths in voxels."""

    filter_radius: float = 2.5
    """About the least member size; for two extrusions, 2 widths / voxel."""
    penalty: float = 3.0
    """Stiffness goes as density to this power (Bendsoe, Optimal shape design as a material
    distribution problem, 1989)."""
    least_stiffness: float = 1e-6
    """Of an empty voxel, relative to solid."""
    sharpness: tuple[float, ...] = (1.0, 2.0, 4.0, 8.0, 16.0)
    """Of the projection, stage by stage."""
    stage: int = 25
    """Iterations a stage at most; the next also starts when the design hardly changes."""
    robust: float = 0.0
    """Half the gap between the thresholds of the eroded and dilated designs; 0 means one design
    at 0.5, 0.05 to 0.25 keep members and gaps above a size (Wang, Lazarov and Sigmund 2011)."""
    move: float = 0.2
    settled: float = 0.01
    """Greatest change of a variable that counts as none."""
    tolerance: float = 1e-5
    """Relative residual of every solve."""
    start: float | None = None
    """Uniform density to start from; the mass share or 0.5 if not given."""
    overhang: Overhang | None = None
    ties: Ties = field(default_factory=Ties)

    def __post_init__(self) -> None:
        good = (
            self.filter_radius >= 1 and self.penalty >= 1 and 0 < self.least_stiffness < 1
            and self.sharpness and min(self.sharpness) > 0 and self.stage >= 1
            and 0 <= self.robust < 0.5 and 0 < self.move <= 1 and self.tolerance > 0
        )  # fmt: skip
        if not good:
            raise AnalysisError(f"a recipe out of its bounds: {self}")
