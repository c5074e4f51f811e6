"""Stiffness and mass of Timoshenko beams with rigid end offsets, all beams at once.

Przemieniecki, Theory of Matrix Structural Analysis: stiffness of a beam element with shear
deformation, and its equivalent mass matrix with shear and rotary inertia.
"""

from functools import lru_cache
from typing import NamedTuple

import numpy as np

from refledge.analysis.frame import BeamFrame
from refledge.errors import AnalysisError
from refledge.typed import Floats

_AXIAL, _TWIST = np.array([0, 6]), np.array([3, 9])
_PLANE_XY, _PLANE_XZ = np.array([1, 5, 7, 11]), np.array([2, 4, 8, 10])
# In the x-z plane a positive rotation about y lowers the beam's far end: rotations change sign.
_SIGN_XZ = np.outer([1.0, -1.0, 1.0, -1.0], [1.0, -1.0, 1.0, -1.0])


class Beams(NamedTuple):
    """All beams of a frame in local axes."""

    length: Floats  # (m,), m
    to_local: Floats  # (m, 12, 12), from node motion in global axes to end motion in local axes
    K: Floats  # (m, 12, 12), local
    M: Floats  # (m, 12, 12), local


def skew(vectors: Floats) -> Floats:
    """(..., 3, 3) matrix of the cross product: skew(a) b = a x b."""
    out = np.zeros((*vectors.shape, 3))
    x, y, z = vectors[..., 0], vectors[..., 1], vectors[..., 2]
    out[..., 0, 1], out[..., 0, 2] = -z, y
    out[..., 1, 0], out[..., 1, 2] = z, -x
    out[..., 2, 0], out[..., 2, 1] = -y, x
    return out


def local_axes(frame: BeamFrame) -> tuple[Floats, Floats]:
    """Length (m,) in m and rotation (m, 3, 3) of each beam, rows its local x, y, z axes."""
    ends = frame.nodes[frame.elements] + frame.offsets
    along = ends[:, 1] - ends[:, 0]
    length = np.linalg.norm(along, axis=1)
    if np.any(length <= 0):
        bad = int(np.argmin(length))
        raise AnalysisError(f"beam {bad} between nodes {frame.elements[bad]} has no length")
    x = along / length[:, None]
    y = np.cross(frame.z_axis, x)
    size = np.linalg.norm(y, axis=1)
    if np.any(size < 1e-6 * np.linalg.norm(frame.z_axis, axis=1)):
        bad = int(np.argmin(size))
        raise AnalysisError(f"beam {bad}: its z_axis lies along the beam")
    y = y / size[:, None]
    return length, np.stack([x, y, np.cross(x, y)], axis=1)


@lru_cache(maxsize=4)
def beams(frame: BeamFrame) -> Beams:
    """Local matrices of all beams and the way from node motion to local end motion.

    Remembered for the last few frames (told apart by identity, never changed); not to be written.
    """
    length, R = local_axes(frame)
    to_local = np.zeros((len(length), 12, 12))
    for end in (0, 1):
        at = 6 * end
        to_local[:, at : at + 3, at : at + 3] = R
        to_local[:, at + 3 : at + 6, at + 3 : at + 6] = R
        to_local[:, at : at + 3, at + 3 : at + 6] = -R @ skew(frame.offsets[:, end])
    made = Beams(length, to_local, _stiffness(frame, length), _mass(frame, length))
    for each in made:
        each.flags.writeable = False
    return made


def _shear_ratio(frame: BeamFrame, L: Floats) -> tuple[Floats, Floats]:
    """12 E I / (G kA L^2) of bending about z and about y, each (m,), 1."""
    about_z = 12 * frame.E * frame.Iz / (frame.G * frame.Ay * L**2)
    about_y = 12 * frame.E * frame.Iy / (frame.G * frame.Az * L**2)
    return about_z, about_y


def _stiffness(frame: BeamFrame, L: Floats) -> Floats:
    K = np.zeros((len(L), 12, 12))
    bar = np.array([[1.0, -1.0], [-1.0, 1.0]])
    K[:, _AXIAL[:, None], _AXIAL] = (frame.E * frame.A / L)[:, None, None] * bar
    K[:, _TWIST[:, None], _TWIST] = (frame.G * frame.J / L)[:, None, None] * bar
    about_z, about_y = _shear_ratio(frame, L)
    K[:, _PLANE_XY[:, None], _PLANE_XY] = _bending(frame.E * frame.Iz, L, about_z)
    K[:, _PLANE_XZ[:, None], _PLANE_XZ] = _bending(frame.E * frame.Iy, L, about_y) * _SIGN_XZ
    return _about_line(K, frame.shear_centre)


def _about_line(K: Floats, height: Floats) -> Floats:
    """Stiffness at the beam's line of one that bends sideways and twists about its shear centre.

    The shear centre, ``height`` (m) above the line, moves sideways by u_y - height theta_x (Vlasov,
    Thin-Walled Elastic Beams).
    """
    if not np.any(height):
        return K
    lift = np.zeros_like(K) + np.eye(12)
    lift[:, 1, 3] = lift[:, 7, 9] = -height
    return np.asarray(lift.transpose(0, 2, 1) @ K @ lift)


def _mass(frame: BeamFrame, L: Floats) -> Floats:
    M = np.zeros((len(L), 12, 12))
    bar = np.array([[1 / 3, 1 / 6], [1 / 6, 1 / 3]])
    M[:, _AXIAL[:, None], _AXIAL] = (frame.mass_per_length * L)[:, None, None] * bar
    M[:, _TWIST[:, None], _TWIST] = (frame.rotary_x * L)[:, None, None] * bar
    about_z, about_y = _shear_ratio(frame, L)
    line = frame.mass_per_length
    M[:, _PLANE_XY[:, None], _PLANE_XY] = _moving(line, frame.rotary_z, L, about_z)
    M[:, _PLANE_XZ[:, None], _PLANE_XZ] = _moving(line, frame.rotary_y, L, about_y) * _SIGN_XZ
    return M


def _symmetric(a: Floats, b: Floats, c: Floats, d: Floats, e: Floats, f: Floats) -> Floats:
    """(m, 4, 4) matrix of a beam that looks the same from both ends."""
    rows = [[a, b, c, d], [b, e, -d, f], [c, -d, a, -b], [d, f, -b, e]]
    return np.stack([np.stack(row, axis=-1) for row in rows], axis=-2)


def _bending(EI: Floats, L: Floats, p: Floats) -> Floats:
    k = EI / (L**3 * (1 + p))
    return _symmetric(12 * k, 6 * L * k, -12 * k, 6 * L * k, (4 + p) * L**2 * k, (2 - p) * L**2 * k)


def _moving(line: Floats, rotary: Floats, L: Floats, p: Floats) -> Floats:
    m = line * L / (1 + p) ** 2
    r = rotary / (L * (1 + p) ** 2)
    lean = (1 / 10 - p / 2) * L * r
    return _symmetric(
        (13 / 35 + 7 * p / 10 + p**2 / 3) * m + 6 / 5 * r,
        (11 / 210 + 11 * p / 120 + p**2 / 24) * L * m + lean,
        (9 / 70 + 3 * p / 10 + p**2 / 6) * m - 6 / 5 * r,
        -(13 / 420 + 3 * p / 40 + p**2 / 24) * L * m + lean,
        (1 / 105 + p / 60 + p**2 / 120) * L**2 * m + (2 / 15 + p / 6 + p**2 / 3) * L**2 * r,
        -(1 / 140 + p / 60 + p**2 / 120) * L**2 * m - (1 / 30 + p / 6 - p**2 / 6) * L**2 * r,
    )
