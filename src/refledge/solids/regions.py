"""Named faces by the geometry that they lie on; a face belongs whole or not at all.

``Rectangle`` and ``Ring`` are cut into the surface before meshing, so that their borders are
borders of the mesh. Nothing is picked by nearness to a point.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from refledge.errors import AnalysisError
from refledge.solids.mesh import area_vectors
from refledge.typed import Bools, Floats, Ints

Vector = tuple[float, float, float]
_PARALLEL = 0.99


class Region(Protocol):
    """Where a named face lies."""

    def holds(self, points: Floats, tolerance: float) -> Bools:
        """(k,): which ``points`` (k, 3), m, lie on it within ``tolerance``, m."""

    def faces(self, points: Floats, normals: Floats) -> Bools:
        """(k,): whether a surface with unit ``normals`` (k, 3) at ``points`` could be it."""


@dataclass(frozen=True)
class Plane:
    """Every face in the plane through ``point`` square to ``normal``, between two corners, m."""

    point: Vector
    normal: Vector
    low: Vector = (-np.inf, -np.inf, -np.inf)
    high: Vector = (np.inf, np.inf, np.inf)

    def holds(self, points: Floats, tolerance: float) -> Bools:
        low, high = np.array(self.low) - tolerance, np.array(self.high) + tolerance
        inside = np.all((points >= low) & (points <= high), axis=1)
        height = (points - np.array(self.point)) @ _unit(self.normal)
        return np.asarray(inside & (np.abs(height) <= tolerance))

    def faces(self, points: Floats, normals: Floats) -> Bools:
        del points
        return np.asarray(np.abs(normals @ _unit(self.normal)) > _PARALLEL)


@dataclass(frozen=True)
class Bore:
    """Cylinder of ``radius`` about the axis through ``point`` along ``direction``, m.

    ``low`` and ``high`` bound the stations along the axis, from ``point``.
    """

    point: Vector
    direction: Vector
    radius: float
    low: float = -np.inf
    high: float = np.inf

    def holds(self, points: Floats, tolerance: float) -> Bools:
        along, out = self._split(points)
        inside = (along >= self.low - tolerance) & (along <= self.high + tolerance)
        return np.asarray(inside & (np.abs(np.linalg.norm(out, axis=1) - self.radius) <= tolerance))

    def faces(self, points: Floats, normals: Floats) -> Bools:
        """The facets' normals must point along the radius, give or take a coarse facet."""
        _, out = self._split(points)
        radial = np.abs(np.sum(out * normals, axis=1))
        return np.asarray(radial > 0.5 * np.linalg.norm(out, axis=1))

    def _split(self, points: Floats) -> tuple[Floats, Floats]:
        axis, rest = _unit(self.direction), points - np.array(self.point)
        along = rest @ axis
        return along, rest - along[:, None] * axis


@dataclass(frozen=True)
class Rectangle:
    """A rectangle of ``length`` along ``along`` by ``width``, cut into a flat face, m."""

    centre: Vector
    normal: Vector
    along: Vector
    length: float
    width: float

    def holds(self, points: Floats, tolerance: float) -> Bools:
        n, x = _unit(self.normal), _unit(self.along)
        rest = points - np.array(self.centre)
        half = np.array([self.length / 2, self.width / 2, 0.0]) + tolerance
        seen = np.abs(rest @ np.column_stack((x, np.cross(n, x), n)))
        return np.asarray(np.all(seen <= half, axis=1))

    def faces(self, points: Floats, normals: Floats) -> Bools:
        return Plane(self.centre, self.normal).faces(points, normals)


@dataclass(frozen=True)
class Ring:
    """A ring, such as a washer leaves, cut into a flat face; radii in m, inner may be 0."""

    centre: Vector
    normal: Vector
    inner: float
    outer: float

    def holds(self, points: Floats, tolerance: float) -> Bools:
        rest = points - np.array(self.centre)
        height = rest @ _unit(self.normal)
        radius = np.linalg.norm(rest - height[:, None] * _unit(self.normal), axis=1)
        inside = (radius >= self.inner - tolerance) & (radius <= self.outer + tolerance)
        return np.asarray(inside & (np.abs(height) <= tolerance))

    def faces(self, points: Floats, normals: Floats) -> Bools:
        return Plane(self.centre, self.normal).faces(points, normals)


@dataclass(frozen=True)
class Surface:
    """Any surface on which ``distance`` of points (k, 3) is (k,) 0 m."""

    distance: Callable[[Floats], Floats]

    def holds(self, points: Floats, tolerance: float) -> Bools:
        return np.asarray(np.abs(self.distance(points)) <= tolerance)

    def faces(self, points: Floats, normals: Floats) -> Bools:
        del normals
        return np.ones(len(points), dtype=np.bool_)


def pick(
    regions: Mapping[str, "Region | tuple[Region, ...]"],
    nodes: Floats,
    triangles: Ints,
    group: Ints,
) -> dict[str, Ints]:
    """Rows of ``triangles`` (t, 3) of each named face; ``group`` (t,) numbers the modelled faces.

    A modelled face is taken when all its triangles lie on the region. Raises AnalysisError for
    every name that catches no face at once.
    """
    tolerance = 1e-6 * float(np.max(np.ptp(nodes, axis=0)))
    found = {
        name: np.flatnonzero(_caught(region, nodes, triangles, group, tolerance))
        for name, region in regions.items()
    }
    missing = sorted(name for name, rows in found.items() if not rows.size)
    if missing:
        raise AnalysisError(
            "no face of the solid lies on: "
            + "; ".join(f"{name} ({regions[name]})" for name in missing)
            + ". Check its place and size, or cut its outline into the face"
        )
    return found


def parts_of(region: "Region | tuple[Region, ...]") -> tuple[Region, ...]:
    """One name may stand for several regions, such as four bores."""
    return region if isinstance(region, tuple) else (region,)


def _caught(
    region: "Region | tuple[Region, ...]",
    nodes: Floats,
    triangles: Ints,
    group: Ints,
    tolerance: float,
) -> Bools:
    normal = area_vectors(nodes, triangles)
    normal = normal / np.linalg.norm(normal, axis=1)[:, None]
    middle = nodes[triangles].mean(axis=1)
    taken = np.zeros(len(triangles), dtype=np.bool_)
    for part in parts_of(region):
        on = part.holds(nodes, tolerance)[triangles].all(axis=1) & part.faces(middle, normal)
        missed = np.bincount(group, ~on, minlength=int(group.max()) + 1)
        taken |= (missed == 0)[group]
    return taken


def _unit(vector: Vector) -> Floats:
    found = np.array(vector, np.float64)
    return np.asarray(found / np.linalg.norm(found))
