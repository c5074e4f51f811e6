"""From the optimiser's variables to densities and back: tie, filter, project, print.

Each step has ``forward`` and, for gradients, ``backward``: the transpose of its derivative.
Filter: Bruns and Tortorelli, Topology optimization of non-linear elastic structures and compliant
mechanisms, 2001. Projection: Wang, Lazarov and Sigmund, On projection methods, convergence and
robust formulations in topology optimization, 2011, smoothed Heaviside by tanh.
"""

from dataclasses import dataclass, field
from typing import Any

import numpy as np

from refledge.errors import AnalysisError
from refledge.typed import Floats
from refledge.voxels.backend import Array, Backend
from refledge.voxels.material import Axis


@dataclass(frozen=True)
class Ties:
    """Voxels that must be alike: mirrored about mid planes, repeated along axes."""

    mirrored: tuple[Axis, ...] = ()
    repeats: tuple[tuple[Axis, int], ...] = ()
    """Axis and number of equal cells along it; the count of voxels must divide."""

    def average(self, x: Array) -> Array:
        """``x`` (nx, ny, nz) with tied voxels at their mean; its own transpose."""
        for axis, count in self.repeats:
            x = self._repeated(x, "xyz".index(axis), count)
        for axis in self.mirrored:
            flip = [slice(None)] * 3
            flip["xyz".index(axis)] = slice(None, None, -1)
            x = (x + x[tuple(flip)]) / 2
        return x

    @staticmethod
    def _repeated(x: Array, axis: int, count: int) -> Array:
        if count < 1 or x.shape[axis] % count:
            raise AnalysisError(
                f"{x.shape[axis]} voxels along {'xyz'[axis]} cannot be {count} equal cells"
            )
        n = x.shape[axis] // count
        shape = (*x.shape[:axis], count, n, *x.shape[axis + 1 :])
        cells = x.reshape(shape)
        mean = cells.mean(axis=axis, keepdims=True, dtype=np.float64).astype(x.dtype)
        return (mean + 0 * cells).reshape(x.shape)


@dataclass(frozen=True, eq=False)
class ConeFilter:
    """Means over a ball, weights falling to zero at ``radius`` voxels; edges are normalised."""

    backend: Backend
    shape: tuple[int, int, int]
    radius: float
    weights: Floats = field(init=False)

    def __post_init__(self) -> None:
        if not self.radius >= 1:
            raise AnalysisError(f"filter radius {self.radius:g} voxels; at least 1 is needed")
        reach = int(np.ceil(self.radius)) - 1
        x, y, z = np.meshgrid(*[np.arange(-reach, reach + 1)] * 3, indexing="ij")
        weights = np.maximum(0.0, self.radius - np.sqrt(x**2 + y**2 + z**2))
        object.__setattr__(self, "weights", weights)

    def forward(self, x: Array) -> Array:
        """fp32 (nx, ny, nz)."""
        found = self.backend.convolve(x, self.weights)
        found /= self._sum()
        return found

    def backward(self, gradient: Array) -> Array:
        """fp32 (nx, ny, nz)."""
        return self.backend.convolve(gradient / self._sum(), self.weights)

    def _sum(self) -> Array:
        """Sum of the weights inside the grid about each voxel: that of a grid just large enough
        for its middle to see no edge, the middle repeated."""
        side = self.weights.shape[0]
        small = tuple(min(n, side) for n in self.shape)
        found = self.backend.convolve(self.backend.put(np.ones(small), np.float32), self.weights)
        for axis, (n, m) in enumerate(zip(self.shape, small, strict=True)):
            at = np.arange(n)
            place = np.where(at < n - m // 2, np.minimum(at, m // 2), at - n + m)
            found = self.backend.xp.take(found, self.backend.put(place, np.int64), axis=axis)
        return found


@dataclass(frozen=True)
class Projection:
    """Towards 0 below ``threshold`` and 1 above it, the sharper the greater ``sharpness``."""

    sharpness: float
    threshold: float = 0.5

    def forward(self, xp: Any, x: Array) -> Array:
        b, t = self.sharpness, self.threshold
        return (float(np.tanh(b * t)) + xp.tanh(b * (x - t))) / self._range

    def backward(self, xp: Any, x: Array, gradient: Array) -> Array:
        slope = 1 - xp.tanh(self.sharpness * (x - self.threshold)) ** 2
        return gradient * slope * (self.sharpness / self._range)

    @property
    def _range(self) -> float:
        b, t = self.sharpness, self.threshold
        return float(np.tanh(b * t) + np.tanh(b * (1 - t)))
