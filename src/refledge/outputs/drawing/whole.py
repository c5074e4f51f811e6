"""The whole airframe from three sides: visible lines of every body, and where to point at each."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from refledge.geometry import kernel
from refledge.geometry.items import make_items
from refledge.geometry.kernel import Solid, View
from refledge.model.results import Placement, TriMesh
from refledge.outputs.drawing.lines import extent, tidy
from refledge.study import Study
from refledge.typed import Floats

SIGHTS: dict[str, tuple[tuple[float, float, float], tuple[float, float, float]]] = {
    "above": ((0.0, 0.0, 1.0), (0.0, -1.0, 0.0)),
    "front": ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0)),
    "left": ((0.0, 1.0, 0.0), (-1.0, 0.0, 0.0)),
}
"""Towards the eye, and the paper's right, in body axes: from above the nose points up the paper."""


_BEHIND = 1e-4
"""Copies whose extents on the paper differ by less stand behind one another, m: our choice."""


_SLANT = 1e-4
"""Of the sight, rad: a tenth of a millimetre over a metre, and lines hidden twenty times as fast
where edges lie on one another."""


@dataclass(frozen=True, eq=False)
class Target:
    """A place on a visible line of a body, and how much of the body shows there."""

    at: Floats
    """(2,), m on the paper."""
    shown: float
    """Length of its visible lines, m."""


@dataclass(frozen=True, eq=False)
class WholeView:
    """What one sight shows."""

    name: str
    lines: tuple[Floats, ...]
    """(n, 2) each, m."""
    low: Floats
    high: Floats
    """(2,), m, without the propeller discs."""
    targets: dict[str, tuple[Target, ...]]
    """By key, one for each copy that shows."""


def flat(name: str, points: Floats) -> Floats:
    """(n, 3) or (3,) points in body axes to the paper of that sight, (n, 2) or (2,), m."""
    eye, right = (np.array(each) for each in SIGHTS[name])
    found: Floats = points @ np.stack([right, np.cross(eye, right)]).T
    return found


def drawn_places(study: Study) -> tuple[Placement, ...]:
    """What is drawn with lines: all but discs and a payload that hangs on a line."""
    slung = study.brief.payload.slung
    return tuple(
        each
        for each in study.assembly.placements
        if each.group != "disc" and not (slung and each.key == "payload")
    )


def whole_views(study: Study) -> dict[str, WholeView]:
    """All three."""
    places = drawn_places(study)
    known = {**study.solids, **make_items(study.brief)}
    found = {}
    for name in SIGHTS:
        front = foremost(name, places, study.assembly.meshes)
        bodies = [kernel.move(known[p.key], p.rotation, p.translation) for p in front]
        found[name] = _view(name, front, bodies)
    return found


def foremost(
    name: str, places: Sequence[Placement], meshes: Mapping[str, TriMesh]
) -> tuple[Placement, ...]:
    """Less the copies of a body that stand just behind another copy: same extent on the paper.

    They would show through holes at most, and removing lines that lie on one another takes long.
    """
    eye = np.array(SIGHTS[name][0])
    kept: dict[tuple[object, ...], tuple[float, Placement]] = {}
    for place in places:
        points = meshes[place.key].vertices @ place.rotation.T + place.translation
        corners = np.stack([points.min(axis=0), points.max(axis=0)])
        paper = np.sort(flat(name, corners), axis=0)
        key = (place.key, *np.round(paper / _BEHIND).astype(int).ravel().tolist())
        depth = float((points @ eye).max())
        if key not in kept or depth > kept[key][0]:
            kept[key] = (depth, place)
    return tuple(place for _, place in kept.values())


def _view(name: str, places: Sequence[Placement], bodies: Sequence[Solid]) -> WholeView:
    eye, right = _aslant(name)
    seen = [tidy(View(lines, ())).visible for lines in kernel.project_together(bodies, eye, right)]
    targets: dict[str, list[Target]] = {}
    for place, lines in zip(places, seen, strict=True):
        if lines:
            targets.setdefault(place.key, []).append(_target(lines))
    every = tuple(line for lines in seen for line in lines)
    low, high = extent(every)
    return WholeView(name, every, low, high, {key: tuple(found) for key, found in targets.items()})


def _aslant(name: str) -> tuple[list[float], list[float]]:
    """The sight turned a little about both axes of the paper, so that few edges lie on others."""
    eye, right = (np.array(each) for each in SIGHTS[name])
    turned = eye + _SLANT * (right + np.cross(eye, right))
    turned /= np.linalg.norm(turned)
    level = right - turned * (turned @ right)
    return turned.tolist(), (level / np.linalg.norm(level)).tolist()


def _target(lines: Sequence[Floats]) -> Target:
    """Half-way along the longest visible line."""
    longest = max(lines, key=_long)
    return Target(_half_way(longest), float(sum(map(_long, lines))))


def _long(line: Floats) -> float:
    return float(np.linalg.norm(np.diff(line, axis=0), axis=1).sum())


def _half_way(line: Floats) -> Floats:
    steps = np.linalg.norm(np.diff(line, axis=0), axis=1)
    walked = np.concatenate([[0.0], np.cumsum(steps)])
    half = walked[-1] / 2
    return np.array([np.interp(half, walked, line[:, k]) for k in range(2)])
