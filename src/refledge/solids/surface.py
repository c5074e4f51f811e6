"""The outer surface of a solid mesh, for loads, pictures and skins."""

import numpy as np

from refledge.model.results import TriMesh
from refledge.solids.mesh import SolidMesh
from refledge.typed import Floats, Ints

_FACETS = ((1, 2, 3, 0), (0, 3, 2, 1), (0, 1, 3, 2), (0, 2, 1, 3))
"""Corners of the four facets of a tetrahedron, and the corner across from each."""


def outer_triangles(corners: Floats, tets: Ints) -> Ints:
    """(t, 3): facets that belong to one tetrahedron only, normals outwards."""
    facets = np.concatenate([tets[:, facet] for facet in _FACETS])
    count = len(corners)
    a, b, c = np.sort(facets[:, :3], axis=1).T
    _, first, times = np.unique((a * count + b) * count + c, return_index=True, return_counts=True)
    outer = facets[np.sort(first[times == 1])]
    p, q, r, across = (corners[outer[:, k]] for k in range(4))
    inwards = np.einsum("ij,ij->i", np.cross(q - p, r - p), across - p) > 0
    found = outer[:, :3]
    return np.asarray(np.where(inwards[:, None], found[:, ::-1], found))


def coloured(mesh: SolidMesh, values: Floats) -> tuple[TriMesh, Floats]:
    """Surface of the corners with one value each: mesh and (k,), from ``values`` (n_nodes, ...)."""
    used, renumbered = np.unique(mesh.triangles[:, :3], return_inverse=True)
    surface = TriMesh(mesh.nodes[used], renumbered.reshape(-1, 3).astype(np.int64))
    return surface, np.asarray(values[used])
