"""Section properties of the arm families; every input broadcasts, all lengths in m.

Axes: y across, z up; the top face is the datum. Bending about y is vertical bending. Families and
what each length means: docs/frame.md. Sections are linear elastic and of one material.
"""

from dataclasses import dataclass

import numpy as np

from refledge.analysis.shear import shear_area
from refledge.analysis.torsion import (
    boom_warping,
    box_torsion,
    braced_torsion,
    channel_warping,
    rectangle_torsion,
)
from refledge.typed import Floats

# Shear coefficient of a solid rectangle: Cowper, The Shear Coefficient in Timoshenko's Beam
# Theory (1966), 10 (1 + nu) / (12 + 11 nu), at nu = 0. At nu = 0.35 it is 2 % larger.
RECTANGLE_KAPPA = 5 / 6
# E/G of the ribs that brace a channel: the least that an isotropic material can have (nu = 0),
# so that their bracing is not overrated.
_LEAST_E_OVER_G = 2.0


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
    warping: Floats  # m6, warping constant; 0 for closed and solid sections
    side_shear: Floats  # m4, side walls shearing in opposite senses over G; 0 where no warping


def _section(
    area: Floats,
    Iy: Floats,
    Iz: Floats,
    torsion: tuple[Floats, Floats],
    shear: tuple[Floats, Floats],
    centroid: Floats,
    depth: Floats,
    width: Floats,
    cut: tuple[Floats, Floats],
    volume: Floats | None = None,
    open_section: tuple[Floats, Floats] | None = None,
) -> Section:
    zero = np.zeros_like(area)
    warping, side_shear = open_section or (zero, zero)
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
        warping=warping,
        side_shear=side_shear,
    )


def _arrays(*values: Floats | float) -> tuple[Floats, ...]:
    return np.broadcast_arrays(*(np.asarray(value, dtype=np.float64) for value in values))


def rectangle(width: Floats | float, depth: Floats | float) -> Section:
    """Solid rectangle."""
    return solid(width, depth, 0.0)


def solid(width: Floats | float, depth: Floats | float, bore: Floats | float) -> Section:
    """Solid block with a round wire bore along its middle.

    Torsion: the bore's polar moment is taken off the rectangle's constant, good while the bore is
    small against the block (under 5 % error to bore = half the smaller side: tests).
    """
    w, d, b = _arrays(width, depth, bore)
    hole, hole_I = np.pi / 4 * b**2, np.pi / 64 * b**4
    area = w * d - hole
    J, W = rectangle_torsion(w, d)
    return _section(
        area,
        w * d**3 / 12 - hole_I,
        d * w**3 / 12 - hole_I,
        (J - 2 * hole_I, W * (J - 2 * hole_I) / J),
        (RECTANGLE_KAPPA * area, RECTANGLE_KAPPA * area),
        d / 2,
        d,
        w,
        (w * d**2 / 8 - b**3 / 12, w - b),
    )


def tube(outer: Floats | float, bore: Floats | float) -> Section:
    """Round tube. Shear coefficient: Cowper (1966), hollow circle, at nu = 0."""
    D, d = _arrays(outer, bore)
    area = np.pi / 4 * (D**2 - d**2)
    second = np.pi / 64 * (D**4 - d**4)
    ratio = (d / D) ** 2
    kappa = 6 * (1 + ratio) ** 2 / (7 * (1 + ratio) ** 2 + 20 * ratio)
    cut = ((D**3 - d**3) / 12, D - d)
    torsion = (2 * second, 4 * second / D)
    return _section(area, second, second, torsion, (kappa * area, kappa * area), D / 2, D, D, cut)


def box(
    width: Floats | float,
    depth: Floats | float,
    side: Floats | float,
    top: Floats | float,
    bottom: Floats | float,
) -> Section:
    """Closed box: two side walls, top and bottom wall."""
    w, d, s, t, b = _arrays(width, depth, side, top, bottom)
    inner, height = w - 2 * s, d - t - b
    area = w * d - inner * height
    centroid = (w * d**2 / 2 - inner * height * (t + height / 2)) / area
    Iy = w * d**3 / 12 + w * d * (d / 2 - centroid) ** 2
    Iy = Iy - inner * height**3 / 12 - inner * height * (t + height / 2 - centroid) ** 2
    Iz = (d * w**3 - height * inner**3) / 12
    mean = (t + b) / 2
    Az = shear_area(d - mean, s, 2.0, (w - s) / 2, t, b)
    Ay = shear_area(w - s, mean, 2.0, (d - mean) / 2, s, s)
    Q = w * t * (centroid - t / 2) + s * (centroid - t) ** 2
    torsion = box_torsion(w, d, s, t, b)
    return _section(area, Iy, Iz, torsion, (Ay, Az), centroid, d, w, (Q, 2 * s))


def channel(
    width: Floats | float,
    depth: Floats | float,
    side: Floats | float,
    top: Floats | float,
    web: Floats | float,
    pitch: Floats | float,
) -> Section:
    """Channel, open below, with zig-zag ribs of thickness ``web`` over the full inner depth.

    Ribs add volume and brace the open face in torsion; they are left out of bending and shear.
    """
    w, d, s, t, rib, p = _arrays(width, depth, side, top, web, pitch)
    height = d - t
    area = w * t + 2 * s * height
    centroid = (w * t**2 / 2 + 2 * s * height * (t + height / 2)) / area
    Iy = w * t**3 / 12 + w * t * (centroid - t / 2) ** 2
    Iy = Iy + s * height**3 / 6 + 2 * s * height * (t + height / 2 - centroid) ** 2
    Iz = t * w**3 / 12 + height * (w**3 - (w - 2 * s) ** 3) / 12
    Az = shear_area(d - t / 2, s, 2.0, (w - s) / 2, t, np.zeros_like(t))
    Ay = shear_area(w - s, t, 1.0, d - t / 2, s, s)
    warping = channel_warping(w - s, d - t / 2, s, t)
    return _section(
        area,
        Iy,
        Iz,
        _channel_torsion(w, d, s, t, rib, p),
        (Ay, Az),
        centroid,
        d,
        w,
        (s * (d - centroid) ** 2, 2 * s),
        area + _zigzag(w - 2 * s, rib, p) * height,
        (warping, Az * (w - s) ** 2 / 4),
    )


def _channel_torsion(
    w: Floats, d: Floats, s: Floats, t: Floats, rib: Floats, p: Floats
) -> tuple[Floats, Floats]:
    """J and W of the channel: open strips plus the face that the zig-zag ribs close.

    Each rib works as a diagonal: a plate as easy to shear has the thickness E/G A a b / c^3 with
    diagonal area A, panel a by b, diagonal length c (from the work of the diagonal alone; the
    lattice of Kollbrunner and Basler, Torsion in Structures, with stiff chords). The side walls'
    lengthwise slip grows linearly from the top plate down, so only a third of the rib's depth
    counts. W stays that of the open strips: the ribs are not trusted with strength.
    """
    breadth, height = w - s, d - t / 2
    plate, _ = rectangle_torsion(w, t)
    wall, _ = rectangle_torsion(d - t, s)
    opened = plate + 2 * wall
    diagonal = rib * (d - t) / 3
    lattice = _LEAST_E_OVER_G * diagonal * p * breadth / (p**2 + breadth**2) ** 1.5
    lattice = np.maximum(lattice, 1e-12)  # a picometre, for ribs of no thickness
    J = opened + braced_torsion(breadth, height, s, t, lattice)
    return J, opened / np.maximum(s, t)


def _zigzag(inner: Floats, rib: Floats, p: Floats) -> Floats:
    """Plan area of the ribs per length (m), the corners shared by two ribs counted once."""
    long = np.sqrt(inner**2 + p**2)
    shared = rib**2 * long**2 / (4 * inner * p)
    return np.asarray(np.maximum(rib * long - shared, 0.0) / p)


def truss(
    width: Floats | float,
    depth: Floats | float,
    side: Floats | float,
    top: Floats | float,
    bottom: Floats | float,
    web: Floats | float,
    pitch: Floats | float,
    E_over_G: Floats | float,
) -> Section:
    """Top plate with a Warren truss of width ``side`` under each long edge.

    Bending is carried by plate and bottom chords alone. Vertical shear: the diagonals stretch;
    Timoshenko and Gere, Theory of Elastic Stability, built-up columns, diagonals without posts:
    V / gamma = E A sin^2 cos of the angle to the axis, for each truss. Lateral shear: the plate.
    Torsion: plate and chords as open strips. W is the plate's.
    """
    w, d, s, t, b, diagonal, p, ratio = _arrays(
        width, depth, side, top, bottom, web, pitch, E_over_G
    )
    plate, chord = w * t, s * b
    area = plate + 2 * chord
    centroid = (plate * t / 2 + 2 * chord * (d - b / 2)) / area
    Iy = plate * (t**2 / 12 + (centroid - t / 2) ** 2)
    Iy = Iy + 2 * chord * (b**2 / 12 + (d - b / 2 - centroid) ** 2)
    Iz = t * w**3 / 12 + b * (w**3 - (w - 2 * s) ** 3) / 12
    rise, run = d - (t + b) / 2, p / 2
    long = np.sqrt(rise**2 + run**2)
    Az = 2 * ratio * s * diagonal * rise**2 * run / long**3
    J_plate, _ = rectangle_torsion(w, t)
    J_chord, _ = rectangle_torsion(s, b)
    J = J_plate + 2 * J_chord
    clear = d - t - b
    volume = area + 2 * s * _diagonal_area(clear, diagonal, p) / p
    return _section(
        area,
        Iy,
        Iz,
        (J, J / np.maximum(t, np.minimum(s, b))),
        (RECTANGLE_KAPPA * plate, Az),
        centroid,
        d,
        w,
        (2 * chord * (d - b / 2 - centroid), 2 * s * diagonal * 2 / p * long / rise),
        volume,
        (boom_warping(w - s, rise, chord, t), Az * (w - s) ** 2 / 4),
    )


def _diagonal_area(clear: Floats, web: Floats, p: Floats) -> Floats:
    """Side-view area of the two diagonals of one panel (m2) between plate and chord.

    Each is a parallelogram; neighbours overlap in a triangle at each of the two nodes.
    """
    long = np.sqrt(clear**2 + (p / 2) ** 2)
    shared = web**2 * long**2 / (4 * clear * p / 2)
    return np.asarray(np.maximum(2 * (web * long - shared), 0.0))
