"""Measuring solids: volume, sections, extents, validity, triangles."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from threading import Lock
from typing import Any
from weakref import WeakKeyDictionary

import numpy as np

from refledge.errors import GeometryError
from refledge.geometry.kernel.library import MM, Solid, boolean, occ, parts_of, point_of, vector_of
from refledge.geometry.kernel.triangles import MeshSolid, cut_face, mesh_area
from refledge.geometry.mesh import mesh_centroid, mesh_moments, mesh_volume, weld
from refledge.geometry.profile import Loop, Segment, chained
from refledge.model.results import TriMesh
from refledge.typed import Floats, Ints

_NOTHING = 1e-15
"""m3: less is what rounding leaves where surfaces touch."""
MESH_BAND = 1e-3
"""Share by which a mesh may miss the body's volume and greatest moment of inertia: our choice."""


@dataclass(frozen=True, eq=False)
class Moments:
    """Integrals over a body (size in m3) or a flat section (m2)."""

    size: float
    centroid: Floats
    """(3,), m."""
    second: Floats
    """(3, 3), m5 or m4: moments of inertia about the centroid for unit density."""


def moments(solid: Solid) -> Moments:
    """Volume, centroid and second moments of the body."""
    if isinstance(solid, MeshSolid):
        if mesh_volume(solid.mesh) < _NOTHING:
            return Moments(0.0, np.zeros(3), np.zeros((3, 3)))
        size, second = mesh_moments(solid.mesh)
        return Moments(size, mesh_centroid(solid.mesh), second)
    found = occ.GProp.GProp_GProps()
    occ.BRepGProp.BRepGProp.VolumeProperties_s(solid.shape, found)
    return _moments(found, 3)


def volume(solid: Solid) -> float:
    """m3; 0 for an empty body."""
    return moments(solid).size


def area(solid: Solid) -> float:
    """Of the whole surface, m2."""
    if isinstance(solid, MeshSolid):
        return mesh_area(solid.mesh)
    return _surface(solid.shape).size


def section(solid: Solid, origin: Sequence[float], normal: Sequence[float]) -> Moments:
    """Area and its moments of the cut through ``origin`` (3,), m, square to ``normal`` (3,)."""
    if isinstance(solid, MeshSolid):
        n = np.asarray(normal, np.float64) / np.linalg.norm(normal)
        aside = np.eye(3)[int(np.argmin(np.abs(n)))]
        x = np.cross(aside, n) / np.linalg.norm(np.cross(aside, n))
        axes = np.stack([x, np.cross(n, x)])
        return _flat(cut_face(solid, origin, axes), axes, np.asarray(origin, np.float64))
    return _surface(boolean("Common", (solid,), (_plane(origin, normal),)))


def contours(solid: Solid, height: float) -> tuple[Loop, ...]:
    """Lines and arcs where the plane z = ``height`` (m) cuts the body, outer loop first."""
    face = boolean("Common", (solid,), (_plane((0, 0, height), (0, 0, 1)),))
    wires = [list(_segments(wire)) for wire in parts_of(face, "WIRE")]
    return chained(wires)


def bounds(solid: Solid) -> Floats:
    """Least and greatest corner, (2, 3), m."""
    if isinstance(solid, MeshSolid):
        corners = solid.mesh.vertices
        return np.stack([corners.min(axis=0), corners.max(axis=0)])
    found = occ.Bnd.Bnd_Box()
    occ.BRepBndLib.BRepBndLib.AddOptimal_s(solid.shape, found, False, False)
    return np.stack([vector_of(found.CornerMin()), vector_of(found.CornerMax())])


def distance(one: Solid, other: Solid) -> float:
    """Least distance between two bodies, m; 0 where they touch."""
    return float(occ.BRepExtrema.BRepExtrema_DistShapeShape(one.shape, other.shape).Value()) / MM


def is_valid_single(solid: Solid) -> bool:
    """One closed body of positive volume that passes the modeller's own check."""
    if len(parts_of(solid.shape, "SOLID")) != 1:
        return False
    return occ.BRepCheck.BRepCheck_Analyzer(solid.shape).IsValid() and volume(solid) > 0


def checked(solid: Solid, what: str) -> Solid:
    """``solid`` as one bare body; raises GeometryError naming ``what`` unless it is valid."""
    bodies = parts_of(solid.shape, "SOLID")
    if not is_valid_single(solid):
        raise GeometryError(f"{what}: {len(bodies)} bodies found where one valid body was wanted")
    return Solid(bodies[0])


def tessellate(solid: Solid, tolerance: float = 5e-5, angle: float = 0.2) -> TriMesh:
    """Closed triangle surface within ``tolerance`` (m) and ``angle`` (rad) of the body.

    Both are tightened until volume and moments of inertia are the body's own within MESH_BAND.
    The same body gives the same triangles however it was cut before; one known by its triangles
    has those.
    """
    if isinstance(solid, MeshSolid):
        return solid.mesh
    with _MESHES.lock:
        known = _MESHES.of(solid, tolerance, angle)
        if known is None:
            known = _tessellated(solid, tolerance, angle)
            _MESHES.keep(solid, tolerance, angle, known)
        return known


class _Meshes:
    """Triangles of bodies that still exist. A body is never changed once it is made."""

    def __init__(self) -> None:
        self.lock = Lock()
        self._known: WeakKeyDictionary[Solid, dict[tuple[float, float], TriMesh]]
        self._known = WeakKeyDictionary()

    def of(self, solid: Solid, tolerance: float, angle: float) -> TriMesh | None:
        return self._known.get(solid, {}).get((tolerance, angle))

    def keep(self, solid: Solid, tolerance: float, angle: float, mesh: TriMesh) -> None:
        self._known.setdefault(solid, {})[tolerance, angle] = mesh


_MESHES = _Meshes()


def _tessellated(solid: Solid, tolerance: float, angle: float) -> TriMesh:
    exact = moments(solid)
    for step in (1.0, 1.4, 2.0, 2.8, 4.0, 5.6, 8.0):
        mesh = _cut_up(solid, tolerance / step, angle / step)
        size, second = mesh_moments(mesh)
        away = np.abs(second - exact.second).max() / np.abs(exact.second).max()
        if max(abs(size / exact.size - 1.0), away) <= MESH_BAND:
            return mesh
    raise GeometryError(
        f"triangles {angle / 8:.3f} rad apart still miss the body's moments by {away:.2%}"
    )


def _cut_up(solid: Solid, tolerance: float, angle: float) -> TriMesh:
    occ.BRepTools.BRepTools.Clean_s(solid.shape)
    occ.BRepMesh.BRepMesh_IncrementalMesh(solid.shape, tolerance * MM, False, angle, False)
    pieces = [_face_mesh(face) for face in parts_of(solid.shape, "FACE")]
    return weld(pieces)


def _surface(shape: Any) -> Moments:
    found = occ.GProp.GProp_GProps()
    occ.BRepGProp.BRepGProp.SurfaceProperties_s(shape, found)
    return _moments(found, 2)


def _moments(found: Any, order: int) -> Moments:
    matrix = found.MatrixOfInertia()
    rows = [[matrix.Value(i, j) for j in (1, 2, 3)] for i in (1, 2, 3)]
    second = np.array(rows) / MM ** (order + 2)
    return Moments(found.Mass() / MM**order, vector_of(found.CentreOfMass()), second)


def _plane(origin: Sequence[float], normal: Sequence[float], half: float = 10.0) -> Solid:
    flat = occ.gp.gp_Pln(point_of(origin), occ.gp.gp_Dir(*map(float, normal)))
    reach = half * MM
    make = occ.BRepBuilderAPI.BRepBuilderAPI_MakeFace(flat, -reach, reach, -reach, reach)
    return Solid(make.Face())


def _segments(wire: Any) -> Iterator[Segment]:
    """Edges of a flat wire; whole circles as two half turns, other curves as short lines, m."""
    for edge in parts_of(wire, "EDGE"):
        curve = occ.BRepAdaptor.BRepAdaptor_Curve(edge)
        kind, types = curve.GetType(), occ.GeomAbs.GeomAbs_CurveType
        pieces = 1 if kind == types.GeomAbs_Line else 2 if kind == types.GeomAbs_Circle else 32
        at = np.linspace(curve.FirstParameter(), curve.LastParameter(), 2 * pieces + 1)
        points = [(p.X() / MM, p.Y() / MM) for p in map(curve.Value, at)]
        for i in range(0, 2 * pieces, 2):
            via = points[i + 1] if kind == types.GeomAbs_Circle else None
            yield Segment(points[i], points[i + 2], via)


def _face_mesh(face: Any) -> tuple[Floats, Ints]:
    """Corners (n, 3) m and triangles (m, 3) of one face, turned outwards."""
    place = occ.TopLoc.TopLoc_Location()
    found = occ.BRep.BRep_Tool.Triangulation_s(face, place)
    if found is None:
        raise GeometryError("a face could not be cut into triangles")
    nodes = map(found.Node, range(1, found.NbNodes() + 1))
    corners = np.array([(p.X(), p.Y(), p.Z()) for p in nodes]) / MM
    if not place.IsIdentity():
        corners = _posed(corners, place.Transformation())
    faces = np.array([found.Triangle(i).Get() for i in range(1, found.NbTriangles() + 1)]) - 1
    backward = face.Orientation() == occ.TopAbs.TopAbs_Orientation.TopAbs_REVERSED
    return corners, faces[:, ::-1] if backward else faces


def _posed(points: Floats, pose: Any) -> Floats:
    """Points (n, 3), m, moved as the modeller's ``pose`` says, which has no scale."""
    matrix = np.array([[pose.Value(i, j) for j in (1, 2, 3, 4)] for i in (1, 2, 3)])
    moved: Floats = points @ matrix[:, :3].T + matrix[:, 3] / MM
    return moved


def _flat(loops: tuple[Floats, ...], axes: Floats, origin: Floats) -> Moments:
    """Of outlines (n, 2), m, whose holes turn the other way, on the paper of ``axes`` (2, 3).

    Sum over triangles from the paper's origin to each side a, b, of signed area A: the integral of
    x x' over one is A (a a' + b b' + s s') / 12, s = a + b.
    """
    a = np.concatenate(loops) if loops else np.zeros((1, 2))
    b = np.concatenate([np.roll(each, -1, axis=0) for each in loops]) if loops else a
    each = (a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]) / 2
    size, s = float(each.sum()), a + b
    middle = each @ s / (3 * size) if size else np.zeros(2)
    squares = sum((p * each[:, None]).T @ p for p in (a, b, s)) / 12
    spread = axes.T @ (squares - size * np.outer(middle, middle)) @ axes
    normal = np.cross(*axes)
    centroid = axes.T @ middle + normal * float(normal @ origin)
    return Moments(size, centroid, np.trace(spread) * np.eye(3) - spread)
