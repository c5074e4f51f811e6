"""Least distance from the propeller discs to the parts."""

from collections.abc import Mapping, Sequence
from weakref import WeakKeyDictionary

import numpy as np

from refledge.errors import GeometryError
from refledge.model.results import Placement, TriMesh
from refledge.typed import Floats

SPACING = 2e-3
"""Surface points stand no further apart than this, m: misses a gap by at most SPACING / 2."""

_CLOUDS: WeakKeyDictionary[TriMesh, Floats] = WeakKeyDictionary()


def disc_gap(
    placements: Sequence[Placement],
    meshes: Mapping[str, TriMesh],
    diameter: float,
    thickness: float,
) -> float:
    """Least distance from any disc (``diameter`` by ``thickness``) to any part, m; 0 if inside."""
    discs = [each.translation for each in placements if each.group == "disc"]
    parts = [each for each in placements if each.group == "part"]
    if not discs or not parts:
        raise GeometryError("no discs or no parts to measure between")
    clouds = {key: cloud(meshes[key]) for key in {each.key for each in parts}}
    least = float("inf")
    for part in parts:
        points = clouds[part.key] @ part.rotation.T + part.translation
        centre = points.mean(axis=0)
        reach = np.linalg.norm(points - centre, axis=1).max() + np.hypot(diameter, thickness) / 2
        for disc in discs:
            if np.linalg.norm(disc - centre) - reach > least:
                continue
            least = min(least, float(_to_disc(points - disc, diameter, thickness).min()))
    return least


def cloud(mesh: TriMesh) -> Floats:
    """Points SPACING apart all over a mesh, (n, 3), m; worked out once for each mesh."""
    if mesh not in _CLOUDS:
        _CLOUDS[mesh] = surface_points(mesh, SPACING)
    return _CLOUDS[mesh]


def _to_disc(points: Floats, diameter: float, thickness: float) -> Floats:
    """Distance of points (n, 3) from an upright cylinder about the origin, (n,), m."""
    out = np.maximum(np.hypot(points[:, 0], points[:, 1]) - diameter / 2, 0.0)
    over = np.maximum(np.abs(points[:, 2]) - thickness / 2, 0.0)
    return np.asarray(np.hypot(out, over))


def surface_points(mesh: TriMesh, spacing: float) -> Floats:
    """Points all over the surface, (n, 3), m: triangles halved down to sides of ``spacing``."""
    corners = mesh.vertices[mesh.triangles]
    kept = [mesh.vertices]
    while len(corners):
        sides = np.linalg.norm(corners - np.roll(corners, -1, axis=1), axis=2)
        coarse = sides.max(axis=1) > spacing
        corners, longest = corners[coarse], sides[coarse].argmax(axis=1)
        rows = np.arange(len(corners))
        a, b = corners[rows, longest], corners[rows, (longest + 1) % 3]
        c, middle = corners[rows, (longest + 2) % 3], (a + b) / 2
        kept.append(middle)
        corners = np.concatenate([np.stack([a, middle, c], 1), np.stack([middle, b, c], 1)])
    return np.concatenate(kept)
