"""Stresses of cantilever arms under tip loads, many at once.

Moments are taken at each element's inner end against the section at its middle, which on an arm
that tapers outwards errs to the safe side. Loads act one way; reversed loads are another case.
"""

from typing import NamedTuple

import numpy as np

from refledge.analysis.arm_model import ArmLoads, ArmMaterial, ArmShape, Mesh
from refledge.analysis.bars import clear_length, even_length, window_fillet
from refledge.analysis.strength import euler_load, plate_buckling_stress, tube_buckling_stress
from refledge.typed import Floats

# Peak over mean shear of a rectangle in terms of its shear area: 1.5 V/A = 1.25 V/(5/6 A).
_LATERAL_PEAK = 1.25
# Long plate, both long edges simply supported, uniform compression; and one long edge free:
# Timoshenko and Gere, Theory of Elastic Stability, buckling of compressed plates.
_BOTH_EDGES, _FREE_EDGE = 4.0, 0.425


class Stresses(NamedTuple):
    """With the names and in the order of ArmResults, each (N,)."""

    stress_top: Floats
    stress_bottom: Floats
    shear: Floats
    interlayer_shear: Floats
    interlayer_tension: Floats
    diagonal_stress: Floats
    diagonal_use: Floats
    wall_use: Floats


class _Actions(NamedTuple):
    """Moments (n, N) at the elements' inner ends, and shear (N,) or (n, N)."""

    vertical: Floats  # N m, signed
    lateral: Floats  # N m, magnitude
    shear: Floats  # N, magnitude, with what torque adds in open sections
    torque: Floats  # N m, magnitude


def stresses(family: str, mesh: Mesh, s: ArmShape, m: ArmMaterial, q: ArmLoads) -> Stresses:
    """Extremes along the arm of every stress that sizing looks at, Pa."""
    section, act = mesh.section, _actions(family, mesh, s, q)
    top, bottom = _fibres(mesh, act)
    cut = act.shear * section.Q / (section.Iy * section.web) + act.torque / section.Wt
    across = _LATERAL_PEAK * np.abs(q.force_y) / section.Ay + act.torque / section.Wt
    zero = np.zeros_like(s.length)
    diagonal, pull, use = _diagonals(mesh, s, m, act) if family == "truss" else (zero, zero, zero)
    return Stresses(
        _extreme(top),
        _extreme(bottom),
        np.maximum(cut, across).max(axis=0),
        cut.max(axis=0),
        pull,
        diagonal,
        use,
        _walls(family, s, m, top[1:-1], bottom[1:-1]),
    )


def _actions(family: str, mesh: Mesh, s: ArmShape, q: ArmLoads) -> _Actions:
    """Section forces. In open sections both side walls also take the whole torque as a couple.

    That and the full uniform torsion counted beside it are each an upper bound of its share.
    """
    inner = mesh.arm + mesh.length / 2
    vertical = q.force_z * inner + q.moment_y
    lateral = np.abs(q.force_y * inner + q.torque_z)
    shear, torque = np.abs(q.force_z), np.abs(q.torque_x)
    if family in ("channel", "truss"):
        couple = torque / (s.width - s.side)
        span = mesh.length[1:-1].sum(axis=0)
        vertical = vertical + np.where(vertical < 0, -1.0, 1.0) * couple * span
        shear = shear + 2 * couple
    return _Actions(vertical, lateral, shear, torque)


def _fibres(mesh: Mesh, act: _Actions) -> tuple[Floats, Floats]:
    section = mesh.section
    side = act.lateral * section.half_width / section.Iz
    top = -act.vertical * section.top / section.Iy
    bottom = act.vertical * section.bottom / section.Iy
    return top + np.where(top < 0, -side, side), bottom + np.where(bottom < 0, -side, side)


def _extreme(stress: Floats) -> Floats:
    """The value of greatest magnitude along the arm, with its sign, (N,)."""
    where = np.argmax(np.abs(stress), axis=0)[None]
    return np.asarray(np.take_along_axis(stress, where, axis=0)[0])


def _diagonals(
    mesh: Mesh, s: ArmShape, m: ArmMaterial, act: _Actions
) -> tuple[Floats, Floats, Floats]:
    """Axial stress, its pull across the layers, and use of the Euler load, each (N,).

    A diagonal at the angle a to the layers carries V / (2 sin a); on a layer boundary its stress
    resolves into sigma sin^2 a across it. Hinged ends for buckling: the joints are stiffer.
    """
    depth = (mesh.section.top + mesh.section.bottom)[1:-1]
    rise, run = depth - (s.top + s.bottom) / 2, s.pitch / 2
    long = np.sqrt(rise**2 + run**2)
    sine = rise / long
    force = act.shear / (2 * sine)
    stress = force / (s.side * s.web)
    thin, thick = np.minimum(s.side, s.web), np.maximum(s.side, s.web)
    euler = euler_load(m.E, thick * thin**3 / 12, long, "hinged-hinged")
    pull = stress * sine**2
    return stress.max(axis=0), pull.max(axis=0), (force / euler).max(axis=0)


def _walls(family: str, s: ArmShape, m: ArmMaterial, top: Floats, bottom: Floats) -> Floats:
    """Compression in the span's walls over their local buckling stress, (N,)."""
    upper, lower = -top.min(axis=0), -bottom.min(axis=0)
    if family == "tube":
        wall, radius = (s.width - s.bore) / 2, (s.width + s.bore) / 4
        limit = tube_buckling_stress(m.E, m.nu, wall, radius)
        return np.asarray(np.maximum(np.maximum(upper, lower), 0.0) / limit)
    if family == "truss":
        top_limit, low_limit = _between_nodes(s, m)
        return np.asarray(np.maximum(np.maximum(upper / top_limit, lower / low_limit), 0.0))
    clear = s.width - 2 * s.side
    top_limit = plate_buckling_stress(m.E, m.nu, s.top, clear, _BOTH_EDGES)
    if family == "box":
        low_limit = plate_buckling_stress(m.E, m.nu, s.bottom, clear, _BOTH_EDGES)
    else:
        height = s.depth_root - s.top
        k = _FREE_EDGE + (height / s.pitch) ** 2  # the ribs hold the wall every pitch
        low_limit = plate_buckling_stress(m.E, m.nu, s.side, height, k)
    return np.asarray(np.maximum(np.maximum(upper / top_limit, lower / low_limit), 0.0))


def _between_nodes(s: ArmShape, m: ArmMaterial) -> tuple[Floats, Floats]:
    """Stress (Pa) at which a truss's plate and its chords buckle up and down between nodes.

    The plate's edges are free there, so both are columns. At a node the bars that meet resist its
    turning, 3 E I / L each, far end hinged, half of it for either side. Sideways the chords are
    held by the diagonals alone: ``tipping.py``.
    """
    rise, run = (s.depth_root + s.depth_tip) / 2 - s.top - s.bottom, s.pitch / 2
    corner = window_fillet(run, rise, s.web)
    free = clear_length(run, rise, s.web, corner)
    bar = 3 * m.E * s.side * s.web**3 / 12 / even_length(run, rise, s.web, corner)
    plate = _held_column(m.E * s.width * s.top**3 / 12, free, 2 * bar)
    chord = _held_column(m.E * s.side * s.bottom**3 / 12, free, bar)
    return plate / (s.width * s.top), chord / (s.side * s.bottom)


def _held_column(EI: Floats, length: Floats, hold: Floats) -> Floats:
    """Least load (N) of a column both of whose ends turn against ``hold`` (N m/rad).

    Newmark, A Simple Approximate Formula for Effective End-Fixity of Columns (1949): between hinged
    and clamped within 4 %.
    """
    ends = hold * length / EI
    fixity = (np.pi**2 + 2 * ends) / (np.pi**2 + ends)
    return np.asarray(np.pi**2 * EI / length**2 * fixity**2)
