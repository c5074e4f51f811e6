"""Stiffness and mass matrices of a solid mesh, and the loads of its volume."""

from dataclasses import dataclass

import numpy as np
from scipy import sparse

from refledge.solids import element
from refledge.solids.mesh import SolidMesh, volumes
from refledge.typed import Floats, Ints

_CHUNK = 4096


@dataclass(frozen=True, eq=False)
class Material:
    """What fills each element, in part axes."""

    stiffness: Floats
    """(b, 6, 6), Pa: law of each body."""
    density: Floats
    """(m,), kg/m3."""
    share: Floats
    """(m, 4): factor on the law at the quadrature points (infill; 1 for solid plastic)."""
    expansion: Floats
    """(b,), 1/K."""


@dataclass(frozen=True, eq=False)
class Matrices:
    """Assembled over all nodes; displacements x, y, z of each node in turn."""

    stiffness: sparse.csr_array
    """(3n, 3n), N/m."""
    mass: sparse.csr_array
    """(n, n), kg: the same for each direction."""


def assemble(mesh: SolidMesh, material: Material) -> Matrices:
    """Stiffness and consistent mass."""
    flat, volume = element.barycentric_gradients(mesh.nodes, mesh.tets)
    where, indices, indptr = _pattern(mesh.tets, len(mesh.nodes))
    blocks = np.zeros((len(indices), 9))
    for start in range(0, len(mesh.tets), _CHUNK):
        part = slice(start, start + _CHUNK)
        law = material.stiffness[mesh.body[part]]
        k = element.stiffness(flat[part], volume[part], law, material.share[part])
        values = k.reshape(-1, 10, 3, 10, 3).transpose(0, 1, 3, 2, 4).reshape(-1, 9)
        _add(blocks, where[100 * start : 100 * start + len(values)], values)
    n = len(mesh.nodes)
    K = sparse.bsr_array((blocks.reshape(-1, 3, 3), indices, indptr), shape=(3 * n, 3 * n))
    return Matrices(K.tocsr(), mass_matrix(mesh, material.density, element.unit_mass()))


def mass_matrix(mesh: SolidMesh, density: Floats, unit: Floats) -> sparse.csr_array:
    """(n, n), kg, from that of an element of unit mass, (10, 10). density: (m,), kg/m3."""
    return matrix_of(mesh, (density * volumes(mesh.nodes, mesh.tets))[:, None, None] * unit)


def matrix_of(mesh: SolidMesh, each: Floats) -> sparse.csr_array:
    """(n, n): of one displacement component, from those of the elements (m, 10, 10)."""
    where, indices, indptr = _pattern(mesh.tets, len(mesh.nodes))
    values = np.bincount(where, each.ravel(), minlength=len(indices))
    return sparse.csr_array((values, indices, indptr), shape=(len(mesh.nodes),) * 2)


def thermal_load(mesh: SolidMesh, material: Material, rise: Floats) -> Floats:
    """(3n,), N: what a temperature rise (n_nodes,), K, does to a body that is held straight."""
    flat, volume = element.barycentric_gradients(mesh.nodes, mesh.tets)
    B = element.strain_matrix(element.gradients(flat, element.POINTS))
    dT = rise[mesh.tets] @ element.shapes(element.POINTS).T
    unit = np.array([1.0, 1, 1, 0, 0, 0])
    stress = (material.stiffness @ unit) * material.expansion[:, None]
    weight = material.share * (volume / 4)[:, None] * dT
    each = np.einsum("mq,mqsd,ms->md", weight, B, stress[mesh.body], optimize=True)
    return np.asarray(np.bincount(dofs(mesh.tets).ravel(), each.ravel(), minlength=mesh.dofs))


def dofs(nodes: Ints) -> Ints:
    """(..., 3 k): numbers of the displacements of ``nodes`` (..., k)."""
    return np.asarray((3 * nodes[..., None] + np.arange(3)).reshape(*nodes.shape[:-1], -1))


def _pattern(tets: Ints, count: int) -> tuple[Ints, Ints, Ints]:
    """Where each pair of an element's nodes goes (100 m,), and the sparsity pattern of nodes."""
    rows, columns = np.repeat(tets, 10, axis=1).ravel(), np.tile(tets, (1, 10)).ravel()
    keys, where = np.unique(rows * count + columns, return_inverse=True)
    starts = np.searchsorted(keys, np.arange(count + 1) * count)
    return where, (keys % count).astype(np.int32), starts.astype(np.int32)


def _add(blocks: Floats, where: Ints, values: Floats) -> None:
    """blocks[where] += values, with repeated places."""
    least, most = int(where.min()), int(where.max()) + 1
    for column in range(blocks.shape[1]):
        blocks[least:most, column] += np.bincount(
            where - least, values[:, column], minlength=most - least
        )
