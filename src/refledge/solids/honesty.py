"""How far a figure may be off because of the mesh, from the same figure on two or more meshes."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from refledge.errors import AnalysisError


@dataclass(frozen=True)
class Estimate:
    """A figure, extrapolated, with what the mesh may have done to it."""

    finest: float
    """On the finest mesh."""
    extrapolated: float
    """At element size zero, by the order below."""
    error: float
    """Estimated discretisation error of ``finest``, same unit, 0 or more."""
    order: float
    """Order of convergence: observed on three meshes, assumed on two."""
    observed: bool

    @property
    def relative(self) -> float:
        """Error over the figure, 1."""
        return self.error / abs(self.finest) if self.finest else np.inf * bool(self.error)


ASSUMED_ORDER = 1.0
"""With two meshes. Parts have corners, where displacements and stresses converge slower than the
element's own order; at half the size, order 1 gives the whole change as error, as does Roache's
factor 3 on order 2 (Verification and Validation in Computational Science and Engineering, grid
convergence index)."""


def richardson(
    values: Sequence[float],
    sizes: Sequence[float],
    order: float = ASSUMED_ORDER,
    most: float = np.inf,
) -> Estimate:
    """Extrapolate from values on meshes of ``sizes`` (m), coarse to fine; two or three of them.

    Richardson, The approximate arithmetical solution by finite differences (1911). Three meshes
    give the order by themselves when the changes shrink steadily; otherwise ``order`` stands. No
    observed order above ``most`` is believed.
    """
    if len(values) != len(sizes) or len(values) < 2 or np.any(np.diff(sizes) >= 0):
        raise AnalysisError("mesh error needs values on two or more meshes, coarse to fine")
    observed = _observed(values[-3:], sizes[-3:]) if len(values) > 2 else 0.0
    used = min(observed, most) or order
    change = values[-1] - values[-2]
    correction = change / ((sizes[-2] / sizes[-1]) ** used - 1)
    return Estimate(
        values[-1], values[-1] + correction, abs(correction), float(used), bool(observed)
    )


def _observed(values: Sequence[float], sizes: Sequence[float]) -> float:
    """Order from three values at any sizes, by fixed point; 0 where they do not shrink steadily."""
    first, second = values[1] - values[0], values[2] - values[1]
    if first == 0 or second / first <= 0:
        return 0.0
    coarse, fine = sizes[0] / sizes[1], sizes[1] / sizes[2]
    order = 2.0
    for _ in range(100):
        ratio = (fine**order - 1) / (coarse**order - 1)
        order = float(np.log(first / second * ratio) / np.log(fine))
        if not 0.1 < order < 20:
            return 0.0
    return order
