"""A closed triangle surface as a solid of flat faces, for programs that read STEP only."""

from typing import Any

import numpy as np

from refledge.errors import GeometryError
from refledge.geometry.kernel.library import Solid, occ, point_of
from refledge.geometry.kernel.triangles import MeshSolid, thinned
from refledge.geometry.mesh import is_watertight
from refledge.model.results import TriMesh

MOST_FACES = 20_000
"""A facet takes about 1.5 kB in STEP and programs that read it slow down sharply: our choice."""
STEP_TOLERANCE = 2.5e-4
"""m: about what a printer shows, and half the faces: our choice."""
LEAST_AREA = 1e-18
"""m2: corners closer than the modeller's own 1e-7 mm are one to it."""


def facetted(mesh: TriMesh, most: int = MOST_FACES) -> Solid:
    """One flat face a triangle; GeometryError for an open surface or more than ``most`` faces."""
    count = len(mesh.triangles)
    if count > most:
        raise GeometryError(
            f"{count} triangles would make as many faces; at most {most} are written as a solid. "
            "Use the STL or 3MF, or make the surface of fewer triangles (larger voxels)"
        )
    if not is_watertight(mesh):
        raise GeometryError("the triangles of the surface do not close")
    p, q, r = (mesh.vertices[mesh.triangles[:, k]] for k in range(3))
    if np.any(np.linalg.norm(np.cross(q - p, r - p), axis=1) <= LEAST_AREA):
        raise GeometryError("a triangle without area cannot become a face")
    shell = _shell(mesh)
    solid = occ.BRepBuilderAPI.BRepBuilderAPI_MakeSolid(shell).Solid()
    occ.BRepLib.BRepLib.OrientClosedSolid_s(solid)
    return Solid(solid)


def with_faces(solid: Solid, tolerance: float = STEP_TOLERANCE) -> Solid:
    """A body known by its triangles as one of flat faces within ``tolerance`` (m) of them, for
    STEP; other bodies as they are. GeometryError where that takes too many faces."""
    if not isinstance(solid, MeshSolid):
        return solid
    return facetted(thinned(solid.mesh, tolerance))


def _shell(mesh: TriMesh) -> Any:
    """Faces that share their edges, so that nothing has to be sewn."""
    build = occ.BRepBuilderAPI
    corners = [build.BRepBuilderAPI_MakeVertex(point_of(p)).Vertex() for p in mesh.vertices]
    edges: dict[tuple[int, int], Any] = {}
    maker, shell = occ.BRep.BRep_Builder(), occ.TopoDS.TopoDS_Shell()
    maker.MakeShell(shell)
    for triangle in mesh.triangles.tolist():
        wire = build.BRepBuilderAPI_MakeWire()
        for a, b in zip(triangle, triangle[1:] + triangle[:1], strict=True):
            key = (min(a, b), max(a, b))
            if key not in edges:
                edge = build.BRepBuilderAPI_MakeEdge(corners[key[0]], corners[key[1]])
                edges[key] = edge.Edge()
            wire.Add(edges[key] if key[0] == a else _reversed(edges[key]))
        plane = _plane(mesh, triangle)
        face = build.BRepBuilderAPI_MakeFace(plane, wire.Wire(), True)
        if not face.IsDone():
            raise GeometryError("a triangle without area cannot become a face")
        maker.Add(shell, face.Face())
    shell.Closed(True)
    return shell


def _reversed(edge: Any) -> Any:
    return occ.TopoDS.TopoDS.Edge(edge.Reversed())


def _plane(mesh: TriMesh, triangle: list[int]) -> Any:
    a, b, c = mesh.vertices[triangle]
    normal = np.cross(b - a, c - a)
    way = occ.gp.gp_Dir(*(float(each) for each in normal / np.linalg.norm(normal)))
    return occ.gp.gp_Pln(point_of(a), way)
