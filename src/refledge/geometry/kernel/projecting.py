"""Solids on paper: views with hidden lines, sections, and what a drawing puts dimensions on."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from refledge.errors import GeometryError
from refledge.geometry.kernel.library import MM, Solid, boolean, occ, parts_of, point_of
from refledge.geometry.kernel.measuring import tessellate
from refledge.geometry.kernel.triangles import MeshSolid, cut_face, rest_behind
from refledge.geometry.mesh_lines import mesh_lines
from refledge.typed import Floats

_TURN = 0.12
"""A curve is drawn in chords that turn no further than this, rad."""
_OFF = 1e-5
"""And that stay this near to it, m: a tenth of the narrowest line on paper."""
_LEAST_LINE = 1e-6  # m: shorter lines are the modeller's rounding


@dataclass(frozen=True, eq=False)
class View:
    """Lines of one parallel projection, each a polyline (n, 2), m; smooth edges are left out."""

    visible: tuple[Floats, ...]
    hidden: tuple[Floats, ...]


def project(solid: Solid, towards_eye: Sequence[float], right: Sequence[float]) -> View:
    """The body seen from ``towards_eye`` (3,), with ``right`` (3,) to the right of the paper.

    The body's origin is the paper's.
    """
    if isinstance(solid, MeshSolid):
        (lines,) = mesh_lines([solid.mesh], _paper3(towards_eye, right))
        return View(lines.visible, lines.hidden)
    found = _seen((solid,), towards_eye, right)
    return View(
        _flat_lines(found.VCompound()) + _flat_lines(found.OutLineVCompound()),
        _flat_lines(found.HCompound()) + _flat_lines(found.OutLineHCompound()),
    )


def project_together(
    solids: Sequence[Solid], towards_eye: Sequence[float], right: Sequence[float]
) -> tuple[tuple[Floats, ...], ...]:
    """Visible lines of each body where all stand together, as ``project`` shows one: (n, 2), m."""
    if any(isinstance(each, MeshSolid) for each in solids):
        meshes = [tessellate(each) for each in solids]
        return tuple(each.visible for each in mesh_lines(meshes, _paper3(towards_eye, right)))
    found = _seen(solids, towards_eye, right)
    return tuple(
        _flat_lines(found.VCompound(each.shape)) + _flat_lines(found.OutLineVCompound(each.shape))
        for each in solids
    )


def cut_outlines(
    solid: Solid, origin: Sequence[float], towards_eye: Sequence[float], right: Sequence[float]
) -> tuple[Floats, ...]:
    """Closed outlines of the cut face through ``origin`` as ``project`` would show it, (n, 2), m.

    What lies inside an odd number of them is plastic.
    """
    axes = _paper(towards_eye, right)
    if isinstance(solid, MeshSolid):
        return cut_face(solid, origin, axes)
    face = boolean("Common", (solid,), (_wall(origin, towards_eye),))
    return tuple(_wire_points(wire) @ axes.T for wire in parts_of(face, "WIRE"))


def behind(solid: Solid, origin: Sequence[float], towards_eye: Sequence[float]) -> Solid:
    """What is left of the body behind the plane through ``origin`` that faces the eye."""
    if isinstance(solid, MeshSolid):
        return rest_behind(solid, origin, towards_eye)
    away = np.asarray(origin, dtype=np.float64) + np.asarray(towards_eye, dtype=np.float64)
    half = occ.BRepPrimAPI.BRepPrimAPI_MakeHalfSpace(
        _wall(origin, towards_eye).shape, point_of(away.tolist())
    )
    return Solid(boolean("Cut", (solid,), (Solid(half.Solid()),)))


def holds(solid: Solid, points: Floats) -> list[bool]:
    """Whether each of ``points`` (n, 3), m, lies inside the body."""
    if isinstance(solid, MeshSolid):
        return holds(solid.exact, points)
    judge = occ.BRepClass3d.BRepClass3d_SolidClassifier(solid.shape)
    inside = occ.TopAbs.TopAbs_State.TopAbs_IN
    found = []
    for point in points:
        judge.Perform(point_of(point.tolist()), 1e-4)
        found.append(judge.State() == inside)
    return found


def _direction(vector: Sequence[float]) -> Any:
    return occ.gp.gp_Dir(*map(float, vector))


def _paper(towards_eye: Sequence[float], right: Sequence[float]) -> Floats:
    """Rows: the paper's right and up, (2, 3)."""
    n, x = np.asarray(towards_eye, dtype=np.float64), np.asarray(right, dtype=np.float64)
    n, x = n / np.linalg.norm(n), x / np.linalg.norm(x)
    if abs(n @ x) > 1e-9:
        raise GeometryError("the paper's right must be square to the line of sight")
    return np.stack([x, np.cross(n, x)])


def _paper3(towards_eye: Sequence[float], right: Sequence[float]) -> Floats:
    """Rows: the paper's right and up, and towards the eye, (3, 3)."""
    x, y = _paper(towards_eye, right)
    return np.stack([x, y, np.cross(x, y)])


def _wall(origin: Sequence[float], normal: Sequence[float], half: float = 10.0) -> Solid:
    """A square face far larger than any part, m."""
    flat = occ.gp.gp_Pln(point_of(origin), _direction(normal))
    reach = half * MM
    make = occ.BRepBuilderAPI.BRepBuilderAPI_MakeFace(flat, -reach, reach, -reach, reach)
    return Solid(make.Face())


def _flat_lines(compound: Any) -> tuple[Floats, ...]:
    """Polylines of what the projection put on the paper, m."""
    if compound is None or compound.IsNull():
        return ()
    occ.BRepLib.BRepLib.BuildCurves3d_s(compound)
    lines = (_edge_points(edge)[:, :2] for edge in parts_of(compound, "EDGE"))
    return tuple(line for line in lines if float(np.ptp(line, axis=0).max()) > _LEAST_LINE)


def _wire_points(wire: Any) -> Floats:
    """Points round a closed wire in order, (n, 3), m, the first not repeated."""
    explorer = occ.BRepTools.BRepTools_WireExplorer(wire)
    found = []
    while explorer.More():
        edge = explorer.Current()
        points = _edge_points(edge)
        if edge.Orientation() == occ.TopAbs.TopAbs_Orientation.TopAbs_REVERSED:
            points = points[::-1]
        found.append(points[:-1])
        explorer.Next()
    return np.concatenate(found)


def _edge_points(edge: Any) -> Floats:
    """Points along an edge, (n, 3), m."""
    curve = occ.BRepAdaptor.BRepAdaptor_Curve(edge)
    first, last = curve.FirstParameter(), curve.LastParameter()
    at = np.linspace(first, last, _chords(curve, last - first) + 1)
    return np.array([(p.X(), p.Y(), p.Z()) for p in map(curve.Value, at)]) / MM


def _chords(curve: Any, span: float) -> int:
    kind, types = curve.GetType(), occ.GeomAbs.GeomAbs_CurveType
    if kind == types.GeomAbs_Line:
        return 1
    if kind in (types.GeomAbs_Circle, types.GeomAbs_Ellipse):
        round_ = curve.Circle() if kind == types.GeomAbs_Circle else curve.Ellipse()
        radius = round_.Radius() if kind == types.GeomAbs_Circle else round_.MajorRadius()
        turn = min(_TURN, float(np.sqrt(8 * _OFF * MM / max(radius, 1e-3))))
        return max(2, int(np.ceil(span / turn)))
    return 48


def _seen(solids: Sequence[Solid], towards_eye: Sequence[float], right: Sequence[float]) -> Any:
    """Lines of all bodies together, sorted into visible and hidden."""
    place = occ.gp.gp_Ax2(point_of((0, 0, 0)), _direction(towards_eye), _direction(right))
    work = occ.HLRBRep.HLRBRep_Algo()
    for each in solids:
        work.Add(each.shape)
    work.Projector(occ.HLRAlgo.HLRAlgo_Projector(place))
    work.Update()
    work.Hide()
    return occ.HLRBRep.HLRBRep_HLRToShape(work)
