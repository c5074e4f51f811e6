"""A named face as one piece: its mean motion, and forces and moments spread over it.

A force and a moment on a face become the traction that varies linearly over it and has just that
resultant. The mean motion of the face is the dual of it: the rigid motion that fits the face's
displacements best (least squares over its area).
"""

from dataclasses import dataclass

import numpy as np
from scipy import sparse

from refledge.solids import element
from refledge.solids.mesh import SolidMesh, area_vectors
from refledge.typed import Floats, Ints


@dataclass(frozen=True, eq=False)
class Patch:
    """A face's nodes and how they work together."""

    nodes: Ints
    """(k,)."""
    mass: sparse.csr_array
    """(k, k), m2: integral of products of shape functions."""
    centre: Floats
    """(3,), m: centroid."""
    area: float
    mean: Floats
    """(6, 3k): mean translation, m, and rotation, rad, about the centroid from displacements."""
    rigid: Floats
    """(3k, 6): displacements from a rigid motion about the centroid."""


def patch(mesh: SolidMesh, name: str) -> Patch:
    """The named face."""
    triangles = mesh.face(name)
    nodes, local = np.unique(triangles, return_inverse=True)
    local = local.reshape(-1, 6)
    area = np.linalg.norm(area_vectors(mesh.nodes, triangles), axis=1)
    each = area[:, None, None] * element.unit_face_mass()
    rows, columns = np.repeat(local, 6, axis=1).ravel(), np.tile(local, (1, 6)).ravel()
    mass = sparse.csr_array((each.ravel(), (rows, columns)), shape=(len(nodes), len(nodes)))
    points = mesh.nodes[nodes]
    centre = (mass @ points).sum(axis=0) / area.sum()
    R = rigid_motion(points, centre)
    heavy = _spread(mass, R)
    mean = np.asarray(np.linalg.solve(R.T @ heavy, heavy.T), np.float64)
    return Patch(nodes, mass, centre, float(area.sum()), mean, R)


def rigid_motion(points: Floats, centre: Floats) -> Floats:
    """(3k, 6): displacements of ``points`` (k, 3) under unit translations and rotations."""
    R = np.zeros((len(points), 3, 6))
    R[:, :, :3] = np.eye(3)
    x, y, z = (points - centre).T
    R[:, 0, 4], R[:, 0, 5] = z, -y
    R[:, 1, 3], R[:, 1, 5] = -z, x
    R[:, 2, 3], R[:, 2, 4] = y, -x
    return np.asarray(R.reshape(-1, 6))


def wrench(force: Floats, moment: Floats, point: Floats, centre: Floats) -> Floats:
    """(6,): force and moment about ``centre`` of a force and moment at ``point``."""
    arm = np.cross(np.asarray(point) - centre, force)
    return np.concatenate((np.asarray(force, np.float64), np.asarray(moment) + arm))


def point_inertia(mass: float, inertia: Floats, offset: Floats) -> Floats:
    """(6, 6): mass matrix of a rigid body about a point, its centre ``offset`` (3,) from there."""
    s = _skew(offset)
    M = np.zeros((6, 6))
    M[:3, :3] = mass * np.eye(3)
    M[:3, 3:] = -mass * s
    M[3:, :3] = mass * s
    M[3:, 3:] = inertia - mass * s @ s
    return M


def stress_load(mesh: SolidMesh, name: str, stress: Floats) -> tuple[Ints, Floats]:
    """Nodes (k,) and forces (k, 3), N, of the traction of a uniform stress (3, 3), Pa."""
    triangles = mesh.face(name)
    nodes, local = np.unique(triangles, return_inverse=True)
    share = element.unit_face_mass().sum(axis=1)
    each = (area_vectors(mesh.nodes, triangles) @ stress.T)[:, None] * share[:, None]
    force = np.zeros((len(nodes), 3))
    np.add.at(force, local.reshape(-1, 6), each)
    return nodes, force


def mean_normal(mesh: SolidMesh, name: str) -> Floats:
    """(3,): unit outward normal of a face, averaged over its area."""
    total = area_vectors(mesh.nodes, mesh.face(name)).sum(axis=0)
    return np.asarray(total / np.linalg.norm(total))


def _spread(mass: sparse.csr_array, R: Floats) -> Floats:
    k = len(R) // 3
    return np.asarray((mass @ R.reshape(k, 18)).reshape(3 * k, 6))


def _skew(v: Floats) -> Floats:
    return np.array([[0.0, -v[2], v[1]], [v[2], 0.0, -v[0]], [-v[1], v[0], 0.0]])
