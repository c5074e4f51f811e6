"""Faces of a solid that a drawing puts dimensions on: round, conical, level."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from refledge.geometry.kernel.library import MM, Solid, occ, parts_of, vector_of
from refledge.geometry.kernel.triangles import MeshSolid
from refledge.typed import Floats

_SAME = 1e-6  # m: axes and radii nearer than this are one


@dataclass(frozen=True, eq=False)
class Round:
    """A round face, all pieces with one axis and radius that lie side by side; m."""

    centre: Floats
    """(3,), middle of its axis."""
    axis: Floats
    """(3,), unit vector."""
    radius: float
    length: float
    hollow: bool
    """Plastic outside: the wall of a hole or of an inner corner."""
    turn: float
    """Share of a full turn that the face covers (1)."""
    on_face: Floats
    """(3,), m, a point in the middle of the face."""


@dataclass(frozen=True, eq=False)
class Sink:
    """A conical face that narrows into the plastic, as for a countersunk head."""

    centre: Floats
    """(3,), m, middle of its wide end."""
    axis: Floats
    """(3,), from the wide end inwards."""
    radius: float
    """Of the wide end, m."""
    angle: float
    """Of the whole cone, rad."""


@dataclass(frozen=True, eq=False)
class Level:
    """A flat face; ``place`` (3,) is its centroid, m; ``normal`` (3,) points out of the plastic."""

    place: Floats
    normal: Floats
    area: float
    """m2."""


def rounds(solid: Solid) -> tuple[Round, ...]:
    """Every cylindrical face of the body, pieces put together."""
    if isinstance(solid, MeshSolid):
        return rounds(solid.exact)
    groups: dict[tuple[int, ...], list[Round]] = {}
    for face in parts_of(solid.shape, "FACE"):
        surface = occ.BRepAdaptor.BRepAdaptor_Surface(face)
        if surface.GetType() == occ.GeomAbs.GeomAbs_SurfaceType.GeomAbs_Cylinder:
            piece = _piece(face, surface)
            groups.setdefault(_line_key(piece), []).append(piece)
    return tuple(each for pieces in groups.values() for each in _joined(pieces))


def sinks_of(solid: Solid) -> tuple[Sink, ...]:
    """Every conical face with plastic outside it; pieces of one cone once."""
    if isinstance(solid, MeshSolid):
        return sinks_of(solid.exact)
    found: dict[tuple[int, ...], Sink] = {}
    for face in parts_of(solid.shape, "FACE"):
        surface = occ.BRepAdaptor.BRepAdaptor_Surface(face)
        if surface.GetType() != occ.GeomAbs.GeomAbs_SurfaceType.GeomAbs_Cone or not _inward(face):
            continue
        cone = surface.Cone()
        origin, axis, slope = _axis_of(cone.Axis())
        low, high = (float(v) for v in occ.BRepTools.BRepTools.UVBounds_s(face)[2:])
        semi = float(cone.SemiAngle())
        ends = [(v, float(cone.RefRadius()) + v * np.sin(semi)) for v in (low, high)]
        (v, radius), (other, _) = sorted(ends, key=lambda end: -end[1])
        centre = origin + slope * axis * v * np.cos(semi) / MM
        inwards = axis * slope * np.sign(other - v)
        key = tuple(round(float(c) / _SAME) for c in (*centre, radius / MM))
        found[key] = Sink(centre, inwards, radius / MM, 2 * abs(semi))
    return tuple(found.values())


def levels(solid: Solid) -> tuple[Level, ...]:
    """Every flat face of the body."""
    return tuple(_levels(solid.exact if isinstance(solid, MeshSolid) else solid))


def _levels(solid: Solid) -> Iterator[Level]:
    for face in parts_of(solid.shape, "FACE"):
        surface = occ.BRepAdaptor.BRepAdaptor_Surface(face)
        if surface.GetType() != occ.GeomAbs.GeomAbs_SurfaceType.GeomAbs_Plane:
            continue
        sums = occ.GProp.GProp_GProps()
        occ.BRepGProp.BRepGProp.SurfaceProperties_s(face, sums)
        way = surface.Plane().Axis().Direction()
        normal = np.array([way.X(), way.Y(), way.Z()])
        yield Level(
            vector_of(sums.CentreOfMass()),
            -normal if _inward(face) else normal,
            sums.Mass() / MM**2,
        )


def _inward(face: Any) -> bool:
    """The plastic lies on the side that the surface itself points to."""
    reversed_face = face.Orientation() == occ.TopAbs.TopAbs_Orientation.TopAbs_REVERSED
    return bool(reversed_face)


def _axis_of(line: Any) -> tuple[Floats, Floats, float]:
    """A point on the axis (3,) m, its direction made to point up (3,), and the sign of that."""
    way = line.Direction()
    direction = np.array([way.X(), way.Y(), way.Z()])
    first = next(c for c in direction[::-1] if abs(c) > 1e-9)
    sign = 1.0 if first > 0 else -1.0
    return vector_of(line.Location()), sign * direction, sign


def _piece(face: Any, surface: Any) -> Round:
    cylinder = surface.Cylinder()
    origin, axis, sign = _axis_of(cylinder.Axis())
    u0, u1, v0, v1 = (float(each) for each in occ.BRepTools.BRepTools.UVBounds_s(face))
    centre = origin + axis * sign * (v0 + v1) / 2 / MM
    turn = (u1 - u0) / (2 * np.pi)
    mirrored = not cylinder.Position().Direct()
    radius, length = float(cylinder.Radius()) / MM, (v1 - v0) / MM
    middle = vector_of(surface.Value((u0 + u1) / 2, (v0 + v1) / 2))
    return Round(centre, axis, radius, length, _inward(face) != mirrored, turn, middle)


def _line_key(piece: Round) -> tuple[int, ...]:
    """Axis, radius and side; pieces on one line share it."""
    foot = piece.centre - (piece.centre @ piece.axis) * piece.axis
    numbers = [*(foot / _SAME), *(piece.axis / 1e-6), piece.radius / _SAME]
    return (*(round(float(each)) for each in numbers), int(piece.hollow))


def _joined(pieces: list[Round]) -> Iterator[Round]:
    """Pieces whose stretches of the axis overlap or touch become one."""
    ordered = sorted(pieces, key=lambda p: _ends(p)[0])
    while ordered:
        group = [ordered.pop(0)]
        low, high = _ends(group[0])
        while ordered and _ends(ordered[0])[0] < high + _SAME:
            group.append(ordered.pop(0))
            high = max(high, _ends(group[-1])[1])
        first, length = group[0], high - low
        turn = sum(each.turn * each.length for each in group) / length
        shift = (low + high) / 2 - float(first.centre @ first.axis)
        yield Round(
            first.centre + shift * first.axis, first.axis, first.radius, length, first.hollow,
            min(1.0, turn), first.on_face,
        )  # fmt: skip


def _ends(piece: Round) -> tuple[float, float]:
    middle = float(piece.centre @ piece.axis)
    return middle - piece.length / 2, middle + piece.length / 2
