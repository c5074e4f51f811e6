"""Least distance from the propeller discs to the parts."""

from collections.abc import Iterator, Mapping, Sequence
from weakref import WeakKeyDictionary

import numpy as np

from refledge.errors import GeometryError
from refledge.model.results import Placement, TriMesh
from refledge.typed import Floats

SPACING = 2e-3
"""Surface points stand no further apart than this, m: misses a gap by at most SPACING / 2."""

_REACH = 1.0 / np.sqrt(3.0)
"""No point of a triangle is further from its nearest corner than this share of its longest side:
the circle round an even-sided one. Nor does a distance change by more than its point moves."""
_SAME = 1e-9
"""A point must come nearer by this to be looked for: rounding in level faces is far below it, m."""

_CLOUDS: WeakKeyDictionary[TriMesh, Floats] = WeakKeyDictionary()


def disc_gap(
    placements: Sequence[Placement],
    meshes: Mapping[str, TriMesh],
    diameter: float,
    thickness: float,
) -> float:
    """Least distance from any disc (``diameter`` by ``thickness``) to any part, m; 0 if inside.

    Of surface points SPACING apart; those that cannot be the nearest are never worked out.
    """
    discs = [each.translation for each in placements if each.group == "disc"]
    parts = [each for each in placements if each.group == "part"]
    if not discs or not parts:
        raise GeometryError("no discs or no parts to measure between")
    longest = {key: _sides(_corners(meshes[key])).max(axis=1) for key in {p.key for p in parts}}
    least = float("inf")
    for nearest, disc, part in sorted(_pairs(discs, parts, meshes), key=lambda pair: pair[0]):
        if nearest - np.hypot(diameter, thickness) / 2 > least:
            break
        mesh = meshes[part.key]
        points = mesh.vertices @ part.rotation.T + (part.translation - disc)
        away = _to_disc(points, diameter, thickness)
        least = min(least, float(away.min()))
        bound = away[mesh.triangles].min(axis=1) - longest[part.key] * _REACH
        corners = points[mesh.triangles[bound < least]]
        least = _nearest(corners, diameter, thickness, least)
    return least


def _pairs(
    discs: Sequence[Floats], parts: Sequence[Placement], meshes: Mapping[str, TriMesh]
) -> Iterator[tuple[float, Floats, Placement]]:
    """Each disc's centre and part with the distance from it to the sphere round the part, m."""
    spheres = {key: _sphere(meshes[key]) for key in {each.key for each in parts}}
    for part in parts:
        centre, radius = spheres[part.key]
        placed = part.rotation @ centre + part.translation
        for disc in discs:
            yield float(np.linalg.norm(disc - placed)) - radius, disc, part


def _sphere(mesh: TriMesh) -> tuple[Floats, float]:
    """Centre (3,) and radius of a sphere that holds the mesh, m."""
    centre = (mesh.vertices.min(axis=0) + mesh.vertices.max(axis=0)) / 2
    return centre, float(np.linalg.norm(mesh.vertices - centre, axis=1).max())


def _nearest(corners: Floats, diameter: float, thickness: float, least: float) -> float:
    """``least`` or what of triangles (n, 3, 3) about a disc's centre comes nearer to it, m."""
    while len(corners):
        away = _to_disc(corners, diameter, thickness)
        least = min(least, float(away.min()))
        sides = _sides(corners)
        longest = sides.max(axis=1)
        bound = np.maximum(away.min(axis=1) - longest * _REACH, _over(corners, thickness))
        hopeful = (longest > SPACING) & (bound < least - _SAME)
        corners = _halved(corners[hopeful], sides[hopeful])
    return least


def _over(corners: Floats, thickness: float) -> Floats:
    """Least height of triangles (n, 3, 3) above or below a disc, (n,), m: a bound to distance."""
    low, high = corners[..., 2].min(axis=1), corners[..., 2].max(axis=1)
    return np.asarray(np.maximum(low, -high) - thickness / 2)


def cloud(mesh: TriMesh) -> Floats:
    """Points SPACING apart all over a mesh, (n, 3), m; worked out once for each mesh."""
    if mesh not in _CLOUDS:
        _CLOUDS[mesh] = surface_points(mesh, SPACING)
    return _CLOUDS[mesh]


def _to_disc(points: Floats, diameter: float, thickness: float) -> Floats:
    """Distance of points (..., 3) from an upright cylinder about the origin, (...), m."""
    out = np.maximum(np.hypot(points[..., 0], points[..., 1]) - diameter / 2, 0.0)
    over = np.maximum(np.abs(points[..., 2]) - thickness / 2, 0.0)
    return np.asarray(np.hypot(out, over))


def surface_points(mesh: TriMesh, spacing: float) -> Floats:
    """Points all over the surface, (n, 3), m: triangles halved down to sides of ``spacing``."""
    corners = _corners(mesh)
    kept = [mesh.vertices]
    while len(corners):
        sides = _sides(corners)
        coarse = sides.max(axis=1) > spacing
        corners = _halved(corners[coarse], sides[coarse])
        kept.append(corners[: len(corners) // 2, 1])
    return np.concatenate(kept)


def _corners(mesh: TriMesh) -> Floats:
    """Of its triangles, (n, 3, 3), m."""
    return mesh.vertices[mesh.triangles]


def _sides(corners: Floats) -> Floats:
    """Lengths from each corner of triangles (n, 3, 3) to the next, (n, 3), m."""
    edges = corners - corners[:, [1, 2, 0]]
    return np.sqrt(edges[..., 0] ** 2 + edges[..., 1] ** 2 + edges[..., 2] ** 2)


def _halved(corners: Floats, sides: Floats) -> Floats:
    """Each triangle (n, 3, 3) cut at the middle of its longest side, (2 n, 3, 3), m.

    The middle is the second corner of the first ``n``.
    """
    rows, longest = np.arange(len(corners)), sides.argmax(axis=1)
    a, b, c = (corners[rows, (longest + k) % 3] for k in range(3))
    middle = (a + b) / 2
    return np.concatenate([np.stack([a, middle, c], 1), np.stack([middle, b, c], 1)])


def rod_to_disc(ends: Floats, diameter: float, thickness: float) -> float:
    """Least distance from the line between two ends (2, 3), m, about a disc's centre, to the disc.

    Of points a quarter of SPACING apart: it misses the least by an eighth of SPACING at most.
    """
    count = 2 + int(np.linalg.norm(ends[1] - ends[0]) / (SPACING / 4))
    share = np.linspace(0.0, 1.0, count)[:, None]
    return float(_to_disc(ends[0] + share * (ends[1] - ends[0]), diameter, thickness).min())
