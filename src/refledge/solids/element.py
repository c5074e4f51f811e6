"""The straight-sided quadratic tetrahedron: shapes, quadrature, stiffness, mass; plain arrays.

Shape functions of the ten-node tetrahedron in barycentric coordinates: L_i (2 L_i - 1) at corners,
4 L_i L_j at mid-edges. Zienkiewicz and Taylor, The Finite Element Method, tetrahedral elements.
Strains are in Voigt order xx, yy, zz, yz, xz, xy with engineering shear.
"""

import numpy as np
from scipy.special import roots_jacobi

from refledge.solids.mesh import TET_EDGES, TRIANGLE_EDGES
from refledge.typed import Floats, Ints

_NEAR, _FAR = (5 - np.sqrt(5)) / 20, (5 + 3 * np.sqrt(5)) / 20
POINTS = np.full((4, 4), _NEAR) + np.eye(4) * (_FAR - _NEAR)
"""(4, 4): barycentric points, each of weight V/4; exact for quadratics (Hammer, Marlowe and
Stroud, Numerical integration over simplexes and cones, 1956)."""


def collapsed_rule(dimension: int, order: int) -> tuple[Floats, Floats]:
    """Barycentric points (k, dimension + 1) and weights (k,) that sum to 1, exact to 2 order - 1.

    Gauss-Jacobi rules of the cube collapsed on the simplex (Stroud, Approximate Calculation of
    Multiple Integrals, conical product rules).
    """
    points, weights = np.ones((1, 1)), np.ones(1)
    for power in range(dimension):
        x, w = roots_jacobi(order, power, 0)
        t = (1 + x) / 2
        grown = [np.column_stack((np.full(len(points), s), (1 - s) * points)) for s in t]
        points = np.vstack(grown)
        weights = np.concatenate([weight * weights for weight in w / w.sum()])
    return points, weights


def shapes(points: Floats, edges: tuple[tuple[int, int], ...] = TET_EDGES) -> Floats:
    """(k, 10) values at barycentric ``points`` (k, 4); triangles: (k, 6) at (k, 3)."""
    corner = points * (2 * points - 1)
    middle = [4 * points[:, i] * points[:, j] for i, j in edges]
    return np.column_stack((corner, *middle))


def barycentric_gradients(nodes: Floats, tets: Ints) -> tuple[Floats, Floats]:
    """Gradients (m, 4, 3), 1/m, of the barycentric coordinates, and volumes (m,), m3."""
    origin = nodes[tets[:, 0]]
    sides = nodes[tets[:, 1:4]] - origin[:, None]
    inverse = np.linalg.inv(sides)
    rest = np.swapaxes(inverse, 1, 2)
    first = -rest.sum(axis=1, keepdims=True)
    return np.concatenate((first, rest), axis=1), np.linalg.det(sides) / 6


def gradients(flat: Floats, points: Floats) -> Floats:
    """(m, k, 10, 3), 1/m: shape gradients at barycentric ``points`` (k, 4).

    flat: gradients of the barycentric coordinates, (m, 4, 3).
    """
    corner = (4 * points - 1)[None, :, :, None] * flat[:, None]
    middle = [
        4 * (points[:, i, None] * flat[:, None, j] + points[:, j, None] * flat[:, None, i])
        for i, j in TET_EDGES
    ]
    return np.concatenate((corner, np.stack(middle, axis=2)), axis=2)


def strain_matrix(grad: Floats) -> Floats:
    """(..., 6, 30): strains from nodal displacements x, y, z of each node in turn."""
    B = np.zeros((*grad.shape[:-2], 6, grad.shape[-2], 3))
    x, y, z = (grad[..., axis] for axis in range(3))
    B[..., 0, :, 0], B[..., 1, :, 1], B[..., 2, :, 2] = x, y, z
    B[..., 3, :, 1], B[..., 3, :, 2] = z, y
    B[..., 4, :, 0], B[..., 4, :, 2] = z, x
    B[..., 5, :, 0], B[..., 5, :, 1] = y, x
    return np.asarray(B.reshape(*B.shape[:-2], -1))


def stiffness(flat: Floats, volume: Floats, law: Floats, share: Floats) -> Floats:
    """(m, 30, 30), N/m. law: (m, 6, 6) or (6, 6), Pa; share: (m, 4), factor on it at POINTS."""
    B = strain_matrix(gradients(flat, POINTS))
    weight = (share * (volume / 4)[:, None])[:, :, None, None]
    stress = weight * (law[:, None] if law.ndim == 3 else law) @ B
    m = len(flat)
    return np.asarray(np.swapaxes(B.reshape(m, 24, 30), 1, 2) @ stress.reshape(m, 24, 30))


def unit_mass() -> Floats:
    """(10, 10): mass matrix of one displacement component for unit mass of the element."""
    points, weights = collapsed_rule(3, 3)
    N = shapes(points)
    return np.asarray(N.T @ (weights[:, None] * N))


def unit_face_mass() -> Floats:
    """(6, 6): the same for a triangle of unit area."""
    points, weights = collapsed_rule(2, 3)
    N = shapes(points, TRIANGLE_EDGES)
    return np.asarray(N.T @ (weights[:, None] * N))
