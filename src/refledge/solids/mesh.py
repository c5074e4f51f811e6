"""Tetrahedral meshes with straight sides and mid-edge nodes, and their named surfaces."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from scipy import sparse

from refledge.errors import AnalysisError
from refledge.typed import Floats, Ints

TET_EDGES = ((0, 1), (1, 2), (2, 0), (0, 3), (1, 3), (2, 3))
TRIANGLE_EDGES = ((0, 1), (1, 2), (2, 0))


@dataclass(frozen=True, eq=False)
class SolidMesh:
    """Quadratic tetrahedra; mid-edge nodes lie half-way, so no element can be inverted by them."""

    nodes: Floats
    """(n, 3), m; corners first."""
    tets: Ints
    """(m, 10): four corners, then the middles of TET_EDGES."""
    body: Ints
    """(m,): index into ``bodies``."""
    bodies: tuple[str, ...]
    triangles: Ints
    """(t, 6): outer surface, normals outwards, middles of TRIANGLE_EDGES last."""
    faces: Mapping[str, Ints]
    """Name to the rows of ``triangles`` that make up that named face."""
    size: float
    """Edge length that was asked for, m."""

    @property
    def corners(self) -> int:
        """Number of nodes that are corners."""
        return int(self.tets[:, :4].max()) + 1

    @property
    def dofs(self) -> int:
        return 3 * len(self.nodes)

    def face(self, name: str) -> Ints:
        """(k, 6): triangles of a named face; raises AnalysisError where there is none."""
        if name not in self.faces:
            known = ", ".join(sorted(self.faces)) or "none"
            raise AnalysisError(f"no face named {name!r} on the mesh; named faces: {known}")
        return np.asarray(self.triangles[self.faces[name]])

    def face_nodes(self, name: str) -> Ints:
        """All nodes of a named face; a middle belongs only with both its corners."""
        return np.unique(self.face(name))


def volumes(nodes: Floats, tets: Ints) -> Floats:
    """(m,), m3, positive where the corners are in right-handed order."""
    a, b, c, d = (nodes[tets[:, k]] for k in range(4))
    return np.asarray(np.einsum("ij,ij->i", np.cross(b - a, c - a), d - a) / 6)


def edge_at(mesh: SolidMesh, point: Floats) -> float:
    """Edge length of the elements round the corner nearest to ``point`` (3,), m.

    Of a regular tetrahedron of their mean volume, V = a^3 / (6 sqrt 2).
    """
    away = np.linalg.norm(mesh.nodes[: mesh.corners] - point, axis=1)
    round_it = np.any(mesh.tets[:, :4] == int(np.argmin(away)), axis=1)
    volume = float(volumes(mesh.nodes, mesh.tets[round_it]).mean())
    return float((6 * np.sqrt(2) * volume) ** (1 / 3))


def area_vectors(nodes: Floats, triangles: Ints) -> Floats:
    """(t, 3), m2: normal times area."""
    a, b, c = (nodes[triangles[:, k]] for k in range(3))
    return np.asarray(np.cross(b - a, c - a) / 2)


def quadratic(
    corners: Floats,
    tets: Ints,
    triangles: Ints,
    face_of: Mapping[str, Ints],
    body: Ints,
    bodies: tuple[str, ...],
    size: float,
) -> SolidMesh:
    """Mid-edge nodes put into a linear mesh: corners (n, 3) m, tets (m, 4), triangles (t, 3)."""
    used, renumbered = np.unique(tets, return_inverse=True)
    corners, tets = corners[used], renumbered.reshape(tets.shape)
    place = np.full(int(used.max()) + 1, -1)
    place[used] = np.arange(len(used))
    triangles = place[triangles]
    tets = np.where((volumes(corners, tets) < 0)[:, None], tets[:, [1, 0, 2, 3]], tets)
    pairs = np.sort(np.concatenate([tets[:, edge] for edge in TET_EDGES]), axis=1)
    count = len(corners)
    keys, middle = np.unique(pairs[:, 0] * count + pairs[:, 1], return_inverse=True)
    middles = (corners[keys // count] + corners[keys % count]) / 2
    of_tets = count + middle.reshape(6, -1).T
    edges = np.sort(np.concatenate([triangles[:, edge] for edge in TRIANGLE_EDGES]), axis=1)
    of_triangles = np.searchsorted(keys, edges[:, 0] * count + edges[:, 1]).reshape(3, -1).T
    mesh = SolidMesh(
        nodes=np.vstack((corners, middles)),
        tets=np.hstack((tets, of_tets)),
        body=body,
        bodies=bodies,
        triangles=np.hstack((triangles, count + of_triangles)),
        faces=dict(face_of),
        size=size,
    )
    _check(mesh)
    return mesh


def _check(mesh: SolidMesh) -> None:
    found = volumes(mesh.nodes, mesh.tets)
    if found.min() <= 1e-12 * found.max():
        raise AnalysisError(f"the mesh has {np.sum(found <= 1e-12 * found.max())} flat elements")
    ends = mesh.tets[:, [0, 1, 2]].ravel(), mesh.tets[:, [1, 2, 3]].ravel()
    graph = sparse.coo_array((np.ones(len(ends[0])), ends), shape=(mesh.corners,) * 2)
    pieces, piece = sparse.csgraph.connected_components(graph, directed=False)
    if pieces > 1:
        names = [
            sorted({mesh.bodies[k] for k in np.unique(mesh.body[piece[mesh.tets[:, 0]] == i])})
            for i in range(pieces)
        ]
        raise AnalysisError(
            f"the mesh falls into {pieces} separate pieces: "
            + "; ".join(", ".join(each) for each in names)
        )
