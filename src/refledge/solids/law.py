"""The law of layered plastic: transversely isotropic about the layers' normal, then rotated.

Lekhnitskii, Theory of Elasticity of an Anisotropic Body, transversely isotropic body. Voigt order
xx, yy, zz, yz, xz, xy with engineering shear strains throughout.
"""

from dataclasses import dataclass, replace

import numpy as np

from refledge.errors import AnalysisError
from refledge.typed import Floats

PAIRS = ((0, 0), (1, 1), (2, 2), (1, 2), (0, 2), (0, 1))
_VOIGT = np.array([[0, 5, 4], [5, 1, 3], [4, 3, 2]])


@dataclass(frozen=True, kw_only=True)
class Plastic:
    """Printed plastic in layer axes: z across the layers, xy in their plane. SI.

    Compressive strengths of 0 mean the tensile ones, to the safe side for printed plastic.
    """

    E_xy: float
    E_z: float
    nu_xy: float
    nu_xz: float
    """Contraction across the layers over extension in their plane, under tension in the plane."""
    G_xz: float
    rho: float
    strength_xy: float
    strength_z: float
    shear_z: float
    compressive_xy: float = 0.0
    compressive_z: float = 0.0
    expansion: float = 0.0
    """1/K, the same in all directions."""

    def compliance(self) -> Floats:
        """(6, 6), 1/Pa, layer axes."""
        S = np.zeros((6, 6))
        S[0, 0] = S[1, 1] = 1 / self.E_xy
        S[2, 2] = 1 / self.E_z
        S[0, 1] = S[1, 0] = -self.nu_xy / self.E_xy
        S[0, 2] = S[2, 0] = S[1, 2] = S[2, 1] = -self.nu_xz / self.E_xy
        S[3, 3] = S[4, 4] = 1 / self.G_xz
        S[5, 5] = 2 * (1 + self.nu_xy) / self.E_xy
        return S

    def stiffness(self) -> Floats:
        """(6, 6), Pa, layer axes; raises AnalysisError unless the law is positive definite."""
        S = self.compliance()
        scale = 1 / np.sqrt(np.abs(np.diag(S)))
        least = float(np.linalg.eigvalsh(S * np.outer(scale, scale))[0])
        if least <= 1e-9 or min(self.E_xy, self.E_z, self.G_xz) <= 0:
            raise AnalysisError(
                f"elastic law is not positive definite: E_xy {self.E_xy:.3g}, E_z {self.E_z:.3g}, "
                f"G_xz {self.G_xz:.3g} Pa, nu_xy {self.nu_xy:.3g}, nu_xz {self.nu_xz:.3g}; "
                "lower the Poisson's ratios or check the moduli"
            )
        return np.asarray(np.linalg.inv(S))

    def scaled(self, stiffness: float = 1.0, strength: float = 1.0) -> "Plastic":
        """Warm, wet or crept plastic: all moduli and all strengths by one factor each."""
        return replace(
            self,
            E_xy=self.E_xy * stiffness,
            E_z=self.E_z * stiffness,
            G_xz=self.G_xz * stiffness,
            strength_xy=self.strength_xy * strength,
            strength_z=self.strength_z * strength,
            shear_z=self.shear_z * strength,
            compressive_xy=self.compressive_xy * strength,
            compressive_z=self.compressive_z * strength,
        )


def isotropic(E: float, nu: float, rho: float, expansion: float = 0.0) -> Plastic:
    """Any isotropic material, such as a benchmark's steel; its strengths are not known (1 Pa)."""
    return Plastic(
        E_xy=E, E_z=E, nu_xy=nu, nu_xz=nu, G_xz=E / (2 * (1 + nu)), rho=rho, expansion=expansion,
        strength_xy=1.0, strength_z=1.0, shear_z=1.0,
    )  # fmt: skip


def layer_axes(normal: Floats) -> Floats:
    """(3, 3): rows are the layer axes x, y, z in part axes, z along ``normal`` (3,)."""
    z = np.asarray(normal, np.float64) / np.linalg.norm(normal)
    helper = np.eye(3)[int(np.argmin(np.abs(z)))]
    x = np.cross(helper, z)
    x = x / np.linalg.norm(x)
    return np.array([x, np.cross(z, x), z])


def rotated(C: Floats, axes: Floats) -> Floats:
    """(6, 6) stiffness in part axes of a law C (6, 6) in its own ``axes`` (rows, in part axes)."""
    tensor = C[_VOIGT[:, :, None, None], _VOIGT[None, None]]
    Q = np.asarray(axes).T
    turned = np.einsum("ai,bj,ck,dl,ijkl->abcd", Q, Q, Q, Q, tensor, optimize=True)
    first, second = np.array(PAIRS).T
    return np.asarray(turned[first[:, None], second[:, None], first[None], second[None]])


def in_axes(stress: Floats, axes: Floats) -> Floats:
    """Voigt stresses (..., 6) of part axes seen in ``axes`` (rows, in part axes)."""
    tensor = stress[..., _VOIGT]
    turned = np.einsum("ai,bj,...ij->...ab", axes, axes, tensor)
    first, second = np.array(PAIRS).T
    return np.asarray(turned[..., first, second])
