"""Forced response by superposing modes, each with its own damping.

Ewins, Modal Testing: receptance as a sum over modes, with the residual of the modes left out
taken from the static solution (mode acceleration).
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from refledge.errors import AnalysisError
from refledge.solids import faces
from refledge.solids.assembly import dofs
from refledge.solids.modal import Modes
from refledge.solids.static import without_loose
from refledge.typed import Floats

Complexes = NDArray[np.complex128]


@dataclass(frozen=True, eq=False)
class Response:
    """Acceleration of named faces over frequency."""

    frequencies: Floats
    """(f,), Hz."""
    accelerations: Mapping[str, Complexes]
    """Face to (f, 6): m/s2 and rad/s2 of its mean motion, amplitude and phase."""


@dataclass(frozen=True, eq=False)
class Shaker:
    """A force and moment (f, 6) at ``point`` (3,), m, through a named face, N and N m."""

    face: str
    point: Floats
    wrench: Complexes


def unbalance(frequencies: Floats, moment: float, spin: int, axis: Floats) -> Complexes:
    """(f, 6): force of an unbalance ``moment`` (kg m) turning about ``axis``: m e Omega^2.

    ISO 21940-11, definition of unbalance. spin: +1 or -1 by the right-hand rule.
    """
    a = np.asarray(axis, np.float64) / np.linalg.norm(axis)
    x = np.cross(np.eye(3)[int(np.argmin(np.abs(a)))], a)
    x = x / np.linalg.norm(x)
    turning = x - 1j * spin * np.cross(a, x)
    size = moment * (2 * np.pi * np.asarray(frequencies)) ** 2
    return np.hstack((size[:, None] * turning, np.zeros((len(size), 3))))


def harmonic(
    found: Modes, damping: Floats | float, shaker: Shaker, frequencies: Floats, at: tuple[str, ...]
) -> Response:
    """Steady response. damping: fraction of critical, one for all or (k,) for each mode."""
    zeta = np.broadcast_to(np.asarray(damping, np.float64), found.frequencies.shape)
    if np.any(zeta <= 0) or np.any(zeta >= 1):
        raise AnalysisError("damping is a fraction of critical between 0 and 1")
    system = found.system
    patch = faces.patch(system.mesh, shaker.face)
    unit = _unit_loads(found, patch, shaker.point)
    omega = 2 * np.pi * np.asarray(frequencies, np.float64)
    own = 2 * np.pi * found.frequencies
    phi = found.shapes.reshape(len(own), -1)
    drive = shaker.wrench @ (phi @ unit).T
    gain = 1 / (own**2 - omega[:, None] ** 2 + 2j * zeta * own * omega[:, None])
    rest, rigid = _outside_modes(found, unit)
    accelerations = {}
    for name in at:
        here = faces.patch(system.mesh, name)
        read = here.mean
        rows = dofs(here.nodes)
        elastic = (drive * gain) @ (phi[:, rows] @ read.T) + shaker.wrench @ (read @ rest[rows]).T
        accelerations[name] = (
            -(omega[:, None] ** 2) * elastic + shaker.wrench @ (read @ rigid[rows]).T
        )
    return Response(np.asarray(frequencies, np.float64), accelerations)


def _unit_loads(found: Modes, patch: faces.Patch, point: Floats) -> Floats:
    """(3n, 6): nodal forces of unit forces and moments at ``point``."""
    load = np.zeros((found.system.mesh.dofs, 6))
    turned = np.column_stack(
        [faces.wrench(row[:3], row[3:], point, patch.centre) for row in np.eye(6)]
    )
    load[dofs(patch.nodes)] = patch.mean.T @ turned
    return load


def _outside_modes(found: Modes, unit: Floats) -> tuple[Floats, Floats]:
    """Under unit loads: static displacement of modes left out, and rigid acceleration; (3n, 6)."""
    system = found.system
    phi = found.shapes.reshape(len(found.shapes), -1)
    load, rigid = unit, np.zeros_like(unit)
    R = system.loose
    if R.size:
        MR = system.mass_times(R)
        rigid = R @ np.linalg.solve(R.T @ MR, R.T @ unit)
        load = unit - system.mass_times(rigid)
    u = without_loose(system, system.solve(load))
    own = (2 * np.pi * found.frequencies) ** 2
    return u - phi.T @ ((phi @ unit) / own[:, None]), rigid
