"""Making solids and combining them."""

from collections.abc import Sequence
from typing import Any

import numpy as np

from refledge.errors import GeometryError
from refledge.geometry.kernel.library import MM, Solid, boolean, occ, parts_of, point_of
from refledge.geometry.kernel.measuring import is_valid_single, tessellate
from refledge.geometry.kernel.triangles import MeshSolid, shared
from refledge.geometry.profile import Loop, Point
from refledge.model.results import TriMesh
from refledge.typed import Floats

AXES = {"x": (1, 2, 0), "y": (0, 2, 1), "z": (0, 1, 2)}


def box(low: Sequence[float], high: Sequence[float]) -> Solid:
    """Block between two opposite corners, m."""
    return Solid(occ.BRepPrimAPI.BRepPrimAPI_MakeBox(point_of(low), point_of(high)).Shape())


def cone(base: Sequence[float], lower: float, upper: float, height: float) -> Solid:
    """Upright round bar of diameters ``lower`` and ``upper`` standing on ``base``, m."""
    axes = occ.gp.gp_Ax2(point_of(base), occ.gp.gp_Dir(0, 0, 1))
    r, R, h = (each * MM for each in (lower / 2, upper / 2, height))
    if lower == upper:
        return Solid(occ.BRepPrimAPI.BRepPrimAPI_MakeCylinder(axes, r, h).Shape())
    return Solid(occ.BRepPrimAPI.BRepPrimAPI_MakeCone(axes, r, R, h).Shape())


def extrude(
    outline: Loop, low: float, high: float, holes: Sequence[Loop] = (), axis: str = "z"
) -> Solid:
    """Prism between ``low`` and ``high`` along ``axis``; the outline lies in the other two, m."""
    along = [0.0, 0.0, 0.0]
    along[AXES[axis][2]] = (high - low) * MM
    face = _face(outline, holes, low, axis)
    prism = occ.BRepPrimAPI.BRepPrimAPI_MakePrism(face, occ.gp.gp_Vec(*along)).Shape()
    solid = occ.TopoDS.TopoDS.Solid(prism)
    occ.BRepLib.BRepLib.OrientClosedSolid_s(solid)
    return Solid(solid)


def fuse(*solids: Solid) -> Solid:
    """Everything that lies in any of them; faces that continue one another become one.

    Raises GeometryError where the modeller cannot join them, as where round faces nearly coincide.
    """
    joined = boolean("Fuse", solids[:1], solids[1:])
    tidy = occ.ShapeUpgrade.ShapeUpgrade_UnifySameDomain(joined, True, True, False)
    try:
        tidy.Build()
    except occ.Standard.Standard_Failure as error:
        raise GeometryError(f"the modeller could not join {len(solids)} bodies") from error
    return Solid(tidy.Shape())


def cut(solid: Solid, *tools: Solid) -> Solid:
    """What is left of ``solid`` outside all ``tools``."""
    return Solid(boolean("Cut", (solid,), tools)) if tools else solid


def common(one: Solid, other: Solid) -> Solid:
    """What lies in both; may be empty. Of triangles where one of them is."""
    if isinstance(one, MeshSolid) or isinstance(other, MeshSolid):
        return shared(tessellate(one), tessellate(other))
    return Solid(boolean("Common", (one,), (other,)))


def move(solid: Solid, rotation: Floats, translation: Floats) -> Solid:
    """Turned by ``rotation`` (3, 3), then shifted by ``translation`` (3,), m."""
    if isinstance(solid, MeshSolid):
        turned = solid.mesh.vertices @ rotation.T + translation
        exact = move(solid.exact, rotation, translation)
        return MeshSolid(TriMesh(turned, solid.mesh.triangles), exact)
    pose = occ.gp.gp_Trsf()
    pose.SetValues(
        *(float(v) for row in np.column_stack([rotation, translation * MM]) for v in row)
    )
    return Solid(solid.shape.Moved(occ.TopLoc.TopLoc_Location(pose)))


def fillet(solid: Solid, at: Sequence[Sequence[float]], radius: float) -> tuple[Solid, float]:
    """Round the edges nearest to the points ``at``; returns the solid and the radius that worked.

    The radius is halved up to three times where the modeller cannot build it; m.
    """
    for attempt in (radius, radius / 2, radius / 4, radius / 8):
        rounded = _edge_work("BRepFilletAPI_MakeFillet", solid, at, attempt)
        if rounded is not None:
            return rounded, attempt
    raise GeometryError(f"no fillet of {radius * MM:.2f} mm or an eighth of it can be built")


def chamfer(solid: Solid, at: Sequence[Sequence[float]], size: float) -> Solid:
    """Bevel the edges nearest to the points ``at`` by ``size`` on both faces, m."""
    bevelled = _edge_work("BRepFilletAPI_MakeChamfer", solid, at, size)
    if bevelled is None:
        raise GeometryError(f"no chamfer of {size * MM:.2f} mm can be built")
    return bevelled


def _edge_work(
    maker: str, solid: Solid, at: Sequence[Sequence[float]], size: float
) -> Solid | None:
    """None where the modeller cannot round or bevel by ``size``."""
    work = getattr(occ.BRepFilletAPI, maker)(solid.shape)
    edges = parts_of(solid.shape, "EDGE")
    for point in at:
        vertex = occ.BRepBuilderAPI.BRepBuilderAPI_MakeVertex(point_of(point)).Vertex()
        measure = occ.BRepExtrema.BRepExtrema_DistShapeShape
        work.Add(size * MM, min(edges, key=lambda edge: measure(vertex, edge).Value()))
    try:
        work.Build()
        done = Solid(work.Shape()) if work.IsDone() else None
    except occ.Standard.Standard_Failure:
        return None
    return done if done is not None and is_valid_single(done) else None


def _face(outline: Loop, holes: Sequence[Loop], level: float, axis: str) -> Any:
    builder = occ.BRepBuilderAPI
    face = builder.BRepBuilderAPI_MakeFace(_wire(outline, level, axis), True).Face()
    if not holes:
        return face
    pierced = builder.BRepBuilderAPI_MakeFace(face)
    for hole in holes:
        pierced.Add(_wire(hole, level, axis))
    fix = occ.ShapeFix.ShapeFix_Face(pierced.Face())
    fix.FixOrientation()
    return fix.Face()


def _wire(loop: Loop, level: float, axis: str) -> Any:
    builder = occ.BRepBuilderAPI
    wire = builder.BRepBuilderAPI_MakeWire()
    for each in loop:
        ends = _at(each.start, level, axis), _at(each.end, level, axis)
        if each.via is None:
            wire.Add(builder.BRepBuilderAPI_MakeEdge(*ends).Edge())
            continue
        arc = occ.GC.GC_MakeArcOfCircle(ends[0], _at(each.via, level, axis), ends[1])
        wire.Add(builder.BRepBuilderAPI_MakeEdge(arc.Value()).Edge())
    if not wire.IsDone():
        raise GeometryError(f"an outline of {len(loop)} segments does not close")
    return wire.Wire()


def _at(p: Point, level: float, axis: str) -> Any:
    xyz = [0.0, 0.0, 0.0]
    first, second, along = AXES[axis]
    xyz[first], xyz[second], xyz[along] = p[0], p[1], level
    return point_of(xyz)
