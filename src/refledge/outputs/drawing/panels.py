"""The views of one part: what each shows and what is to be measured in it, in m on the paper."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from refledge.geometry import kernel
from refledge.geometry.kernel import Level, Solid, View
from refledge.outputs.drawing.callouts import Called, called, mm
from refledge.outputs.drawing.lines import extent, tidy
from refledge.typed import Floats

SIGHTS: dict[str, tuple[Floats, Floats]] = {
    "front": (np.array([0.0, -1.0, 0.0]), np.array([1.0, 0.0, 0.0])),
    "top": (np.array([0.0, 0.0, 1.0]), np.array([1.0, 0.0, 0.0])),
    "left": (np.array([-1.0, 0.0, 0.0]), np.array([0.0, -1.0, 0.0])),
}
"""Towards the eye, and the paper's right, in part axes; first-angle projection (ISO 5456-2)."""
_LEAST_FACE = 2e-6
"""Flat faces smaller than this carry no dimension, m2. Our choice."""
_SAME = 2e-5
"""Places nearer than this are one dimension, m: finer than any printer."""
_FILLED = 0.8
"""A cross-section that fills less of its outline than this is drawn. Our choice."""


@dataclass(frozen=True)
class Place:
    """A dimension along one axis of the paper."""

    value: float
    """What it says, m from the datum."""
    at: float
    """m on the paper."""
    start: float
    """m on the paper across it, where its line begins."""
    weight: float
    """Which stay where there is no room for all."""


@dataclass(frozen=True, eq=False)
class Panel:
    """One view or section."""

    name: str
    view: View
    cut: tuple[Floats, ...]
    """Outlines of the cut face, hatched."""
    low: Floats
    high: Floats
    """(2,), m."""
    along: tuple[Place, ...] = ()
    up: tuple[Place, ...] = ()
    notes: tuple[tuple[str, Floats, float], ...] = ()
    """Words, (2,) m, radius m."""
    crosses: tuple[tuple[Floats, float], ...] = ()
    axes: tuple[tuple[Floats, Floats], ...] = ()

    @property
    def size(self) -> Floats:
        size: Floats = self.high - self.low
        return size


@dataclass(frozen=True, eq=False)
class Part:
    """A part as the drawing sees it."""

    solid: Solid
    low: Floats
    high: Floats
    """(3,), m."""
    round_faces: tuple[Called, ...]
    levels: tuple[Level, ...]
    flat: bool
    """Of one thickness along z, all holes upright: its edges need no hidden lines."""

    @property
    def datum(self) -> Floats:
        """(3,): the part's own origin where it lies in the part, else the least corner, m."""
        inside = (self.low - _SAME <= 0) & (self.high + _SAME >= 0)
        found: Floats = np.where(inside, 0.0, self.low)
        return found


def part_of(solid: Solid) -> Part:
    """Measure a solid for its drawing."""
    low, high = kernel.bounds(solid)
    levels, found = kernel.levels(solid), called(solid)
    upright = [each for each in levels if abs(each.normal[2]) > 0.999]
    heights = {round(float(each.place[2]) / _SAME) for each in upright}
    flat = len(heights) == 2 and all(each.axis == 2 and not each.blind for each in found)
    return Part(solid, low, high, found, levels, flat)


def paper(name: str, points: Floats) -> Floats:
    """(n, 3) or (3,) points in part axes to the paper of that sight, (n, 2) or (2,)."""
    eye, right = SIGHTS[name]
    found: Floats = points @ np.stack([right, np.cross(eye, right)]).T
    return found


def three_views(part: Part) -> dict[str, Panel]:
    """Front, top and left."""
    return {
        "front": _panel(part, "front", up=_places(part, 2, "front")),
        "top": _panel(part, "top", along=_places(part, 0, "top"), up=_places(part, 1, "top")),
        "left": _panel(part, "left"),
    }


def _panel(
    part: Part, name: str, along: tuple[Place, ...] = (), up: tuple[Place, ...] = ()
) -> Panel:
    view = tidy(kernel.project(part.solid, *(each.tolist() for each in SIGHTS[name])))
    if part.flat and name != "top":
        view = View(view.visible, ())
    low, high = _outer(part, name)
    axis = int(np.argmax(np.abs(SIGHTS[name][0])))
    facing = [each for each in part.round_faces if each.axis == axis]
    return Panel(
        name, view, (), low, high, along, up,
        tuple(_note(name, each) for each in facing),
        tuple((paper(name, p), c.radius) for c in facing if c.whole for p in c.places),
        () if part.flat else tuple(_axes(part, name, axis)),
    )  # fmt: skip


def _outer(part: Part, name: str) -> tuple[Floats, Floats]:
    """Least and greatest corner of the whole part on the paper, (2,), m; chords fall short."""
    corners = paper(name, np.stack([part.low, part.high]))
    return corners.min(axis=0), corners.max(axis=0)


def _note(name: str, each: Called) -> tuple[str, Floats, float]:
    """Points at the outermost of the group, upper right."""
    spots = [paper(name, place) for place in each.points_at]
    at = max(spots, key=lambda p: (round(float(p[0] + p[1]) / _SAME), float(p[1])))
    return each.words, at, each.radius if each.whole else 0.0


def _axes(part: Part, name: str, axis: int) -> Iterable[tuple[Floats, Floats]]:
    """Centre lines of holes and pins seen from the side, each once."""
    done = set()
    for each in part.round_faces:
        if not each.whole or each.axis in (axis, -1) or each.length == 0:
            continue
        way = np.eye(3)[each.axis]
        for place in each.places:
            ends = [paper(name, place + s * (each.length / 2 + 1.5e-3) * way) for s in (-1, 1)]
            key = tuple(int(c) for c in np.round(np.concatenate(ends) / _SAME))
            if key not in done:
                done.add(key)
                yield ends[0], ends[1]


def _places(part: Part, axis: int, name: str) -> tuple[Place, ...]:
    """Dimensions along a part axis in the view ``name``: faces and centres, from the datum."""
    across = next(a for a in range(3) if a != axis and abs(SIGHTS[name][0][a]) < 0.5)
    found: list[Place] = []
    for end in (part.low, part.high):
        found.append(_place(part, axis, float(end[axis]), float(part.low[across]), 1e3))
    for each in part.round_faces:
        if each.whole and each.axis not in (axis, -1):
            found += [
                _place(part, axis, float(p[axis]), float(p[across]) - 0.0, 100.0)
                for p in each.places
            ]
    for face in part.levels:
        if abs(face.normal[axis]) > 0.9999 and face.area >= _LEAST_FACE:
            at = float(face.place[axis])
            found.append(_place(part, axis, at, float(part.low[across]), 1e6 * face.area / 1e4))
    return _once(found)


def _place(part: Part, axis: int, value: float, start: float, weight: float) -> Place:
    return Place(value - float(part.datum[axis]), value, start, weight)


def _once(found: Iterable[Place]) -> tuple[Place, ...]:
    """Places that coincide become one, which starts nearest to the lane."""
    kept: list[Place] = []
    for each in sorted(found, key=lambda p: p.at):
        if kept and each.at - kept[-1].at < _SAME:
            last = kept.pop()
            kept.append(
                Place(
                    last.value, last.at, min(last.start, each.start), max(last.weight, each.weight)
                )
            )
        else:
            kept.append(each)
    return tuple(kept)


def long_section(part: Part) -> tuple[Panel, float] | None:
    """A-A, square to y, with its place; None where it would show nothing that the views do not."""
    hidden = [c for c in part.round_faces if c.whole and (c.axis == 0 or (c.axis == 2 and c.blind))]
    worth: dict[float, float] = {}
    for each in hidden:
        for place in each.places:
            y = round(float(place[1]), 6)
            worth[y] = worth.get(y, 0.0) + (each.length or each.radius)
    if not worth:
        return None
    y = min(worth, key=lambda at: (-round(worth[at], 6), abs(at), at))
    origin = np.array([0.0, y, 0.0])
    return _section(part, "front", "A–A", origin), y


def cross_section(part: Part) -> tuple[Panel, float] | None:
    """B-B, square to x at the middle of a long hollow part, with its place."""
    size = part.high - part.low
    if size[0] < 2.5 * max(size[1], size[2]):
        return None
    x = float((part.low[0] + part.high[0]) / 2)
    panel = _section(part, "left", "B–B", np.array([x, 0.0, 0.0]))
    if not panel.cut:
        return None
    low, high = extent(panel.cut)
    area = kernel.section(part.solid, (x, 0.0, 0.0), (1.0, 0.0, 0.0)).size
    if area > _FILLED * float(np.prod(high - low)):
        return None
    along, up = (tuple(_edges(panel.cut, axis, low)) for axis in (0, 1))
    return (Panel(panel.name, panel.view, panel.cut, panel.low, panel.high, along, up), x)


def _section(part: Part, sight: str, name: str, origin: Floats) -> Panel:
    eye, right = (each.tolist() for each in SIGHTS[sight])
    rest = kernel.behind(part.solid, origin.tolist(), eye)
    seen = tidy(kernel.project(rest, eye, right))
    cut = kernel.cut_outlines(part.solid, origin.tolist(), eye, right)
    low, high = _outer(part, sight) if name == "A–A" else extent(seen.visible)
    axis = int(np.argmax(np.abs(SIGHTS[sight][0])))
    axes = () if sight == "left" else tuple(_near(_axes(part, sight, axis), part, origin, axis))
    return Panel(name, View(seen.visible, ()), cut, low, high, axes=axes)


def _near(
    lines: Iterable[tuple[Floats, Floats]], part: Part, origin: Floats, axis: int
) -> Iterable[tuple[Floats, Floats]]:
    """Centre lines of holes that the section cuts."""
    spots = [
        p for c in part.round_faces if c.whole for p in c.places
        if abs(float(p[axis] - origin[axis])) < 1e-6
    ]  # fmt: skip
    for a, b in lines:
        middle = (a + b) / 2
        if any(np.linalg.norm(paper("front", p) - middle) < 1e-5 for p in spots):
            yield a, b


def _edges(loops: tuple[Floats, ...], axis: int, low: Floats) -> Iterable[Place]:
    """Straight edges of a cut face square to an axis of the paper, from its least corner."""
    found = []
    for loop in loops:
        after = np.roll(loop, -1, axis=0)
        level = np.abs(after[:, axis] - loop[:, axis]) < 1e-7
        long = np.abs(after - loop).max(axis=1) > 2e-4
        for a, b in zip(loop[level & long], after[level & long], strict=True):
            start = min(float(a[1 - axis]), float(b[1 - axis]))
            at = float(a[axis])
            found.append(Place(at - float(low[axis]), at, start, float(np.abs(b - a).max())))
    return _once(found)


def words_of(place: Place) -> str:
    """What a dimension says."""
    return mm(place.value)
