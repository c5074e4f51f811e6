"""Lateral shear and torsion of spans made of a top plate, two side walls and what joins them below.

The two go together: such a section twists when it is pushed sideways anywhere but at its shear
centre, and it warps. Vlasov, Thin-Walled Elastic Beams: the section keeps its shape; sections of
the plate and of the walls' lower edges turn about z by different angles. Their difference d is the
warping, zero at solid ends. Added here: shear strain of plate and walls, and bracing between the
walls. docs/theory-beams.md derives it.
"""

from typing import NamedTuple

import numpy as np

from refledge.typed import Floats


class Walls(NamedTuple):
    """A span's section for sideways bending and twist, each (...,). Shear stiffness is over G."""

    E_over_G: Floats
    breadth: Floats  # m, between the middles of the side walls
    height: Floats  # m, from the middle of the plate to the lower edge
    plate: Floats  # m2, shear stiffness sideways
    floor: Floats  # m2, shear stiffness sideways of a bottom wall at the lower edge
    bracing: Floats  # m2, shear stiffness sideways of ribs, evenly over the height
    walls: Floats  # m2, shear stiffness up and down, both side walls
    torsion: Floats  # m4, Saint-Venant torsion of all strips for themselves
    upper: Floats  # m4, second moment about z that goes with the plate
    mixed: Floats  # m4, that of what lies between
    lower: Floats  # m4, that of the lower edge
    warping: Floats  # m4, that of warping with bending held still: of both in series


class Give(NamedTuple):
    """Compliance times G of a length of span to shear V and torque T about a line, each (...,)."""

    vv: Floats  # 1/m2, shear strain of V
    vt: Floats  # 1/m3, twist of V, as shear strain of T
    tt: Floats  # 1/m4, twist of T


class Warp(NamedTuple):
    """What V and T do to a section, about the plate's middle line."""

    free: Give
    """Free to warp."""
    plane: Give
    """Kept plane, as next to a solid block."""
    decay: Floats
    """1/m: warping dies away from a held end with exp(-decay x)."""


def wall_moments(
    width: Floats, side: Floats, start: Floats, end: Floats, height: Floats
) -> tuple[Floats, Floats, Floats]:
    """Second moments about z (m4) of both side walls, shared between upper and lower edge.

    Turns vary linearly from the plate's middle (0) down to ``height``; the walls themselves reach
    from ``start`` to ``end``.
    """
    each = (width**3 - (width - 2 * side) ** 3) / 12
    once = (end**2 - start**2) / (2 * height)
    twice = (end**3 - start**3) / (3 * height**2)
    return each * (end - start - 2 * once + twice), each * (once - twice), each * twice


def in_series(upper: Floats, mixed: Floats, lower: Floats) -> Floats:
    """Second moment (m4) that goes with warping once bending about z is taken out."""
    return (upper * lower - mixed**2) / (upper + 2 * mixed + lower)


def warp(s: Walls) -> Warp:
    """Compliances free and plane, by minimum of strain energy over shear strain, twist and warping.

    Shear strains sideways: g - c d in the plate, g + (1 - c) d + h theta' at the lower edge; up and
    down in the walls: theta' - d / h over b / 2. c makes bending about z and warping independent.
    """
    h, whole = s.height, s.upper + 2 * s.mixed + s.lower
    c = (s.mixed + s.lower) / whole
    wall = s.walls * s.breadth**2 / 4
    third = s.bracing / 3
    top, both, low = s.plate + third, third / 2, s.floor + third
    gg, gt = top + 2 * both + low, h * (both + low)
    tt = h**2 * low + wall + s.torsion
    gd = (1 - c) * low - c * top + (1 - 2 * c) * both
    td = h * ((1 - c) * low - c * both) - wall / h
    dd = c**2 * top - 2 * c * (1 - c) * both + (1 - c) ** 2 * low + wall / h**2
    det = gg * tt - gt**2
    plane = Give(tt / det, -gt / det, gg / det)
    g = plane.vv * gd + plane.vt * td
    t = plane.vt * gd + plane.tt * td
    stiff = dd - gd * g - td * t
    free = Give(plane.vv + g**2 / stiff, plane.vt + g * t / stiff, plane.tt + t**2 / stiff)
    return Warp(free, plane, np.sqrt(stiff / (s.E_over_G * s.warping)))


def centred(give: Give, plate: Floats) -> tuple[Floats, Floats, Floats]:
    """Torsion constant (m4), shear area (m2), shear centre (m below the top face).

    ``plate``: middle line of the plate below the top face, m. At the shear centre V does not twist.
    """
    return 1 / give.tt, 1 / (give.vv - give.vt**2 / give.tt), plate - give.vt / give.tt


def held(
    free: tuple[Floats, Floats, Floats],
    plane: tuple[Floats, Floats, Floats],
    decay: Floats,
    span: Floats,
) -> tuple[Floats, Floats, Floats]:
    """Torsion constant, shear area and shear centre over a span (m) between solid blocks.

    With d = 0 at both ends, d is 1 - cosh(k x)/cosh(k L/2) of its free value: 1 - tanh(u)/u of it
    on average, u = k L/2 (Vlasov, Thin-Walled Elastic Beams, both ends held).
    """
    u = decay * span / 2
    small = np.minimum(u, 0.1)  # 1 - tanh(u)/u loses its digits there: its series
    share = np.where(
        u < 0.1, small**2 / 3 * (1 - 0.4 * small**2), 1 - np.tanh(u) / np.maximum(u, 0.1)
    )
    a, b = _about_top(free), _about_top(plane)
    mixed = Give(*(share * x + (1 - share) * y for x, y in zip(a, b, strict=True)))
    return centred(mixed, np.zeros_like(share))


def _about_top(found: tuple[Floats, Floats, Floats]) -> Give:
    """Compliance about the top face of a section given by its shear centre."""
    J, area, below = found
    return Give(1 / area + below**2 / J, -below / J, 1 / J)
