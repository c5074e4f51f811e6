"""An independent finite-element code of the same cubes, for tests: products of 1-D integrals.

Stiffness of a box element from the exact 1-D integrals of linear shape functions (mass, slope and
mixed), no quadrature and no mirrors; Zienkiewicz and Taylor, The Finite Element Method.
"""

import numpy as np
from scipy import sparse

from refledge.typed import Floats

_PAIRS = ((0, 0), (1, 1), (2, 2), (1, 2), (0, 2), (0, 1))


def element(C: Floats, h: float) -> Floats:
    """(8, 3, 8, 3), node first."""
    whole = {
        (0, 0): h / 6 * np.array([[2.0, 1.0], [1.0, 2.0]]),
        (1, 1): np.array([[1.0, -1.0], [-1.0, 1.0]]) / h,
        (1, 0): np.array([[-0.5, -0.5], [0.5, 0.5]]),
        (0, 1): np.array([[-0.5, 0.5], [-0.5, 0.5]]),
    }
    strain = np.zeros((6, 3, 3))  # strain from displacement i differentiated along j
    for row, (i, j) in enumerate(_PAIRS):
        strain[row, i, j] += 1
        if i != j:
            strain[row, j, i] += 1
    law = np.einsum("rij,rs,skl->ijkl", strain, C, strain)
    K = np.zeros((8, 3, 8, 3))
    for j in range(3):
        for m in range(3):
            parts = [whole[int(axis == j), int(axis == m)] for axis in range(3)]
            K += np.einsum("ik,ab->aibk", law[:, j, :, m], np.kron(np.kron(*parts[:2]), parts[2]))
    return K


def stiffness(C: Floats, h: float, scale: Floats) -> sparse.csr_array:
    """Over (node, component), nothing held."""
    nx, ny, nz = scale.shape
    number = np.arange((nx + 1) * (ny + 1) * (nz + 1)).reshape(nx + 1, ny + 1, nz + 1)
    K = element(C, h).reshape(24, 24)
    rows, columns, values = [], [], []
    for i, j, k in np.ndindex(nx, ny, nz):
        nodes = number[i : i + 2, j : j + 2, k : k + 2].ravel()
        at = (3 * nodes[:, None] + np.arange(3)).ravel()
        rows.append(np.repeat(at, 24))
        columns.append(np.tile(at, 24))
        values.append(scale[i, j, k] * K.ravel())
    joined = (np.concatenate(values), (np.concatenate(rows), np.concatenate(columns)))
    return sparse.csr_array(sparse.coo_array(joined, (3 * number.size,) * 2))
