"""How much of its strength layered plastic uses in the middle of each voxel, and how that changes.

Relaxed at low density: the stress of solid plastic at the voxel's strain times the density to a
power between nought and one, so that plastic about to go does not count for what it would bear were
it there (Duysinx and Bendsoe, Topology optimization of continuum structures with local stress
constraints, 1998; Le, Norato, Bruns, Ha and Tortorelli, Stress-based topology optimization for
continua, 2010; from memory).
"""

from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from refledge.errors import AnalysisError
from refledge.typed import Floats
from refledge.voxels.backend import Array
from refledge.voxels.material import Axis, turned

_NONE = 1e-12  # use below which its slope to stress is taken as none


@dataclass(frozen=True, kw_only=True)
class Strength:
    """Tensile strength in the layers' plane and across it, shear strength of layer boundaries, Pa;
    pressure is held against the tensile strengths, to the safe side for printed plastic."""

    plane: float
    across: float
    shear: float
    build: Axis = "z"

    def __post_init__(self) -> None:
        if not min(self.plane, self.across, self.shear) > 0:
            raise AnalysisError(f"strengths must be above 0: {self}")

    def quadratic(self) -> Floats:
        """(6, 6), 1/Pa2, grid axes: use of the plastic is the root of s' F s.

        Tsai and Wu, A General Theory of Strength for Anisotropic Materials, 1971, for strengths
        alike in tension and pressure; interaction -1/2 of the geometric mean.
        """
        X, Z = self.plane**-2, self.across**-2
        F = np.diag([X, X, Z, self.shear**-2, self.shear**-2, 3 * X])
        F[0, 1] = F[1, 0] = -X / 2
        F[0, 2] = F[2, 0] = F[1, 2] = F[2, 1] = -np.sqrt(X * Z) / 2
        order = turned(self.build)
        return np.asarray(F[np.ix_(order, order)])

    def boundary(self) -> tuple[int, Floats]:
        """Which stress pulls across the layers, and (6,), 1/Pa2: the root of the sum of these times
        the squares of stresses, that one's pull only, is the use of layer boundaries.

        Brewer and Lagace, Quadratic Stress Criterion for Initiation of Delamination, 1988.
        """
        F = np.array([0.0, 0.0, self.across**-2, self.shear**-2, self.shear**-2, 0.0])
        return "xyz".index(self.build), F[turned(self.build)]


class Used(NamedTuple):
    """Use of strength of each voxel by one criterion (nx, ny, nz) and its slope (6, nx, ny, nz)."""

    use: Array
    slope: Array


def uses(xp: Any, stress: Array, strength: Strength) -> tuple[Used, Used]:
    """Of stresses (6, nx, ny, nz), Pa: the plastic and its layer boundaries."""
    F = xp.asarray(strength.quadratic(), stress.dtype)
    across, weights = strength.boundary()
    bent = xp.tensordot(F, stress, axes=1)
    plastic = xp.sqrt(xp.maximum((stress * bent).sum(axis=0), 0))
    weights = xp.asarray(weights, stress.dtype)[:, None, None, None]
    pulled = weights * stress
    pulled[across] = weights[across] * xp.maximum(stress[across], 0)
    layers = xp.sqrt((stress * pulled).sum(axis=0))
    return (
        Used(plastic, bent / xp.maximum(plastic, _NONE)),
        Used(layers, pulled / xp.maximum(layers, _NONE)),
    )


class Gathered(NamedTuple):
    """Uses of many voxels as one figure."""

    most: float
    """The greatest."""
    norm: float
    """Their p-norm, at least as great."""
    to_stress: Array
    """(6, nx, ny, nz): gradient of the norm to the stresses, densities as they are."""
    to_density: Array
    """(nx, ny, nz): to the densities, stresses as they are."""


def gathered(
    xp: Any, stress: Array, density: Array, counts: Array, strength: Strength, relax: float,
    norm: float,
) -> Gathered:  # fmt: skip
    """Of stresses of solid plastic at the voxels' strains (6, nx, ny, nz), Pa.

    counts: (nx, ny, nz), by which each voxel's use counts, a safety factor or 0; relax: power of
    the density that it is weighed by; norm: p. Both criteria enter side by side.
    """
    weigh = counts * density**relax
    both = uses(xp, stress, strength)
    values = [weigh * each.use for each in both]
    most = max(float(each.max()) for each in values)
    if most <= 0:
        return Gathered(0.0, 0.0, xp.zeros_like(stress), xp.zeros_like(density))
    total = sum(float(((each / most) ** norm).sum(dtype=np.float64)) for each in values)
    whole = most * total ** (1 / norm)
    rates = [(each / whole) ** (norm - 1) for each in values]
    to_stress = sum((rate * weigh) * each.slope for rate, each in zip(rates, both, strict=True))
    work = sum(rate * value for rate, value in zip(rates, values, strict=True))
    inside = xp.where(density > 0, density, 1)
    return Gathered(most, whole, to_stress, relax * work / inside)
