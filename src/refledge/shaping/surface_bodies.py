"""The port to the boolean library for triangle surfaces: mm inside, m outside."""

from collections.abc import Sequence
from typing import Any

import manifold3d
import numpy as np

from refledge.errors import GeometryError
from refledge.geometry.mesh import is_watertight
from refledge.model.results import TriMesh
from refledge.typed import Floats

MM = 1e3
SAME = 1e-3
"""mm: after every boolean, corners nearer than this to the surface without them go: far below
what a printer can show, far above rounding."""


def body_of(mesh: TriMesh, what: str) -> Any:
    """A body for booleans; GeometryError naming ``what`` where the surface is not closed."""
    corners = np.ascontiguousarray(mesh.vertices * MM)
    faces = np.ascontiguousarray(mesh.triangles.astype(np.uint64))
    body = manifold3d.Manifold(manifold3d.Mesh64(corners, faces))
    if body.status() != manifold3d.Error.NoError:
        raise GeometryError(f"{what}: no closed body ({body.status().name})")
    return body


def box_of(low: Floats, high: Floats) -> Any:
    """Block between two corners (3,), m."""
    size = (high - low) * MM
    return manifold3d.Manifold.cube(tuple(size)).translate(tuple(low * MM))


def mesh_of(body: Any, what: str) -> TriMesh:
    """Closed triangle surface, m."""
    found = body.to_mesh64()
    mesh = TriMesh(
        np.asarray(found.vert_properties[:, :3], np.float64) / MM,
        np.asarray(found.tri_verts, np.int64),
    )
    if not len(mesh.triangles):
        raise GeometryError(f"{what}: nothing is left of it")
    if not is_watertight(mesh):
        raise GeometryError(f"{what}: the triangles of the surface do not close")
    return mesh


def joined(bodies: Sequence[Any]) -> Any:
    """Everything in any of them."""
    return manifold3d.Manifold.batch_boolean(list(bodies), manifold3d.OpType.Add)
