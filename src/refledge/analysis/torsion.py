"""Torsion constants: solid rectangles, thin-walled boxes, and open sections held at their ends."""

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
    long = np.maximum(width, depth)
    short = np.minimum(width, depth)
    angle = np.pi / 2 * long / short
    series = np.tanh(angle) + np.tanh(3 * angle) / 243 + _TAIL
    J = long * short**3 * (1 / 3 - 64 / np.pi**5 * short / long * series)
    first = 2 * np.exp(-angle) / (1 + np.exp(-2 * angle))
    third = 2 * np.exp(-3 * angle) / (1 + np.exp(-6 * angle))
    peak = 1 - 8 / np.pi**2 * (first + third / 9)
    return J, J / (short * peak)


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


def braced_torsion(
    breadth: Floats, height: Floats, side: Floats, top: Floats, lattice: Floats
) -> Floats:
    """Bredt constant (m4) of a channel whose open face is closed by a lattice, mid-lines in m.

    ``lattice`` is the thickness of the plate that shears as easily as the bracing (m).
    """
    around = breadth / top + 2 * height / side + breadth / lattice
    return 4 * (breadth * height) ** 2 / around


def channel_warping(breadth: Floats, height: Floats, side: Floats, top: Floats) -> Floats:
    """Warping constant (m6) of a channel lying open side down, mid-line sizes in m.

    Timoshenko and Gere, Theory of Elastic Stability, table of shear centres and warping constants,
    channel; there the side walls are the flanges and the top plate is the web.
    """
    flange, web = height * side, breadth * top
    return side * height**3 * breadth**2 / 12 * (3 * flange + 2 * web) / (6 * flange + web)


def boom_warping(breadth: Floats, height: Floats, boom: Floats, top: Floats) -> Floats:
    """Warping constant (m6) of a plate with two booms of area ``boom`` (m2) held below its edges.

    Vlasov, Thin-Walled Elastic Beams, sectorial coordinate with its pole at the shear centre,
    a distance e above the plate: e follows from the vanishing of its moment about z.
    """
    plate = breadth * top
    e = height * boom / (boom + plate / 6)
    return e**2 * plate * breadth**2 / 12 + boom * breadth**2 / 2 * (e - height) ** 2


def restrained_torsion(
    J: Floats, warping: Floats, shear: Floats, span: Floats, E_over_G: Floats
) -> Floats:
    """Effective torsion constant (m4) of a span whose two ends cannot warp (solid blocks).

    Vlasov, Thin-Walled Elastic Beams, uniform torque with both ends held: twist = T L / (G J)
    times 1 - tanh(u)/u with u = L/2 sqrt(G J / (E C)). ``shear`` (m4) is the stiffness over G of
    the two side walls shearing in opposite senses; it softens the warping constant C by
    1 + 12 E C / (G shear L^2), as shear softens a beam with both ends guided.
    """
    # 1e-30: closed sections, with no warping and no side shear, divide nothing by nothing.
    soft = warping / (1 + 12 * E_over_G * warping / (np.maximum(shear, 1e-30) * span**2))
    u = span / 2 * np.sqrt(J / np.maximum(E_over_G * soft, 1e-30))
    # 1 - tanh(u)/u loses its digits for small u: use its series there.
    small = np.minimum(u, 0.1)
    relief = np.where(
        u < 0.1, small**2 / 3 * (1 - 0.4 * small**2), 1 - np.tanh(u) / np.maximum(u, 0.1)
    )
    return J / relief
