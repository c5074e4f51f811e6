"""Sections of arms that are open below: channels with ribs, trusses."""

import numpy as np

from refledge.analysis.bars import even_length, window_fillet
from refledge.analysis.section_model import (
    ISOTROPIC,
    RECTANGLE_KAPPA,
    Layered,
    Section,
    arrays,
    bar_constant,
    section_of,
)
from refledge.analysis.shear import shear_area
from refledge.analysis.torsion import rectangle_constant
from refledge.analysis.warping import Walls, centred, in_series, wall_moments, warp
from refledge.typed import Floats


def channel(
    width: Floats | float,
    depth: Floats | float,
    side: Floats | float,
    top: Floats | float,
    web: Floats | float,
    pitch: Floats | float,
    plastic: Layered = ISOTROPIC,
) -> Section:
    """Channel, open below, with zig-zag ribs of thickness ``web`` over the full inner depth.

    Ribs brace the walls sideways all the way down, which stiffens lateral shear and torsion, and
    help the walls a little in vertical shear; they are left out of bending.
    """
    w, d, s, t, rib, p = arrays(width, depth, side, top, web, pitch)
    height = d - t
    area = w * t + 2 * s * height
    centroid = (w * t**2 / 2 + 2 * s * height * (t + height / 2)) / area
    Iy = w * t**3 / 12 + w * t * (centroid - t / 2) ** 2
    Iy = Iy + s * height**3 / 6 + 2 * s * height * (t + height / 2 - centroid) ** 2
    Iz = t * w**3 / 12 + height * (w**3 - (w - 2 * s) ** 3) / 12
    walls, upright = _upright(w, d, s, t, rib, p)
    parts = channel_walls(w, d, s, t, rib, p, plastic)
    found = warp(parts)
    J, Ay, centre = centred(found.free, t / 2)
    return section_of(
        area,
        Iy,
        Iz,
        (J, parts.torsion / np.maximum(s, t)),
        (Ay, walls + RECTANGLE_KAPPA * upright),
        centroid,
        d,
        w,
        (s * (d - centroid) ** 2, 2 * s),
        centre,
        channel_volume(w, d, s, t, rib, p),
        centred(found.plane, t / 2),
        found.decay,
    )


def channel_volume(w: Floats, d: Floats, s: Floats, t: Floats, rib: Floats, p: Floats) -> Floats:
    """Of a channel with its ribs, for each length, m2; arguments as of ``channel``, m."""
    return w * t + (2 * s + _zigzag(w - 2 * s, rib, p)) * (d - t)


def _upright(
    w: Floats, d: Floats, s: Floats, t: Floats, rib: Floats, p: Floats
) -> tuple[Floats, Floats]:
    """Shear areas (m2) for vertical shear of the side walls, and of the ribs by their cosine.

    Where the walls shear opposite ways the ribs' strain falls to nothing midway: a third counts.
    """
    walls = shear_area(d - t / 2, s, 2.0, (w - s) / 2, t, np.zeros_like(t))
    return walls, rib * p / np.hypot(w - 2 * s, p) * (d - t)


def channel_walls(
    w: Floats, d: Floats, s: Floats, t: Floats, rib: Floats, p: Floats, plastic: Layered
) -> Walls:
    """A channel's parts for sideways bending. Its ribs brace the walls as a Warren truss does.

    Lengths as of ``channel``, m. Timoshenko and Gere, Theory of Elastic Stability, built-up
    columns: V / gamma = E A sin^2 cos of the ribs' angle to the axis, with the ribs as short as
    their fillets make them.
    """
    ratio, flat = np.asarray(plastic.E_over_G, np.float64), plastic.flat
    inner, height = w - 2 * s, d - t / 2
    side, upright = _upright(w, d, s, t, rib, p)
    torsion = bar_constant(w, t, flat) + 2 * bar_constant(s, d - t, flat)
    brace = ratio * rib * inner**2 * p / np.hypot(inner, p) ** 2 * (d - t)
    upper, mixed, lower = wall_moments(w, s, t / 2, height, height)
    upper = upper + t * w**3 / 12
    return Walls(
        E_over_G=ratio,
        breadth=w - s,
        height=height,
        plate=flat * shear_area(w - s, t, 1.0, height, s, s, 0.0),
        floor=np.zeros_like(t),
        bracing=brace / even_length(p, inner, rib, window_fillet(p, inner, rib)),
        walls=side + upright / 3,
        torsion=torsion,
        upper=upper,
        mixed=mixed,
        lower=lower,
        warping=in_series(upper, mixed, lower),
    )


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
    plastic: Layered = ISOTROPIC,
    panels: Floats | float = np.inf,
) -> Section:
    """Top plate with a Warren truss of width ``side`` under each long edge.

    Bending is carried by plate and bottom chords alone. Vertical shear: the diagonals stretch,
    ``_diagonal_shear``. Lateral shear: the plate. Torsion: plate, chords and diagonals for
    themselves. W is the plate's.

    ``panels`` of the span, n: forces of chord and plate change in steps from node to node. Where
    twist is held at both ends they fall from +n/2 to -n/2 steps; their squares, summed over the
    chord's n - 1 whole and two half lengths, are 1 + 2/n^2 of those of an even fall, over the
    plate's n lengths 1 - 1/n^2.
    """
    w, d, s, t, b, diagonal, p, plane = arrays(
        width, depth, side, top, bottom, web, pitch, plastic.flat
    )
    plate, chord = w * t, s * b
    area = plate + 2 * chord
    centroid = (plate * t / 2 + 2 * chord * (d - b / 2)) / area
    Iy = plate * (t**2 / 12 + (centroid - t / 2) ** 2)
    Iy = Iy + 2 * chord * (b**2 / 12 + (d - b / 2 - centroid) ** 2)
    rise = d - (t + b) / 2
    long = np.sqrt(rise**2 + (p / 2) ** 2)
    walls = truss_walls(w, d, s, t, b, diagonal, p, plastic, panels)
    strips = bar_constant(w, t, plane) + 2 * bar_constant(s, b, plane)
    found = warp(walls)
    J, Ay, centre = centred(found.free, t / 2)
    return section_of(
        area,
        Iy,
        walls.upper + walls.lower,
        (J, strips / np.maximum(t, np.minimum(s, b))),
        (Ay, walls.walls),
        centroid,
        d,
        w,
        (2 * chord * (d - b / 2 - centroid), 2 * s * diagonal * 2 / p * long / rise),
        centre,
        truss_volume(w, d, s, t, b, diagonal, p),
        centred(found.plane, t / 2),
        found.decay,
    )


def truss_walls(
    w: Floats,
    d: Floats,
    s: Floats,
    t: Floats,
    b: Floats,
    diagonal: Floats,
    p: Floats,
    plastic: Layered,
    panels: Floats | float,
) -> Walls:
    """A truss's parts for sideways bending and twist; lengths as of ``truss``, m."""
    flat, n = plastic.flat, np.asarray(panels, np.float64)
    plate_I, chord_I = t * w**3 / 12, b * (w**3 - (w - 2 * s) ** 3) / 12
    rise, zero = d - (t + b) / 2, np.zeros_like(d)
    shear, twist = _diagonals(rise, d - t - b, p / 2, s, diagonal, plastic)
    strips = bar_constant(w, t, flat) + 2 * bar_constant(s, b, flat)
    return Walls(
        E_over_G=np.asarray(plastic.E_over_G, np.float64),
        breadth=w - s,
        height=rise,
        plate=flat * RECTANGLE_KAPPA * w * t,
        floor=zero,
        bracing=zero,
        walls=shear,
        torsion=strips + twist,
        upper=plate_I,
        mixed=zero,
        lower=chord_I,
        warping=1 / ((1 - 1 / n**2) / plate_I + (1 + 2 / n**2) / chord_I),
    )


def _diagonals(
    rise: Floats, clear: Floats, run: Floats, s: Floats, web: Floats, plastic: Layered
) -> tuple[Floats, Floats]:
    """Shear area (m2) and addition to the torsion constant (m4) of the diagonals of both sides.

    Shear: Timoshenko and Gere, Theory of Elastic Stability, built-up columns, diagonals without
    posts. Bars run from plate to chord over ``clear``, but plate and chord, their middles ``rise``
    apart, take the moment: a bar of length L pulls with V L / rise per run, so that V / gamma =
    E A rise^2 run / L^3 for each truss.

    Torsion: per twist theta' of the arm the ends of a diagonal at the angle a turn against each
    other about x by theta' run and about z, as plate and chord sway apart, by theta' clear: it
    twists by theta' cos 2a and bends sideways by theta' sin 2a for each length.
    """
    long = np.hypot(clear, run)
    even = even_length(run, clear, web, window_fillet(run, clear, web))
    ratio = plastic.E_over_G / plastic.inclined(clear / long)
    shear = 2 * ratio * s * web * rise**2 * run / (long**2 * even)
    bends, twists = 2 * clear * run / long**2, (run**2 - clear**2) / long**2
    second, polar = web * s**3 / 12, rectangle_constant(s, web)
    turns = (ratio * second * bends**2 + polar * twists**2) * long**2 / (run * even)
    return shear, 2 * turns


def truss_volume(
    w: Floats, d: Floats, s: Floats, t: Floats, b: Floats, web: Floats, p: Floats
) -> Floats:
    """Of a truss with its diagonals, for each length, m2; arguments as of ``truss``, m."""
    return w * t + 2 * s * (b + _diagonal_area(d - t - b, web, p) / p)


def _diagonal_area(clear: Floats, web: Floats, p: Floats) -> Floats:
    """Side-view area of the two diagonals of one panel (m2) between plate and chord.

    Each is a parallelogram; neighbours overlap in a triangle at each of the two nodes.
    """
    long = np.sqrt(clear**2 + (p / 2) ** 2)
    shared = web**2 * long**2 / (4 * clear * p / 2)
    return np.asarray(np.maximum(2 * (web * long - shared), 0.0))
