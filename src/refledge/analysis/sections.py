"""Section properties of the arm families; every input broadcasts, all lengths in m.

Families and what each length means: docs/frame.md. Here solid and closed ones; the open ones, in
``open_sections``, are to be had from here too.
"""

import numpy as np

from refledge.analysis.open_sections import channel, channel_volume, truss, truss_volume
from refledge.analysis.section_model import (
    ISOTROPIC,
    RECTANGLE_KAPPA,
    Layered,
    Section,
    arrays,
    bar_torsion,
    section_of,
)
from refledge.analysis.shear import shear_area
from refledge.analysis.torsion import box_torsion, stretched
from refledge.analysis.warping import Walls, centred, in_series, wall_moments, warp
from refledge.typed import Floats

__all__ = [
    "ISOTROPIC",
    "RECTANGLE_KAPPA",
    "Layered",
    "Section",
    "box",
    "box_area",
    "channel",
    "channel_volume",
    "rectangle",
    "solid",
    "solid_area",
    "truss",
    "truss_volume",
    "tube",
    "tube_area",
]


def rectangle(width: Floats | float, depth: Floats | float) -> Section:
    """Solid rectangle."""
    return solid(width, depth, 0.0)


def solid(
    width: Floats | float,
    depth: Floats | float,
    bore: Floats | float,
    plastic: Layered = ISOTROPIC,
) -> Section:
    """Solid block with a round wire bore along its middle.

    Torsion: the bore's polar moment is taken off the rectangle's constant, good while the bore is
    small against the block (under 5 % error to bore = half the smaller side: tests).
    """
    w, d, b, plane = arrays(width, depth, bore, plastic.flat)
    hole_I = np.pi / 64 * b**4
    area = solid_area(w, d, b)
    J, W = bar_torsion(w, d, plane)
    return section_of(
        area,
        w * d**3 / 12 - hole_I,
        d * w**3 / 12 - hole_I,
        (J - 2 * hole_I, W * (J - 2 * hole_I) / J),
        (plane * RECTANGLE_KAPPA * area, RECTANGLE_KAPPA * area),
        d / 2,
        d,
        w,
        (w * d**2 / 8 - b**3 / 12, w - b),
        d / 2,
    )


def solid_area(width: Floats, depth: Floats, bore: Floats) -> Floats:
    """Of a block with a round bore, m2."""
    return width * depth - np.pi / 4 * bore**2


def tube(outer: Floats | float, bore: Floats | float) -> Section:
    """Round tube. Shear coefficient: Cowper (1966), hollow circle, at nu = 0."""
    D, d = arrays(outer, bore)
    area = tube_area(D, d)
    second = np.pi / 64 * (D**4 - d**4)
    ratio = (d / D) ** 2
    kappa = 6 * (1 + ratio) ** 2 / (7 * (1 + ratio) ** 2 + 20 * ratio)
    cut = ((D**3 - d**3) / 12, D - d)
    torsion = (2 * second, 4 * second / D)
    return section_of(
        area, second, second, torsion, (kappa * area, kappa * area), D / 2, D, D, cut, D / 2
    )


def tube_area(outer: Floats, bore: Floats) -> Floats:
    """Of a round tube, m2."""
    return np.asarray(np.pi / 4 * (outer**2 - bore**2))


def box(
    width: Floats | float,
    depth: Floats | float,
    side: Floats | float,
    top: Floats | float,
    bottom: Floats | float,
    plastic: Layered = ISOTROPIC,
) -> Section:
    """Closed box: two side walls, top and bottom wall."""
    w, d, s, t, b, plane = arrays(width, depth, side, top, bottom, plastic.flat)
    inner, height = w - 2 * s, d - t - b
    area = box_area(w, d, s, t, b)
    centroid = (w * d**2 / 2 - inner * height * (t + height / 2)) / area
    Iy = w * d**3 / 12 + w * d * (d / 2 - centroid) ** 2
    Iy = Iy - inner * height**3 / 12 - inner * height * (t + height / 2 - centroid) ** 2
    Iz = (d * w**3 - height * inner**3) / 12
    mean = (t + b) / 2
    Az = shear_area(d - mean, s, 2.0, (w - s) / 2, t, b)
    Ay = plane * shear_area(w - s, mean, 2.0, (d - mean) / 2, s, s, plane)
    Q = w * t * (centroid - t / 2) + s * (centroid - t) ** 2
    root, factor = stretched(np.ones_like(d), plane)
    J, W = box_torsion(w, d * root, s, t * root, b * root)
    centre = centred(warp(box_walls(w, d, s, t, b, plastic)).free, t / 2)[2]
    return section_of(
        area, Iy, Iz, (J * factor, W * factor), (Ay, Az), centroid, d, w, (Q, 2 * s), centre
    )


def box_area(width: Floats, depth: Floats, side: Floats, top: Floats, bottom: Floats) -> Floats:
    """Of a closed box, m2."""
    return width * depth - (width - 2 * side) * (depth - top - bottom)


def box_walls(w: Floats, d: Floats, s: Floats, t: Floats, b: Floats, plastic: Layered) -> Walls:
    """A box's parts for sideways bending and twist; lengths as of ``box``, m."""
    flat, zero = plastic.flat, np.zeros_like(d)
    height = d - (t + b) / 2
    upper, mixed, lower = wall_moments(w, s, t / 2, height - b / 2, height)
    upper, lower = upper + t * w**3 / 12, lower + b * w**3 / 12
    return Walls(
        E_over_G=np.asarray(plastic.E_over_G, np.float64),
        breadth=w - s,
        height=height,
        plate=flat * t * (w - s),
        floor=flat * b * (w - s),
        bracing=zero,
        walls=2 * s * height,
        torsion=zero,
        upper=upper,
        mixed=mixed,
        lower=lower,
        warping=in_series(upper, mixed, lower),
    )
