"""Bodies that are known by their triangles, as grown parts are: what the port does with them.

The modeller would take minutes over thousands of flat faces; the boolean library for triangle
surfaces takes milliseconds. mm inside, m outside.
"""

from collections.abc import Sequence
from typing import Any

import manifold3d
import numpy as np

from refledge.errors import GeometryError
from refledge.geometry.kernel.library import MM, Solid
from refledge.geometry.mesh import is_watertight
from refledge.model.results import TriMesh
from refledge.typed import Floats

EMPTY = TriMesh(np.empty((0, 3)), np.empty((0, 3), np.int64))


class MeshSolid(Solid):
    """A closed body that is known by its triangles, with what of it is drawn exactly."""

    mesh: TriMesh
    exact: Solid
    """Its level faces and bores, as a drawn block has them: for dimensions."""

    def __init__(self, mesh: TriMesh, exact: Solid) -> None:
        if len(mesh.triangles) and not is_watertight(mesh):
            raise GeometryError("the triangles of the surface do not close")
        super().__init__(None)
        object.__setattr__(self, "mesh", mesh)
        object.__setattr__(self, "exact", exact)


def mesh_area(mesh: TriMesh) -> float:
    """Of the surface, m2."""
    a, b, c = (mesh.vertices[mesh.triangles[:, k]] for k in range(3))
    return float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum()) / 2


def shared(one: TriMesh, other: TriMesh) -> MeshSolid:
    """What lies in both; may be empty."""
    return MeshSolid(_mesh(_body(one) ^ _body(other)), Solid(None))


def thinned(mesh: TriMesh, tolerance: float) -> TriMesh:
    """The surface with fewer triangles, moved by at most ``tolerance``, m."""
    return _mesh(_body(mesh).simplify(tolerance * MM))


def rest_behind(solid: MeshSolid, origin: Sequence[float], towards_eye: Sequence[float]) -> Solid:
    """What is left behind the plane through ``origin`` that faces the eye."""
    away = -np.asarray(towards_eye, np.float64) / np.linalg.norm(towards_eye)
    offset = float(away @ np.asarray(origin)) * MM
    return MeshSolid(_mesh(_body(solid.mesh).trim_by_plane(tuple(away), offset)), solid.exact)


def cut_face(solid: MeshSolid, origin: Sequence[float], axes: Floats) -> tuple[Floats, ...]:
    """Closed outlines of the cut through ``origin`` on the paper of ``axes`` (2, 3), (n, 2), m."""
    x, y = axes
    turn = np.stack([x, y, np.cross(x, y)])
    flat = _body(TriMesh(solid.mesh.vertices @ turn.T, solid.mesh.triangles))
    height = float(turn[2] @ np.asarray(origin)) * MM
    return tuple(np.asarray(each) / MM for each in flat.slice(height).to_polygons())


def _body(mesh: TriMesh) -> Any:
    corners = np.ascontiguousarray(mesh.vertices * MM)
    faces = np.ascontiguousarray(mesh.triangles.astype(np.uint64))
    body = manifold3d.Manifold(manifold3d.Mesh64(corners, faces))
    if body.status() != manifold3d.Error.NoError:
        raise GeometryError(f"the triangles make no closed body ({body.status().name})")
    return body


def _mesh(body: Any) -> TriMesh:
    if body.is_empty():
        return EMPTY
    found = body.to_mesh64()
    corners = np.asarray(found.vert_properties[:, :3], np.float64) / MM
    return TriMesh(corners, np.asarray(found.tri_verts, np.int64))
