"""Named faces on a triangle surface: their outlines become edges, their triangles get a mark.

Corners near an outline are moved onto it within the flat face; edges that still cross it are cut
there. The outline is followed by chords, as everywhere on straight-sided elements.
"""

from collections.abc import Callable, Mapping
from dataclasses import replace

import numpy as np

from refledge.errors import AnalysisError
from refledge.solids.regions import Plane, Rectangle, Region, Ring, parts_of
from refledge.solids.remesh_moves import split
from refledge.solids.remesh_skin import (
    FREE,
    Skin,
    edges_of,
    kept_edges,
    kinds_of,
    lengths_of,
    normals_of,
)
from refledge.typed import Bools, Floats, Ints

NEAR = 0.3
"""Of the edge length: corners this near an outline are moved onto it (a choice)."""
MOST_NAMES = 60
Outline = Callable[[Floats], Floats]
"""Points (k, 3) to distances (k,), m: below 0 inside."""


def marked(
    skin: Skin, regions: Mapping[str, Region | tuple[Region, ...]], size: float, near: float
) -> Skin:
    """Labels whose bit k is set on the k-th region. near: m within which a point lies on it.

    AnalysisError for every region that catches no triangle.
    """
    if len(regions) > MOST_NAMES:
        raise AnalysisError(f"{len(regions)} named faces; at most {MOST_NAMES} on a surface")
    missing = []
    for number, (name, region) in enumerate(regions.items()):
        for part in parts_of(region):
            outlines = outlines_of(part)
            for outline in outlines:
                skin = _cut(skin, part, outline, size, near)
            inside = _inside(skin, part, outlines, near)
            skin = replace(skin, label=skin.label | np.where(inside, 1 << number, 0))
            if not inside.any():
                missing.append(f"{name} ({part})")
    if missing:
        raise AnalysisError(
            "no face of the surface lies on: " + "; ".join(missing) + ". Something covers it, or "
            "the part has no plastic there"
        )
    return skin


def outlines_of(part: Region) -> tuple[Outline, ...]:
    """Borders to be cut in; none for surfaces that end by themselves."""
    if isinstance(part, Rectangle):
        return (lambda p: _beyond(p, part),)
    if isinstance(part, Ring):
        outer: tuple[Outline, ...] = (lambda p: _radius(p, part) - part.outer,)
        inner: tuple[Outline, ...] = (lambda p: part.inner - _radius(p, part),)
        return outer + inner if part.inner > 0 else outer
    return ()


def _beyond(points: Floats, part: Rectangle) -> Floats:
    normal, x = (np.array(v) / np.linalg.norm(v) for v in (part.normal, part.along))
    seen = np.abs((points - np.array(part.centre)) @ np.column_stack((x, np.cross(normal, x))))
    return np.asarray(np.max(seen - np.array([part.length, part.width]) / 2, axis=1))


def _radius(points: Floats, part: Ring) -> Floats:
    normal = np.array(part.normal) / np.linalg.norm(part.normal)
    rest = points - np.array(part.centre)
    return np.asarray(np.linalg.norm(rest - (rest @ normal)[:, None] * normal, axis=1))


def _flat(skin: Skin, part: Rectangle | Ring, near: float) -> Bools:
    """(t,): triangles in the plane of the part that face its way."""
    plane = Plane(part.centre, part.normal)
    normal, _ = normals_of(skin.points, skin.tris)
    lies = plane.holds(skin.points, near)[skin.tris].all(axis=1)
    return np.asarray(lies & plane.faces(skin.points[skin.tris].mean(axis=1), normal))


def _inside(skin: Skin, part: Region, outlines: tuple[Outline, ...], near: float) -> Bools:
    if isinstance(part, Rectangle | Ring):
        found = _flat(skin, part, near)
        for outline in outlines:
            found &= (outline(skin.points) <= near)[skin.tris].all(axis=1)
            found &= outline(skin.points[skin.tris].mean(axis=1)) < 0
        return found
    normal, _ = normals_of(skin.points, skin.tris)
    lies = part.holds(skin.points, near)[skin.tris].all(axis=1)
    return np.asarray(lies & part.faces(skin.points[skin.tris].mean(axis=1), normal))


def _cut(skin: Skin, part: Region, outline: Outline, size: float, near: float) -> Skin:
    """The outline made a line of edges."""
    assert isinstance(part, Rectangle | Ring)
    skin = _snapped(skin, part, outline, size, near)
    flat = _flat(skin, part, near)
    value = outline(skin.points)
    side = np.where(np.abs(value) <= near / 10, 0, np.sign(value))
    edges = edges_of(skin.tris)
    crossed = side[edges.ends[:, 0]] * side[edges.ends[:, 1]] < 0
    at = np.flatnonzero(crossed & flat[edges.sides].any(axis=1))
    if not at.size:
        return skin
    return split(skin, edges, at, _crossings(skin.points, edges.ends[at], outline))


def _crossings(points: Floats, ends: Ints, outline: Outline) -> Floats:
    """(k, 3): where edges cross the outline, by bisection."""
    low, high = points[ends[:, 0]].copy(), points[ends[:, 1]].copy()
    sign = np.sign(outline(low))
    for _ in range(40):
        middle = (low + high) / 2
        same = (np.sign(outline(middle)) == sign)[:, None]
        low, high = np.where(same, middle, low), np.where(same, high, middle)
    return np.asarray((low + high) / 2)


def _snapped(
    skin: Skin, part: Rectangle | Ring, outline: Outline, size: float, near: float
) -> Skin:
    """Free corners of the flat face near the outline moved onto it, unless a triangle turns."""
    flat = _flat(skin, part, near)
    edges = edges_of(skin.tris)
    free = kinds_of(skin, edges, kept_edges(skin, edges)) == FREE
    free[skin.tris[~flat].ravel()] = False
    touching = np.full(len(skin.points), np.inf)
    for column in edges.ends.T:
        np.minimum.at(touching, column, lengths_of(skin.points, edges.ends))
    value = outline(skin.points)
    rows = np.flatnonzero(free & (np.abs(value) < NEAR * np.minimum(touching, size)))
    points = skin.points.copy()
    points[rows] -= value[rows, None] * _slope(skin.points[rows], outline, part)
    if isinstance(part, Rectangle):
        _corners(points, np.flatnonzero(free), part, size)
    for _ in range(10):
        old, _ = normals_of(skin.points, skin.tris)
        new, area = normals_of(points, skin.tris)
        bad = (np.sum(old * new, axis=1) < 0.5) | (area < 0.02 * touching[skin.tris].min(1) ** 2)
        bad &= np.any(points[skin.tris] != skin.points[skin.tris], axis=(1, 2))
        if not bad.any():
            break
        points[skin.tris[bad].ravel()] = skin.points[skin.tris[bad].ravel()]
    return replace(skin, points=points)


def _corners(points: Floats, free: Ints, part: Rectangle, reach: float) -> None:
    """The free corner of the surface nearest to each corner of the part is moved there."""
    normal, x = (np.array(v) / np.linalg.norm(v) for v in (part.normal, part.along))
    for across, along in ((1, 1), (1, -1), (-1, 1), (-1, -1)):
        y = np.cross(normal, x) * along * part.width / 2
        place = np.array(part.centre) + across * part.length / 2 * x + y
        away = np.linalg.norm(points - place, axis=1)
        if free.size and away.min() > 1e-9:
            nearest = free[np.argmin(away[free])]
            if away[nearest] < reach:
                points[nearest] = place


def _slope(points: Floats, outline: Outline, part: Rectangle | Ring) -> Floats:
    """(k, 3): direction in the plane in which the distance grows, by central differences."""
    normal = np.array(part.normal) / np.linalg.norm(part.normal)
    step, found = 1e-7, np.zeros_like(points)
    for axis in np.eye(3):
        way = axis - (axis @ normal) * normal
        found += (
            (((outline(points + step * way) - outline(points - step * way)) / (2 * step))[:, None])
            * axis
        )
    return np.asarray(found - (found @ normal)[:, None] * normal)
