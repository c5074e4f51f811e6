"""Torsion constants of solid rectangles and thin-walled boxes.

Where the shear modulus differs across and along the width, stretch the depth by the root of their
ratio: ``stretched``.
"""

import numpy as np

from refledge.typed import Floats

# Sum of 1/n^5 over odd n from 5 up: (31/32) zeta(5) - 1 - 1/243. There tanh differs from 1 by
# less than 4e-7 for any rectangle, so two terms of the series are written out.
_TAIL = 31 / 32 * 1.0369277551433699 - 1.0 - 1.0 / 243.0


def rectangle_torsion(width: Floats, depth: Floats) -> tuple[Floats, Floats]:
    """Saint-Venant constant J (m4) and torsion modulus W (m3) of a solid rectangle.

    W is torque over greatest shear stress, at the middle of the longer side. Timoshenko and
    Goodier, Theory of Elasticity, torsion of a rectangular bar (Fourier series); relative error
    of J below 1e-6.
    """
    J, short, fall = _rectangle(width, depth)
    once = np.sqrt(fall)
    peak = 1 - 16 / np.pi**2 * once * (1 / (1 + fall) + fall / (9 * (1 + fall**3)))
    return J, J / (short * peak)


def rectangle_constant(width: Floats, depth: Floats) -> Floats:
    """J (m4) of ``rectangle_torsion``, where nobody asks for W."""
    return _rectangle(width, depth)[0]


def _rectangle(width: Floats, depth: Floats) -> tuple[Floats, Floats, Floats]:
    """J (m4), the shorter side (m) and exp(-2 u), u = pi/2 long/short (1).

    tanh u and tanh 3u of the series, and 1/cosh of both, are fractions of that one exponential.
    """
    long, short = np.maximum(width, depth), np.minimum(width, depth)
    fall = np.exp(-np.pi * long / short)
    thrice = fall**3
    series = (1 - fall) / (1 + fall) + (1 - thrice) / (243 * (1 + thrice)) + _TAIL
    return long * short**3 * (1 / 3 - 64 / np.pi**5 * short / long * series), short, fall


def box_torsion(
    width: Floats, depth: Floats, side: Floats, top: Floats, bottom: Floats
) -> tuple[Floats, Floats]:
    """Constant J (m4) and modulus W (m3) of a closed rectangular box, outer size and walls in m.

    Bredt's formula J = 4 A^2 / S, with A the void plus the integral over the walls of the harmonic
    function that falls from 1 inside to 0 outside, S its flux, and the open-section part: exact
    for any hollow section (Prandtl's stress function and Green's identity; docs/theory-beams.md).
    For thin walls A and S are Bredt's mid-line area and sum of length over thickness. W adds the
    stress that varies through the wall.
    """
    breadth, height = width - 2 * side, depth - top - bottom
    flux_top, area_top = _corner(side, top)
    flux_low, area_low = _corner(side, bottom)
    enclosed = breadth * (height + (top + bottom) / 2) + height * side
    enclosed = enclosed + 2 * (area_top + area_low)
    flux = breadth / top + breadth / bottom + 2 * height / side + 2 * (flux_top + flux_low)
    bredt = 4 * enclosed**2 / flux
    through = (width - side) * (top**3 + bottom**3) / 3
    through = through + 2 * (depth - (top + bottom) / 2) * side**3 / 3
    J = bredt + through
    thin = np.minimum(np.minimum(top, bottom), side)
    thick = np.maximum(np.maximum(top, bottom), side)
    stress = bredt / J / (2 * enclosed * thin) + thick / J
    return J, 1 / stress


def _corner(a: Floats, b: Floats) -> tuple[Floats, Floats]:
    """Flux (1) and area (m2) that a right-angled corner of walls a and b adds to the inner lengths.

    Flux: conformal mapping of the bend of a strip; 1 - 2 ln 2 / pi for equal walls. Area: fitted
    to finite elements, within 0.01 a b for walls in a ratio up to 3 (tests).
    """
    ratio = b / a
    angle = np.arctan(ratio)
    log = 2 * np.log((ratio + 1 / ratio) / 4)
    flux = (log + 2 * angle / ratio + 2 * ratio * (np.pi / 2 - angle)) / np.pi
    return flux, a * b * (0.145 - 0.125 * np.log(ratio) ** 2)


def stretched(depth: Floats, flat: Floats) -> tuple[Floats, Floats]:
    """Depth (m) of the isotropic section that twists alike, and the factor on its constants (1).

    ``flat``: shear modulus in the plane of the layers, which lie along the width, over that across
    them. Lekhnitskii, Theory of Elasticity of an Anisotropic Body, torsion of an orthotropic bar:
    the stress function solves phi,yy / G + phi,zz / (flat G) = -2 theta', which the stretch z to
    z sqrt(flat) makes Poisson's equation; dz shrinks back in the integral of phi.
    """
    root = np.sqrt(flat)
    return depth * root, 1 / root
