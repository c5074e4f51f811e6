"""The port to the solid modeller: the only file that uses it. SI outside, mm inside.

The modeller takes a second to load, so it is loaded on first use.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from importlib import import_module
from itertools import count
from pathlib import Path
from typing import Any

import numpy as np

from refledge.errors import GeometryError
from refledge.geometry.mesh import weld
from refledge.geometry.profile import Loop, Point, Segment, chained
from refledge.model.results import TriMesh
from refledge.typed import Floats, Ints

_MM = 1e3
_AXES = {"x": (1, 2, 0), "y": (0, 2, 1), "z": (0, 1, 2)}


class _Library:
    """Modules of the modeller by name, loaded when first asked for."""

    def __getattr__(self, module: str) -> Any:
        return import_module(f"OCP.{module}")


_occ = _Library()


@dataclass(frozen=True, eq=False)
class Solid:
    """A closed body; what is inside belongs to the kernel that made it."""

    shape: Any


@dataclass(frozen=True, eq=False)
class Moments:
    """Integrals over a body (size in m3) or a flat section (m2)."""

    size: float
    centroid: Floats
    """(3,), m."""
    second: Floats
    """(3, 3), m5 or m4: moments of inertia about the centroid for unit density."""


def box(low: Sequence[float], high: Sequence[float]) -> Solid:
    """Block between two opposite corners, m."""
    return Solid(_occ.BRepPrimAPI.BRepPrimAPI_MakeBox(_point(low), _point(high)).Shape())


def cone(base: Sequence[float], lower: float, upper: float, height: float) -> Solid:
    """Upright round bar of diameters ``lower`` and ``upper`` standing on ``base``, m."""
    axes = _occ.gp.gp_Ax2(_point(base), _occ.gp.gp_Dir(0, 0, 1))
    r, R, h = (each * _MM for each in (lower / 2, upper / 2, height))
    if lower == upper:
        return Solid(_occ.BRepPrimAPI.BRepPrimAPI_MakeCylinder(axes, r, h).Shape())
    return Solid(_occ.BRepPrimAPI.BRepPrimAPI_MakeCone(axes, r, R, h).Shape())


def extrude(
    outline: Loop, low: float, high: float, holes: Sequence[Loop] = (), axis: str = "z"
) -> Solid:
    """Prism between ``low`` and ``high`` along ``axis``; the outline lies in the other two, m."""
    along = [0.0, 0.0, 0.0]
    along[_AXES[axis][2]] = (high - low) * _MM
    face = _face(outline, holes, low, axis)
    prism = _occ.BRepPrimAPI.BRepPrimAPI_MakePrism(face, _occ.gp.gp_Vec(*along)).Shape()
    solid = _occ.TopoDS.TopoDS.Solid(prism)
    _occ.BRepLib.BRepLib.OrientClosedSolid_s(solid)
    return Solid(solid)


def fuse(*solids: Solid) -> Solid:
    """Everything that lies in any of them; faces that continue one another become one."""
    joined = _boolean("Fuse", solids[:1], solids[1:])
    tidy = _occ.ShapeUpgrade.ShapeUpgrade_UnifySameDomain(joined, True, True, False)
    tidy.Build()
    return Solid(tidy.Shape())


def cut(solid: Solid, *tools: Solid) -> Solid:
    """What is left of ``solid`` outside all ``tools``."""
    return Solid(_boolean("Cut", (solid,), tools)) if tools else solid


def common(one: Solid, other: Solid) -> Solid:
    """What lies in both; may be empty."""
    return Solid(_boolean("Common", (one,), (other,)))


def move(solid: Solid, rotation: Floats, translation: Floats) -> Solid:
    """Turned by ``rotation`` (3, 3), then shifted by ``translation`` (3,), m."""
    pose = _occ.gp.gp_Trsf()
    pose.SetValues(
        *(float(v) for row in np.column_stack([rotation, translation * _MM]) for v in row)
    )
    return Solid(solid.shape.Moved(_occ.TopLoc.TopLoc_Location(pose)))


def fillet(solid: Solid, at: Sequence[Sequence[float]], radius: float) -> tuple[Solid, float]:
    """Round the edges nearest to the points ``at``; returns the solid and the radius that worked.

    The radius is halved up to three times where the modeller cannot build it; m.
    """
    for attempt in (radius, radius / 2, radius / 4, radius / 8):
        rounded = _edge_work("BRepFilletAPI_MakeFillet", solid, at, attempt)
        if rounded is not None:
            return rounded, attempt
    raise GeometryError(f"no fillet of {radius * _MM:.2f} mm or an eighth of it can be built")


def chamfer(solid: Solid, at: Sequence[Sequence[float]], size: float) -> Solid:
    """Bevel the edges nearest to the points ``at`` by ``size`` on both faces, m."""
    bevelled = _edge_work("BRepFilletAPI_MakeChamfer", solid, at, size)
    if bevelled is None:
        raise GeometryError(f"no chamfer of {size * _MM:.2f} mm can be built")
    return bevelled


def moments(solid: Solid) -> Moments:
    """Volume, centroid and second moments of the body."""
    found = _occ.GProp.GProp_GProps()
    _occ.BRepGProp.BRepGProp.VolumeProperties_s(solid.shape, found)
    return _moments(found, 3)


def volume(solid: Solid) -> float:
    """m3; 0 for an empty body."""
    return moments(solid).size


def area(solid: Solid) -> float:
    """Of the whole surface, m2."""
    return _surface(solid.shape).size


def section(solid: Solid, origin: Sequence[float], normal: Sequence[float]) -> Moments:
    """Area and its moments of the cut through ``origin`` (3,), m, square to ``normal`` (3,)."""
    return _surface(_boolean("Common", (solid,), (_plane(origin, normal),)))


def contours(solid: Solid, height: float) -> tuple[Loop, ...]:
    """Lines and arcs where the plane z = ``height`` (m) cuts the body, outer loop first."""
    face = _boolean("Common", (solid,), (_plane((0, 0, height), (0, 0, 1)),))
    wires = [list(_segments(wire)) for wire in _parts(face, "WIRE")]
    return chained(wires)


def bounds(solid: Solid) -> Floats:
    """Least and greatest corner, (2, 3), m."""
    found = _occ.Bnd.Bnd_Box()
    _occ.BRepBndLib.BRepBndLib.AddOptimal_s(solid.shape, found, False, False)
    return np.stack([_vector(found.CornerMin()), _vector(found.CornerMax())])


def distance(one: Solid, other: Solid) -> float:
    """Least distance between two bodies, m; 0 where they touch."""
    return float(_occ.BRepExtrema.BRepExtrema_DistShapeShape(one.shape, other.shape).Value()) / _MM


def is_valid_single(solid: Solid) -> bool:
    """One closed body of positive volume that passes the modeller's own check."""
    if len(_parts(solid.shape, "SOLID")) != 1:
        return False
    return _occ.BRepCheck.BRepCheck_Analyzer(solid.shape).IsValid() and volume(solid) > 0


def checked(solid: Solid, what: str) -> Solid:
    """``solid`` as one bare body; raises GeometryError naming ``what`` unless it is valid."""
    bodies = _parts(solid.shape, "SOLID")
    if not is_valid_single(solid):
        raise GeometryError(f"{what}: {len(bodies)} bodies found where one valid body was wanted")
    return Solid(bodies[0])


def tessellate(solid: Solid, tolerance: float = 5e-5, angle: float = 0.35) -> TriMesh:
    """Closed triangle surface within ``tolerance`` (m) and ``angle`` (rad) of the body."""
    _occ.BRepMesh.BRepMesh_IncrementalMesh(solid.shape, tolerance * _MM, False, angle, False)
    pieces = [_face_mesh(face) for face in _parts(solid.shape, "FACE")]
    return weld(pieces)


def write_step(
    bodies: Mapping[str, Solid], path: Path, stamp: str = "1970-01-01T00:00:00", title: str = ""
) -> None:
    """Named bodies as STEP (ISO 10303-242), mm; bodies moved from one solid share its geometry."""
    _hush()
    document = _document(bodies, title or path.stem)
    _occ.STEPCAFControl.STEPCAFControl_Controller.Init_s()
    static = _occ.Interface.Interface_Static
    static.SetCVal_s("write.step.schema", "AP242DIS")
    writer = _occ.STEPCAFControl.STEPCAFControl_Writer()
    writer.SetNameMode(True)
    if not writer.Transfer(document, _occ.STEPControl.STEPControl_StepModelType.STEPControl_AsIs):
        raise GeometryError(f"{path.name}: the bodies could not be put into STEP")
    header = _occ.APIHeaderSection.APIHeaderSection_MakeHeader(writer.Writer().Model())
    text = _occ.TCollection.TCollection_HAsciiString
    header.SetName(text(title or path.stem))
    header.SetTimeStamp(text(stamp))
    if writer.Write(str(path)) != _occ.IFSelect.IFSelect_ReturnStatus.IFSelect_RetDone:
        raise GeometryError(f"{path} could not be written")
    path.write_text(_renumbered(path.read_text()))


def _renumbered(step: str) -> str:
    """The modeller numbers uses of parts on and on through a process: count from 1 instead."""
    uses = count(1)

    def again(found: re.Match[str]) -> str:
        return f"{found[1]}'{next(uses)}',{' '.join(found[2].split())};"

    return re.sub(r"(NEXT_ASSEMBLY_USAGE_OCCURRENCE\()'\d+',([^;]*);", again, step)


def read_step(path: Path) -> tuple[Solid, ...]:
    """All bodies in a STEP file, placed as they stand."""
    _hush()
    reader = _occ.STEPControl.STEPControl_Reader()
    if reader.ReadFile(str(path)) != _occ.IFSelect.IFSelect_ReturnStatus.IFSelect_RetDone:
        raise GeometryError(f"{path} is not a STEP file that can be read")
    reader.TransferRoots()
    return tuple(Solid(each) for each in _parts(reader.OneShape(), "SOLID"))


def _document(bodies: Mapping[str, Solid], title: str) -> Any:
    document = _occ.TDocStd.TDocStd_Document(_occ.TCollection.TCollection_ExtendedString("XmlOcaf"))
    tool = _occ.XCAFDoc.XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    if len(bodies) == 1:
        ((name, solid),) = bodies.items()
        _name(tool.AddShape(solid.shape, False), name)
        return document
    root = tool.NewShape()
    _name(root, title)
    bare, named = _occ.TopLoc.TopLoc_Location(), set()
    for name, solid in bodies.items():
        prototype = tool.AddShape(solid.shape.Located(bare), False)
        if prototype.Tag() not in named:
            named.add(prototype.Tag())
            _name(prototype, name)
        _name(tool.AddComponent(root, prototype, solid.shape.Location()), name)
    tool.UpdateAssemblies()
    return document


def _name(label: Any, text: str) -> None:
    _occ.TDataStd.TDataStd_Name.Set_s(label, _occ.TCollection.TCollection_ExtendedString(text))


def _hush() -> None:
    """Keep the modeller's chatter off the console; failures still come through."""
    for printer in _occ.Message.Message.DefaultMessenger_s().Printers():
        printer.SetTraceLevel(_occ.Message.Message_Gravity.Message_Fail)


def _edge_work(
    maker: str, solid: Solid, at: Sequence[Sequence[float]], size: float
) -> Solid | None:
    """None where the modeller cannot round or bevel by ``size``."""
    work = getattr(_occ.BRepFilletAPI, maker)(solid.shape)
    edges = _parts(solid.shape, "EDGE")
    for point in at:
        vertex = _occ.BRepBuilderAPI.BRepBuilderAPI_MakeVertex(_point(point)).Vertex()
        measure = _occ.BRepExtrema.BRepExtrema_DistShapeShape
        work.Add(size * _MM, min(edges, key=lambda edge: measure(vertex, edge).Value()))
    try:
        work.Build()
        done = Solid(work.Shape()) if work.IsDone() else None
    except _occ.Standard.Standard_Failure:
        return None
    return done if done is not None and is_valid_single(done) else None


def _boolean(kind: str, arguments: Sequence[Solid], tools: Sequence[Solid]) -> Any:
    work = getattr(_occ.BRepAlgoAPI, f"BRepAlgoAPI_{kind}")()
    for set_shapes, solids in ((work.SetArguments, arguments), (work.SetTools, tools)):
        shapes = _occ.collections.List_TopoDS_Shape()
        for each in solids:
            shapes.Append(each.shape)
        set_shapes(shapes)
    work.Build()
    if not work.IsDone():
        raise GeometryError(f"the modeller could not {kind.lower()} {len(tools) + 1} bodies")
    return work.Shape()


def _parts(shape: Any, kind: str) -> list[Any]:
    top = _occ.TopAbs.TopAbs_ShapeEnum
    explorer = _occ.TopExp.TopExp_Explorer(shape, getattr(top, f"TopAbs_{kind}"))
    cast = getattr(_occ.TopoDS.TopoDS, kind.capitalize())
    found = []
    while explorer.More():
        found.append(cast(explorer.Current()))
        explorer.Next()
    return found


def _point(p: Sequence[float]) -> Any:
    return _occ.gp.gp_Pnt(*(float(each) * _MM for each in p))


def _vector(p: Any) -> Floats:
    return np.array([p.X(), p.Y(), p.Z()]) / _MM


def _surface(shape: Any) -> Moments:
    found = _occ.GProp.GProp_GProps()
    _occ.BRepGProp.BRepGProp.SurfaceProperties_s(shape, found)
    return _moments(found, 2)


def _moments(found: Any, order: int) -> Moments:
    matrix = found.MatrixOfInertia()
    rows = [[matrix.Value(i, j) for j in (1, 2, 3)] for i in (1, 2, 3)]
    second = np.array(rows) / _MM ** (order + 2)
    return Moments(found.Mass() / _MM**order, _vector(found.CentreOfMass()), second)


def _plane(origin: Sequence[float], normal: Sequence[float], half: float = 10.0) -> Solid:
    flat = _occ.gp.gp_Pln(_point(origin), _occ.gp.gp_Dir(*map(float, normal)))
    reach = half * _MM
    make = _occ.BRepBuilderAPI.BRepBuilderAPI_MakeFace(flat, -reach, reach, -reach, reach)
    return Solid(make.Face())


def _face(outline: Loop, holes: Sequence[Loop], level: float, axis: str) -> Any:
    builder = _occ.BRepBuilderAPI
    face = builder.BRepBuilderAPI_MakeFace(_wire(outline, level, axis), True).Face()
    if not holes:
        return face
    pierced = builder.BRepBuilderAPI_MakeFace(face)
    for hole in holes:
        pierced.Add(_wire(hole, level, axis))
    fix = _occ.ShapeFix.ShapeFix_Face(pierced.Face())
    fix.FixOrientation()
    return fix.Face()


def _wire(loop: Loop, level: float, axis: str) -> Any:
    builder = _occ.BRepBuilderAPI
    wire = builder.BRepBuilderAPI_MakeWire()
    for each in loop:
        ends = _at(each.start, level, axis), _at(each.end, level, axis)
        if each.via is None:
            wire.Add(builder.BRepBuilderAPI_MakeEdge(*ends).Edge())
            continue
        arc = _occ.GC.GC_MakeArcOfCircle(ends[0], _at(each.via, level, axis), ends[1])
        wire.Add(builder.BRepBuilderAPI_MakeEdge(arc.Value()).Edge())
    if not wire.IsDone():
        raise GeometryError(f"an outline of {len(loop)} segments does not close")
    return wire.Wire()


def _at(p: Point, level: float, axis: str) -> Any:
    xyz = [0.0, 0.0, 0.0]
    first, second, along = _AXES[axis]
    xyz[first], xyz[second], xyz[along] = p[0], p[1], level
    return _point(xyz)


def _segments(wire: Any) -> Iterator[Segment]:
    """Edges of a flat wire; whole circles as two half turns, other curves as short lines, m."""
    for edge in _parts(wire, "EDGE"):
        curve = _occ.BRepAdaptor.BRepAdaptor_Curve(edge)
        kind, types = curve.GetType(), _occ.GeomAbs.GeomAbs_CurveType
        pieces = 1 if kind == types.GeomAbs_Line else 2 if kind == types.GeomAbs_Circle else 32
        at = np.linspace(curve.FirstParameter(), curve.LastParameter(), 2 * pieces + 1)
        points = [(p.X() / _MM, p.Y() / _MM) for p in map(curve.Value, at)]
        for i in range(0, 2 * pieces, 2):
            via = points[i + 1] if kind == types.GeomAbs_Circle else None
            yield Segment(points[i], points[i + 2], via)


def _face_mesh(face: Any) -> tuple[Floats, Ints]:
    """Corners (n, 3) m and triangles (m, 3) of one face, turned outwards."""
    place = _occ.TopLoc.TopLoc_Location()
    found = _occ.BRep.BRep_Tool.Triangulation_s(face, place)
    if found is None:
        raise GeometryError("a face could not be cut into triangles")
    pose = place.Transformation()
    nodes = range(1, found.NbNodes() + 1)
    corners = np.array([_vector(found.Node(i).Transformed(pose)) for i in nodes])
    faces = np.array([found.Triangle(i).Get() for i in range(1, found.NbTriangles() + 1)]) - 1
    backward = face.Orientation() == _occ.TopAbs.TopAbs_Orientation.TopAbs_REVERSED
    return corners, faces[:, ::-1] if backward else faces
