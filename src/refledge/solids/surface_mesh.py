"""Quadratic tetrahedra inside a closed triangle surface, such as that of a grown part."""

from collections.abc import Mapping
from dataclasses import dataclass

import manifold3d
import numpy as np
from scipy.spatial import KDTree

from refledge.errors import AnalysisError
from refledge.model.results import TriMesh
from refledge.solids import port
from refledge.solids.imprint import marked
from refledge.solids.mesh import SolidMesh, quadratic
from refledge.solids.port import MeshSize, Regions
from refledge.solids.remesh import TINY, even, settle_down
from refledge.solids.remesh_skin import Field, Skin, alike
from refledge.solids.surface import outer_triangles
from refledge.typed import Floats, Ints

TIDY = 0.01
"""Of the edge length: how far corners between two surfaces may lie apart and be one (a choice)."""
TRIES = (1.0, 0.9, 1.12, 0.8)
"""Edge lengths over the one asked for that are tried until the mesher fills the surface."""


@dataclass(frozen=True, eq=False)
class _Even:
    skin: Skin
    names: tuple[str, ...]


def mesh_surface(name: str, surface: TriMesh, regions: Regions, size: MeshSize) -> SolidMesh:
    """Tetrahedra of about ``size`` in one closed body, m; ``regions`` are cut into its surface.

    The surface is made of even triangles first; their middles lie within 4 % of the size on it.
    Round the spots of ``size`` edges are shorter and grow by its grading a metre; faces that are
    to be finer are not asked for. Raises AnalysisError where the surface is
    open, a named face is covered, or no attempt can be filled.
    """
    why = []
    for share in TRIES:
        wanted = share * size.size
        made = _evened(name, surface, regions, wanted, field_of(size, wanted))
        what = f"{name}: no tetrahedra of {wanted * 1e3:.2f} mm fill the surface"
        try:
            corners, tets = port.fill(what, made.skin.points, made.skin.tris, wanted, size.grading)
            return _solid(name, made, corners, tets, size.size)
        except AnalysisError as error:
            why.append(str(error))
    raise AnalysisError("; ".join(why) + ". Use another edge length or a smoother surface")


def field_of(size: MeshSize, wanted: float) -> Field:
    """Edge over ``wanted``, m: as asked for at each spot, longer by the grading with distance."""
    if not size.spots:
        return alike
    spots = np.array(size.spots)
    alike_ones = {edge: KDTree(spots[spots[:, 3] == edge, :3]) for edge in np.unique(spots[:, 3])}

    def field(points: Floats) -> Floats:
        longest = np.full(len(points), wanted)
        for edge, tree in alike_ones.items():
            longest = np.minimum(longest, edge + size.grading * tree.query(points)[0])
        return longest / wanted

    return field


def _evened(name: str, surface: TriMesh, regions: Regions, size: float, field: Field) -> _Even:
    points = np.ascontiguousarray(surface.vertices)
    tris = np.ascontiguousarray(surface.triangles.astype(np.uint64))
    body = manifold3d.Manifold(manifold3d.Mesh64(points, tris))
    if body.status() != manifold3d.Error.NoError:
        raise AnalysisError(f"{name}: the surface is no closed body ({body.status().name})")
    found = body.simplify(TIDY * size).to_mesh64()
    tidy = np.asarray(found.tri_verts, np.int64)
    skin = Skin(np.array(found.vert_properties[:, :3]), tidy, np.zeros(len(tidy), np.int64))
    near = 2 * TINY * size
    skin = marked(even(skin, size, field=field), regions, size, near)
    return _Even(settle_down(skin, size, field), tuple(regions))


def _solid(name: str, made: _Even, corners: np.ndarray, tets: Ints, size: float) -> SolidMesh:
    triangles = outer_triangles(corners, tets)
    label = made.skin.label[_matched(triangles, made.skin.tris)]
    faces: Mapping[str, Ints] = {
        each: np.flatnonzero(label & (1 << bit)) for bit, each in enumerate(made.names)
    }
    body = np.zeros(len(tets), np.int64)
    return quadratic(corners, tets, triangles, faces, body, (name,), size)


def _matched(triangles: Ints, given: Ints) -> Ints:
    """(t,): row of ``given`` with the same corners, which the mesher keeps."""
    size = int(max(triangles.max(), given.max())) + 1
    keys = port.triangle_keys(given, size)
    order = np.argsort(keys)
    wanted = port.triangle_keys(triangles, size)
    rows = order[np.minimum(np.searchsorted(keys[order], wanted), len(order) - 1)]
    if len(triangles) != len(given) or np.any(keys[rows] != wanted):
        raise AnalysisError("the tetrahedra do not end at the surface they were made from")
    return np.asarray(rows)
