"""What a printer can hold up: each voxel no denser than the densest of five below it.

Langelaar, An additive manufacturing filter for topology optimization of print-ready designs, 2017:
smooth minimum of the drawn density and the smooth maximum of its supporters, layer by layer from
the bed, which allows overhangs of 45 degrees. Constants as printed there (from memory).
"""

from dataclasses import dataclass
from typing import Any

import numpy as np

from refledge.typed import Bools
from refledge.voxels.backend import Array

_P, _EPSILON, _AT = 40.0, 1e-4, 0.5
_Q = _P + np.log(5) / np.log(_AT)
_SUPPORTERS = ((0, 0), (1, 0), (-1, 0), (0, 1), (0, -1))
_FLOOR = 1e-6  # keeps powers and their slopes finite at empty voxels


@dataclass(frozen=True)
class Overhang:
    """Printing starts at the ``start`` ("low" or "high") end of ``axis`` (0, 1, 2)."""

    axis: int = 2
    start: str = "low"

    def forward(self, xp: Any, drawn: Array) -> Array:
        """Printed densities of ``drawn`` ones, (nx, ny, nz)."""
        layers = self._layers(xp, drawn)
        printed = xp.empty_like(layers)
        printed[0] = layers[0]
        for k in range(1, len(layers)):
            printed[k] = _least(xp, layers[k], _most(xp, printed[k - 1])[0])
        return self._back(xp, printed)

    def backward(self, xp: Any, drawn: Array, printed: Array, gradient: Array) -> Array:
        """Gradient to ``drawn`` of what has ``gradient`` to ``printed``, all (nx, ny, nz)."""
        layers, done = self._layers(xp, drawn), self._layers(xp, printed)
        g = self._layers(xp, gradient).copy()
        out = xp.empty_like(g)
        for k in range(len(layers) - 1, 0, -1):
            most, powers = _most(xp, done[k - 1])
            away = layers[k] - most
            slope = away / xp.sqrt(away**2 + _EPSILON)
            out[k] = g[k] * (1 - slope) / 2
            _share(g[k] * (1 + slope) / 2 * most ** (1 - _Q), done[k - 1], g[k - 1])
            del powers
        out[0] = g[0]
        return self._back(xp, out)

    def standing(self, solid: Bools, kept: Bools) -> Bools:
        """(nx, ny, nz): those of ``solid`` that stand: on the bed, on one of five below that
        stands, or by being ``kept`` whatever holds them."""
        layers, stays = self._layers(np, solid), self._layers(np, kept)
        found = np.zeros(layers.shape, bool)
        found[0] = layers[0]
        for k in range(1, len(layers)):
            below = np.zeros(layers[k].shape, bool)
            for shift in _SUPPORTERS:
                to, source = _shifted(shift)
                below[to] |= found[k - 1][source]
            found[k] = layers[k] & (below | stays[k])
        return np.asarray(self._back(np, found))

    def _layers(self, xp: Any, x: Array) -> Array:
        moved = xp.moveaxis(x, self.axis, 0)
        return moved if self.start == "low" else moved[::-1]

    def _back(self, xp: Any, layers: Array) -> Array:
        return xp.ascontiguousarray(
            xp.moveaxis(layers if self.start == "low" else layers[::-1], 0, self.axis)
        )


def _least(xp: Any, a: Array, b: Array) -> Array:
    return (a + b - xp.sqrt((a - b) ** 2 + _EPSILON) + np.sqrt(_EPSILON)) / 2


def _most(xp: Any, below: Array) -> tuple[Array, Array]:
    """Smooth maximum over the supporters of each voxel, and the powers it was summed from."""
    powers = xp.maximum(below, _FLOOR).astype(np.float64) ** _P
    total = xp.zeros_like(powers)
    for shift in _SUPPORTERS:
        to, source = _shifted(shift)
        total[to] += powers[source]
    return xp.maximum(total, _FLOOR**_P) ** (1 / _Q), powers


def _share(gradient: Array, below: Array, out: Array) -> None:
    """Add to ``out`` the gradient to each supporter; ``gradient`` has most^(1 - Q) in it."""
    slope = _P / _Q * below.astype(np.float64) ** (_P - 1)
    for shift in _SUPPORTERS:
        to, source = _shifted(shift)
        out[source] += gradient[to] * slope[source]


def _shifted(shift: tuple[int, int]) -> tuple[tuple[slice, slice], tuple[slice, slice]]:
    """Slices of voxels and of their supporters at ``shift`` in the layer below."""
    to = tuple(slice(max(0, -s), -s if s > 0 else None) for s in shift)
    source = tuple(slice(max(0, s), s if s < 0 else None) for s in shift)
    return (to[0], to[1]), (source[0], source[1])
