"""Stresses from displacements: at element corners, averaged at nodes, averaged over a volume."""

from dataclasses import dataclass

import numpy as np
from scipy import sparse
from scipy.spatial import KDTree

from refledge.solids import element
from refledge.solids.assembly import Material
from refledge.solids.mesh import SolidMesh, volumes
from refledge.typed import Floats, Ints


@dataclass(frozen=True, eq=False)
class Stress:
    """Stress of solid plastic (skins; infill carries its share of it), part axes, Pa, Voigt."""

    corners: Floats
    """(m, 4, 6): at the corners of each element."""
    nodes: Floats
    """(n_corners, 6): averaged over the elements around each corner by volume."""
    volume: Floats
    """(m,), m3."""

    @property
    def elements(self) -> Floats:
        """(m, 6): mean of each element."""
        return np.asarray(self.corners.mean(axis=1))


def recover(
    mesh: SolidMesh, material: Material, displacement: Floats, rise: Floats | None = None
) -> Stress:
    """Stress of displacements (n, 3), m; ``rise`` (n,), K, as in the load case."""
    corners = np.empty((len(mesh.tets), 4, 6))
    for corner, point in enumerate(np.eye(4)):
        strain = strains(mesh, material, displacement, point, rise)
        corners[:, corner] = np.einsum("mij,mj->mi", material.stiffness[mesh.body], strain)
    volume = volumes(mesh.nodes, mesh.tets)
    return Stress(corners, _averaged(mesh, corners, volume), volume)


def strains(
    mesh: SolidMesh,
    material: Material,
    displacement: Floats,
    point: Floats,
    rise: Floats | None = None,
) -> Floats:
    """(m, 6): elastic strain, engineering shear, at one barycentric ``point`` (4,) of each."""
    flat, _ = element.barycentric_gradients(mesh.nodes, mesh.tets)
    grad = element.gradients(flat, point[None])[:, 0]
    strain = _voigt(np.einsum("mai,maj->mij", displacement[mesh.tets], grad))
    if rise is not None:
        warm = rise[mesh.tets] @ element.shapes(point[None])[0]
        strain[:, :3] -= (material.expansion[mesh.body] * warm)[:, None]
    return strain


def volume_averaged(mesh: SolidMesh, stress: Stress, nodes: Ints, radius: float) -> Floats:
    """(k, 6): stress averaged over the plastic within ``radius`` (m) of each of ``nodes`` (k,).

    The corners within reach count by the volume that belongs to them. Where the mesh is coarser
    than ``radius`` only the node itself is within reach, so nothing is smoothed away.
    """
    places = mesh.nodes[: mesh.corners]
    near = KDTree(places[nodes]).query_ball_tree(KDTree(places), radius)
    lengths = [len(each) for each in near]
    rows = np.repeat(np.arange(len(nodes)), lengths)
    columns = np.fromiter((c for each in near for c in each), np.int64, sum(lengths))
    share = np.bincount(mesh.tets[:, :4].ravel(), np.repeat(stress.volume / 4, 4))
    shape = (len(nodes), mesh.corners)
    ball = sparse.csr_array((share[columns], (rows, columns)), shape=shape)
    total = np.asarray(ball @ np.ones(mesh.corners), np.float64)
    return np.asarray(ball @ stress.nodes, np.float64) / total[:, None]


def _voigt(gradient: Floats) -> Floats:
    """(m, 6) engineering strains from displacement gradients (m, 3, 3)."""
    g = gradient
    shear = [g[:, 1, 2] + g[:, 2, 1], g[:, 0, 2] + g[:, 2, 0], g[:, 0, 1] + g[:, 1, 0]]
    return np.stack([g[:, 0, 0], g[:, 1, 1], g[:, 2, 2], *shear], axis=1)


def _averaged(mesh: SolidMesh, corners: Floats, volume: Floats) -> Floats:
    at = mesh.tets[:, :4].ravel()
    weight = np.repeat(volume, 4)
    total = np.bincount(at, weight, minlength=mesh.corners)
    each = corners.reshape(-1, 6) * weight[:, None]
    sums = [np.bincount(at, column, minlength=mesh.corners) for column in each.T]
    return np.asarray(np.stack(sums, axis=1) / total[:, None])
