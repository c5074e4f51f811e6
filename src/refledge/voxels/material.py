"""The elastic law of layered plastic, its layers square to one axis of the grid.

Lekhnitskii, Theory of Elasticity of an Anisotropic Body, transversely isotropic body. Voigt order
xx, yy, zz, yz, xz, xy with engineering shear strains.
"""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from refledge.errors import AnalysisError
from refledge.typed import Floats

Axis = Literal["x", "y", "z"]
PAIRS = ((0, 0), (1, 1), (2, 2), (1, 2), (0, 2), (0, 1))
_LEAST = 1e-9  # least eigenvalue of the scaled compliance that still counts as positive


@dataclass(frozen=True, kw_only=True)
class Layered:
    """Moduli in the layers' plane and across it, Pa, and Poisson's ratios; density, kg/m3."""

    E_in: float
    E_across: float
    nu_in: float
    nu_across: float
    """Contraction across the layers over extension in their plane, under tension in the plane."""
    G_across: float
    rho: float
    build: Axis = "z"
    """The axis square to the layers."""

    def stiffness(self) -> Floats:
        """(6, 6), Pa, in the grid's axes; raises AnalysisError unless positive definite."""
        S = self._compliance()
        scale = 1 / np.sqrt(np.abs(np.diag(S)))
        if np.linalg.eigvalsh(S * np.outer(scale, scale))[0] <= _LEAST:
            raise AnalysisError(
                f"elastic law is not positive definite: {self}; lower the Poisson's ratios or "
                "check the moduli"
            )
        C = np.linalg.inv(S)
        order = turned(self.build)
        return np.asarray(C[np.ix_(order, order)])

    def _compliance(self) -> Floats:
        """(6, 6), 1/Pa, layers square to z."""
        if min(self.E_in, self.E_across, self.G_across, self.rho) <= 0:
            raise AnalysisError(f"moduli and density must be above 0: {self}")
        S = np.diag([1 / self.E_in] * 2 + [1 / self.E_across] + [1 / self.G_across] * 2 + [0.0])
        S[0, 1] = S[1, 0] = -self.nu_in / self.E_in
        S[0, 2] = S[2, 0] = S[1, 2] = S[2, 1] = -self.nu_across / self.E_in
        S[5, 5] = 2 * (1 + self.nu_in) / self.E_in
        return S


def isotropic(E: float, nu: float, rho: float = 1.0) -> Layered:
    """The same in all directions: modulus ``E`` (Pa), Poisson's ratio, density (kg/m3)."""
    G = E / (2 * (1 + nu))
    return Layered(E_in=E, E_across=E, nu_in=nu, nu_across=nu, G_across=G, rho=rho)


def turned(build: Axis) -> list[int]:
    """Voigt places of a law about z that make it a law about axis ``build``, by cycling axes."""
    # of each grid axis, the axis of the law
    axes = [(axis - "xyz".index(build) - 1) % 3 for axis in range(3)]
    pairs = [tuple(sorted((axes[a], axes[b]))) for a, b in PAIRS]
    return [PAIRS.index(pair) for pair in pairs]
