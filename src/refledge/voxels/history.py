"""What the optimiser tells while it runs and when it is done."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from refledge.typed import Floats
from refledge.voxels.backend import Array
from refledge.voxels.mma import MovingAsymptotes

_MET = 2e-3  # a limit passed by no more than this share counts as met


@dataclass(frozen=True)
class Step:
    """One design on the way."""

    iteration: int
    sharpness: float
    objective: float
    """Compliance, J, or the share of the mass."""
    mass: float
    """Nominal design's share of the voxels that are not kept empty."""
    compliance: float
    """J; with motions and frequencies of the eroded design where the recipe is robust."""
    motions: tuple[float, ...]
    """m or rad, by limit."""
    frequencies: tuple[float, ...]
    """Hz."""
    worst_limit: float
    """Above 0: by how much the worst limit is broken (motions by the square)."""
    change: float
    solves: tuple[int, ...]
    """Iterations of each solve."""
    seconds: float
    uses: tuple[float, ...] = ()
    """Greatest use of strength under each judged load, factors in (1)."""

    @property
    def feasible(self) -> bool:
        """Whether every limit is met."""
        return self.worst_limit <= _MET


@dataclass(frozen=True)
class Progress:
    """What a caller sees after each iteration."""

    step: Step
    picture: Callable[[], Floats]
    """Gives the nominal densities (nx, ny, nz) when asked."""


@dataclass(frozen=True, eq=False)
class Design:
    """The best design found: of the sharpest stage reached, feasible if any was."""

    density: Floats
    """(nx, ny, nz), 0 to 1: nominal."""
    eroded: Floats
    """(nx, ny, nz): what the figures of ``best`` belong to; the same unless robust."""
    best: Step
    history: tuple[Step, ...]
    cancelled: bool

    @property
    def greyness(self) -> float:
        """0 for a black-and-white design, 1 for one all grey (Sigmund, Morphology-based black and
        white filters for topology optimization, 2007, measure of non-discreteness)."""
        return float(4 * np.mean(self.density * (1 - self.density)))


@dataclass(frozen=True, eq=False)
class Best:
    """Variables of the best design so far."""

    x: Array
    step: Step

    def better(self, other: "Best | None") -> "Best":
        """Sharper first, then feasible, then the lower objective (or the less broken limit)."""
        return self if other is None or self._rank() >= other._rank() else other

    def _rank(self) -> tuple[float, bool, float]:
        good = self.step.feasible
        return self.step.sharpness, good, -(self.step.objective if good else self.step.worst_limit)


@dataclass(frozen=True, eq=False)
class Standing:
    """Where the loop stands; all that a checkpoint keeps."""

    mma: MovingAsymptotes
    iteration: int = 0
    stage: int = 0
    in_stage: int = 0
    scale: float = 0.0
    best: Best | None = None
    history: tuple[Step, ...] = ()
