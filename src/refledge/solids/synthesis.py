"""Reduced parts joined at their ports: modes and forced response of the whole, floating free.

Craig and Kurdila, Fundamentals of Structural Dynamics, component-mode synthesis: coordinates of
all copies side by side, then only those motions in which joined ports move alike.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import eigh, qr

from refledge.errors import AnalysisError
from refledge.solids.faces import point_inertia
from refledge.solids.reduction import Component
from refledge.typed import Floats

Complexes = NDArray[np.complex128]
_APART = 1e-3
"""m; centres of joined ports further apart than this were not meant for each other: rings meshed
on two parts differ by some hundredths of a millimetre."""


_RIGID = 1e-6  # of the first elastic eigenvalue


@dataclass(frozen=True, eq=False)
class Copy:
    """One part in its place."""

    name: str
    component: Component
    rotation: Floats
    """(3, 3) from part axes to the whole's."""
    place: Floats
    """(3,), m."""


@dataclass(frozen=True)
class Joint:
    """Two ports, each (copy, port), that move as one."""

    one: tuple[str, str]
    other: tuple[str, str]


@dataclass(frozen=True, eq=False)
class Riding:
    """A body on a port: mass, kg, centre (3,), m, inertia about it (3, 3); axes of the whole."""

    copy: str
    port: str
    mass: float
    centre: Floats
    inertia: Floats


@dataclass(frozen=True, eq=False)
class Joined:
    """All modes that the reduced whole has, M-orthonormal, six rigid ones first."""

    frequencies: Floats
    """(k,), Hz."""
    motion: Mapping[tuple[str, str], Floats]
    """(6, k): motion of every port in each mode about its centre, axes of the whole."""
    centres: Mapping[tuple[str, str], Floats]
    """(3,), m, axes of the whole."""


def join(copies: Sequence[Copy], joints: Sequence[Joint], riding: Sequence[Riding]) -> Joined:
    """Raises AnalysisError for ports that do not meet or leave the whole in several pieces."""
    ports, centres, stiffness = _side_by_side(copies)
    M = np.eye(len(stiffness))
    for each in riding:
        at = (each.copy, each.port)
        inertia = point_inertia(each.mass, each.inertia, each.centre - centres[at])
        M += ports[at].T @ inertia @ ports[at]
    Z = _free_of(_gaps(joints, ports, centres), len(stiffness))
    values, shapes = eigh(Z.T @ (stiffness[:, None] * Z), Z.T @ M @ Z)
    if not abs(values[5]) < _RIGID * values[6]:
        raise AnalysisError(
            "the joined parts fall apart: they move without force in other ways "
            "than as one rigid body"
        )
    turned = Z @ shapes
    frequencies = np.sqrt(np.maximum(values, 0.0)) / (2 * np.pi)
    frequencies[:6] = 0.0
    return Joined(frequencies, {at: P @ turned for at, P in ports.items()}, centres)


def _side_by_side(
    copies: Sequence[Copy],
) -> tuple[dict[tuple[str, str], Floats], dict[tuple[str, str], Floats], Floats]:
    """Every port's motion (6, N) and centre (3,) in the whole's axes, and the stiffness (N,)."""
    sizes = [len(each.component.stiffness) for each in copies]
    total, ports, centres = sum(sizes), {}, {}
    for copy, end in zip(copies, np.cumsum(sizes), strict=True):
        mine = slice(int(end) - len(copy.component.stiffness), int(end))
        turn = np.kron(np.eye(2), copy.rotation)
        for name, port in copy.component.ports.items():
            wide = np.zeros((6, total))
            wide[:, mine] = turn @ port
            ports[copy.name, name] = wide
            centres[copy.name, name] = copy.rotation @ copy.component.centres[name] + copy.place
    return ports, centres, np.concatenate([copy.component.stiffness for copy in copies])


def _gaps(
    joints: Sequence[Joint],
    ports: Mapping[tuple[str, str], Floats],
    centres: Mapping[tuple[str, str], Floats],
) -> Floats:
    """(6 j, N): motion of one port against the other, about the second's centre."""
    rows = []
    for joint in joints:
        shift = centres[joint.other] - centres[joint.one]
        if np.linalg.norm(shift) > _APART:
            raise AnalysisError(
                f"ports {joint.one} and {joint.other} lie {1e3 * np.linalg.norm(shift):.2f} mm "
                "apart and cannot be joined"
            )
        moved = ports[joint.one].copy()
        moved[:3] += np.cross(moved[3:].T, shift).T
        rows.append(moved - ports[joint.other])
    return np.vstack(rows) if rows else np.zeros((0, next(iter(ports.values())).shape[1]))


def _free_of(gaps: Floats, size: int) -> Floats:
    """(N, N - rank): orthonormal motions without any gap."""
    if not len(gaps):
        return np.eye(size)
    scale = np.linalg.norm(gaps, axis=1, keepdims=True)
    Q, upper, _ = qr((gaps / scale).T, pivoting=True)
    rank = int(np.sum(np.abs(np.diag(upper)) > 1e-10 * abs(upper[0, 0])))
    return np.asarray(Q[:, rank:])


def shaken(
    whole: Joined,
    damping: float,
    at: tuple[str, str],
    point: Floats,
    wrench: Complexes,
    frequencies: Floats,
    read: Sequence[tuple[str, str]],
) -> dict[tuple[str, str], Complexes]:
    """Accelerations (f, 6), m/s2 and rad/s2, of the ports ``read`` in steady state.

    wrench: (f, 6), N and N m, at ``point`` (3,), m, through the port ``at``. Ewins, Modal Testing:
    receptance as a sum over modes; all modes of the reduced whole count, static answers included.
    damping: fraction of critical in every mode.
    """
    if not 0 < damping < 1:
        raise AnalysisError("damping is a fraction of critical between 0 and 1")
    about = wrench.copy()
    about[:, 3:] += np.cross(point - whole.centres[at], wrench[:, :3])
    own = 2 * np.pi * whole.frequencies
    omega = 2 * np.pi * np.asarray(frequencies)[:, None]
    gain = -(omega**2) / (own**2 - omega**2 + 2j * damping * own * omega)
    answer = (about @ whole.motion[at]) * gain
    return {name: answer @ whole.motion[name].T for name in read}
