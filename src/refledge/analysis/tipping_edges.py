"""What a span offers against tipping over sideways, section by section, for many arms at once.

A span is a top plate and what hangs below it (``warping.py``). While it tips, plate and lower edge
sway each by its own amount, what lies between in proportion. ``tipping.py`` makes energies of it.
"""

from typing import NamedTuple

import numpy as np

from refledge.analysis.arm_model import ArmMaterial, ArmShape
from refledge.analysis.bars import even_length, window_fillet
from refledge.analysis.open_sections import channel_walls, truss_walls
from refledge.analysis.sections import box_walls
from refledge.analysis.torsion import rectangle_constant
from refledge.analysis.warping import Walls
from refledge.typed import Floats

_POINTS = 4
"""Gauss points over a side wall's height; the integrands are cubic."""


class Pull(NamedTuple):
    """Stress along the arm under a unit moment that presses its lower side, (..., N).

    Integrals over the section of stress times what sways: n = 1 at the plate, 0 at the lower edge.
    """

    plate: Floats  # 1/m, stress n^2
    mixed: Floats  # 1/m, stress n (1 - n)
    edge: Floats  # 1/m, stress (1 - n)^2
    across: Floats  # m, stress y^2
    middle: Floats  # 1, share of the height, from the plate down, at which shear passes on average


class Sway(NamedTuple):
    """How a truss's chords, both alike, are held against its plate, (Q, N)."""

    moved: Floats  # N/m2, force per length and sway
    both: Floats  # N/m, force per length and turn about the arm
    turned: Floats  # N, moment per length and turn
    chord: Floats  # N m2, torsion of the chords


class Edges(NamedTuple):
    """A span at several stations, (Q, N)."""

    walls: Walls
    slope: Floats  # (N,), 1, how the height grows outwards
    pull: Pull
    sway: Sway | None  # of the lower edge against the plate; None: braced
    chord: Floats  # N m2, bending of the lower edge's bars each for itself


def edges(family: str, s: ArmShape, m: ArmMaterial, where: Floats) -> Edges:
    """``where``: (Q,), 0 at the inner end of the span, 1 at its outer one. Boxes, channels, trusses
    whose dimensions are of shape (N,)."""
    fall = s.depth_tip - s.depth_root
    d = s.depth_root + fall * where[:, None]
    slope = fall / (s.length - s.root_length - s.tenon_length)
    plastic, zero = m.layered(), np.zeros_like(d)
    w, side, t = (value + zero for value in (s.width, s.side, s.top))
    if family == "truss":
        b, web, p = (value + zero for value in (s.bottom, s.web, s.pitch))
        walls = truss_walls(w, d, side, t, b, web, p, plastic, np.inf)
        bars = 2 * m.E * b * side**3 / 12
        return Edges(walls, slope, _two_bars(w, side, walls), _sway(s, m, d), bars)
    if family == "box":
        b = s.bottom + zero
        walls = box_walls(w, d, side, t, b, plastic)
    else:
        b = zero
        walls = channel_walls(w, d, side, t, s.web + zero, s.pitch + zero, plastic)
    return Edges(walls, slope, _hollow(w, d, side, t, b), None, zero)


def _two_bars(w: Floats, side: Floats, walls: Walls) -> Pull:
    """Plate and chords at their own middles; diagonals pass the shear evenly over the height."""
    inner = w - 2 * side
    across = w**2 / 12 - (w**3 - inner**3) / (24 * side)
    h = walls.height
    return Pull(1 / h, np.zeros_like(h), -1 / h, across / h, np.full_like(h, 0.5))


def _hollow(w: Floats, d: Floats, side: Floats, t: Floats, b: Floats) -> Pull:
    """Plate and side walls, of a box with its bottom wall; shear passes at the centroid."""
    height = d - (t + b) / 2
    inner, clear = w - 2 * side, d - t - b
    points, weights = np.polynomial.legendre.leggauss(_POINTS)
    far = (w**3 - inner**3) / (24 * side)  # mean of y^2 over both side walls
    strips = [(w * t, t / 2, w**2 / 12), (w * b, d - b / 2, w**2 / 12)]
    for point, weight in zip(points, weights, strict=True):
        strips.append((side * clear * weight, t + clear * (point + 1) / 2, far))
    area = sum(a for a, _, _ in strips)
    centroid = sum(a * z for a, z, _ in strips) / area
    second = sum(a * (z - centroid) ** 2 for a, z, _ in strips)
    second = second + w * (t**3 + b**3) / 12
    found = [np.zeros_like(d) for _ in range(4)]
    for a, z, y in strips:
        stress, low = a * (centroid - z) / second, (z - t / 2) / height
        for row, times in enumerate(((1 - low) ** 2, low * (1 - low), low**2, y)):
            found[row] = found[row] + stress * times
    plate, mixed, edge, across = found
    return Pull(plate, mixed, edge, across, (centroid - t / 2) / height)


def _sway(s: ArmShape, m: ArmMaterial, d: Floats) -> Sway:
    """Of a truss whose diagonals, fixed to the plate, bend out of its plane and are twisted.

    The end of a bar at the angle a that moves by D and turns about the arm by r bends by r sin a
    and twists by r cos a: energy E I (6 D^2 / L^3 - 6 D r sin a / L^2 + 2 r^2 sin^2 a / L) +
    G J r^2 cos^2 a / 2 L. Plate in series: it bends in an S between both trusses.
    """
    clear, run = d - s.top - s.bottom, s.pitch / 2 + np.zeros_like(d)
    long = np.hypot(clear, run)
    sine, level = clear / long, (run / long) ** 2
    bend = m.E * s.web * s.side**3 / 12
    twist = m.G * rectangle_constant(s.side, s.web)
    L = even_length(run, clear, s.web + 0 * d, window_fillet(run, clear, s.web + 0 * d))
    count = 4 / s.pitch
    moved, both = 12 * bend / L**3, -6 * bend * sine / L**2
    turned = (4 * bend * sine**2 + twist * level) / L
    height = d - (s.top + s.bottom) / 2
    plate = m.E * s.top**3 / (height**2 * (s.width - s.side))
    share = count / (1 + count * (moved - both**2 / turned) / plate)
    chord = 2 * m.G * rectangle_constant(s.side, s.bottom) + 0 * d
    return Sway(share * moved, share * both, share * turned, chord)
