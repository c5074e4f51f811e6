"""What a section of an arm is, and the plastic that it is made of. SI, lengths in m.

Axes: y across, z up; the top face is the datum. Bending about y is vertical bending. Sections are
linear elastic and of one material.
"""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from refledge.analysis.torsion import rectangle_constant, rectangle_torsion, stretched
from refledge.typed import Floats

# Shear coefficient of a solid rectangle: Cowper, The Shear Coefficient in Timoshenko's Beam
# Theory (1966), 10 (1 + nu) / (12 + 11 nu), at nu = 0. At nu = 0.35 it is 2 % larger.
RECTANGLE_KAPPA = 5 / 6


class Layered(NamedTuple):
    """Ratios of the elastic constants of plastic whose layers lie along the arm and its width."""

    E_over_G: Floats | float
    """Young's modulus in the layers over the shear modulus across them."""
    E_over_Ez: Floats | float
    """Over Young's modulus across the layers."""
    nu: Floats | float
    """In the layers, and of what they lose in thickness when stretched."""

    @property
    def flat(self) -> Floats:
        """Shear modulus in the plane of the layers, which are isotropic, over that across them."""
        return np.asarray(self.E_over_G / (2 * (1 + np.asarray(self.nu))))

    def inclined(self, sine: Floats) -> Floats:
        """Young's modulus along the layers over that at an angle to them, 1.

        Lekhnitskii, Theory of Elasticity of an Anisotropic Body, Young's modulus in a direction.
        """
        up = sine**2
        mixed = np.asarray(self.E_over_G) - 2 * np.asarray(self.nu)
        return np.asarray((1 - up) ** 2 + self.E_over_Ez * up**2 + mixed * up * (1 - up))


ISOTROPIC = Layered(2.7, 1.0, 0.35)


@dataclass(frozen=True, eq=False)
class Section:
    """Properties of one section or of an array of sections, all of one shape."""

    area: Floats  # m2, carrying bending
    Iy: Floats  # m4, vertical bending
    Iz: Floats  # m4, lateral bending
    J: Floats  # m4, torsion, ends free to warp
    Ay: Floats  # m2, shear area (kappa A) for lateral shear
    Az: Floats  # m2, shear area for vertical shear
    centroid: Floats  # m, below the top face
    top: Floats  # m, centroid to the top fibre
    bottom: Floats  # m, centroid to the bottom fibre
    half_width: Floats  # m
    volume_per_length: Floats  # m2, with ribs and diagonals
    Q: Floats  # m3, first moment of the area above the centroid about it
    web: Floats  # m, wall thickness that the horizontal cut at the centroid goes through
    Wt: Floats  # m3, torque over greatest shear stress
    shear_centre: Floats  # m, below the top face; above it where negative
    plane_J: Floats  # m4, J, Ay and shear centre of the section kept plane, next to a solid block
    plane_Ay: Floats  # m2
    plane_centre: Floats  # m
    decay: Floats  # 1/m, how fast warping dies away from a held end; 0 where nothing warps


def section_of(
    area: Floats,
    Iy: Floats,
    Iz: Floats,
    torsion: tuple[Floats, Floats],
    shear: tuple[Floats, Floats],
    centroid: Floats,
    depth: Floats,
    width: Floats,
    cut: tuple[Floats, Floats],
    shear_centre: Floats,
    volume: Floats | None = None,
    plane: tuple[Floats, Floats, Floats] | None = None,
    decay: Floats | None = None,
) -> Section:
    plane_J, plane_Ay, plane_centre = plane or (torsion[0], shear[0], shear_centre)
    return Section(
        area=area,
        Iy=Iy,
        Iz=Iz,
        J=torsion[0],
        Ay=shear[0],
        Az=shear[1],
        centroid=centroid,
        top=centroid,
        bottom=depth - centroid,
        half_width=width / 2,
        volume_per_length=area if volume is None else volume,
        Q=cut[0],
        web=cut[1],
        Wt=torsion[1],
        shear_centre=shear_centre,
        plane_J=plane_J,
        plane_Ay=plane_Ay,
        plane_centre=plane_centre,
        decay=np.zeros_like(area) if decay is None else decay,
    )


def arrays(*values: Floats | float) -> tuple[Floats, ...]:
    """All of one shape."""
    return np.broadcast_arrays(*(np.asarray(value, dtype=np.float64) for value in values))


def bar_torsion(width: Floats, depth: Floats, flat: Floats) -> tuple[Floats, Floats]:
    """Torsion constant and modulus of a rectangle whose layers lie along its width."""
    long, factor = stretched(depth, flat)
    J, W = rectangle_torsion(width, long)
    return J * factor, W * factor


def bar_constant(width: Floats, depth: Floats, flat: Floats) -> Floats:
    """Torsion constant of ``bar_torsion``, m4."""
    long, factor = stretched(depth, flat)
    return rectangle_constant(width, long) * factor
