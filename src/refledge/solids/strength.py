"""How much of its strength layered plastic uses, from stresses in layer axes; plain arrays, SI."""

import numpy as np

from refledge.analysis.strength import interlayer_use
from refledge.solids.law import Plastic, in_axes
from refledge.typed import Floats


def tsai_wu_use(stress: Floats, plastic: Plastic) -> Floats:
    """(...,): factor by which stresses (..., 6), layer axes, would just break, inverted.

    Tsai and Wu, A General Theory of Strength for Anisotropic Materials (1971): F_i s_i +
    F_ij s_i s_j = 1, with interaction terms -1/2 of the geometric mean, the value at which
    isotropic plastic follows von Mises; the surface is then closed whatever the strengths.
    Use u solves (quadratic) / u^2 + (linear) / u = 1, so it doubles when all stresses double.
    """
    linear, F = _coefficients(plastic)
    first = stress @ linear
    second = np.einsum("...i,ij,...j->...", stress, F, stress)
    return np.asarray((first + np.sqrt(first**2 + 4 * np.maximum(second, 0.0))) / 2)


def layer_use(stress: Floats, plastic: Plastic) -> Floats:
    """(...,): use of layer boundaries by tension across and shear along them; layer axes."""
    shear = np.hypot(stress[..., 3], stress[..., 4])
    return interlayer_use(stress[..., 2], shear, plastic.strength_z, plastic.shear_z)


def uses(stress: Floats, plastic: Plastic, axes: Floats) -> tuple[Floats, Floats]:
    """Tsai-Wu and layer-boundary use of stresses (..., 6) in part axes."""
    own = in_axes(stress, axes)
    return tsai_wu_use(own, plastic), layer_use(own, plastic)


def _coefficients(plastic: Plastic) -> tuple[Floats, Floats]:
    """F_i (6,), 1/Pa, and F_ij (6, 6), 1/Pa2."""
    X, Z, S = plastic.strength_xy, plastic.strength_z, plastic.shear_z
    Xc, Zc = plastic.compressive_xy or X, plastic.compressive_z or Z
    linear = np.array([1 / X - 1 / Xc] * 2 + [1 / Z - 1 / Zc] + [0.0] * 3)
    F = np.zeros((6, 6))
    F[0, 0] = F[1, 1] = 1 / (X * Xc)
    F[2, 2] = 1 / (Z * Zc)
    F[0, 1] = F[1, 0] = -F[0, 0] / 2
    F[0, 2] = F[2, 0] = F[1, 2] = F[2, 1] = -np.sqrt(F[0, 0] * F[2, 2]) / 2
    F[3, 3] = F[4, 4] = 1 / S**2
    F[5, 5] = 2 * (F[0, 0] - F[0, 1])  # the plane of the layers has no direction of its own
    return linear, F
