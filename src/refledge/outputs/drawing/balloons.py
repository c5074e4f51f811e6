"""Numbers in circles beside a view, each with a leader to its body."""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from refledge.outputs.drawing.lanes import spread
from refledge.outputs.drawing.marks import Mark, Text, arrow, line, ring
from refledge.outputs.drawing.whole import Target, WholeView
from refledge.typed import Floats

RADIUS = 3.3
"""Of the circle, mm."""
PITCH = 8.0
"""Least distance between the middles of two, mm."""
_NOTHING = 1e-9
"""mm4: a leader whose end lies on another only touches it."""
_ORDER = ("above", "left", "front")
_ENOUGH = 0.4
"""A view that shows this share of what another shows of a body is taken before it: our choice."""


@dataclass(frozen=True, eq=False)
class Balloon:
    """One number and the place on the view that it points at."""

    number: int
    at: Floats
    """(2,), m."""


def shared_out(
    views: Mapping[str, WholeView], numbers: Mapping[str, int]
) -> dict[str, tuple[Balloon, ...]]:
    """Every body's number to the first view, from above first, that shows it well."""
    found: dict[str, list[Balloon]] = {name: [] for name in views}
    for key, number in numbers.items():
        shown = {name: _most(views[name].targets.get(key, ())) for name in _ORDER}
        best = max(shown.values())
        if best <= 0.0:
            continue
        name = next(each for each in _ORDER if shown[each] >= _ENOUGH * best)
        found[name].append(Balloon(number, _rightmost(views[name].targets[key])))
    return {name: tuple(each) for name, each in found.items()}


def unseen(views: Mapping[str, WholeView], numbers: Mapping[str, int]) -> tuple[int, ...]:
    """Numbers that no view shows."""
    return tuple(
        number
        for key, number in numbers.items()
        if not any(key in view.targets for view in views.values())
    )


def _most(targets: tuple[Target, ...]) -> float:
    return max((each.shown for each in targets), default=0.0)


def _rightmost(targets: tuple[Target, ...]) -> Floats:
    """Of the copies that show well, the one nearest to the balloons."""
    well = [each for each in targets if each.shown >= _ENOUGH * _most(targets)]
    return max(well, key=lambda each: float(each.at[0])).at


def column_places(heights: list[float]) -> list[float]:
    """Where the balloons of leaders from ``heights`` (rising) stand, mm."""
    return spread(heights, [PITCH] * len(heights))


def column(balloons: list[tuple[int, float, float]], x: float) -> list[Mark]:
    """Balloons one over another with their middles at ``x``; each is (number, x, y) of its end."""
    places = column_places(sorted(each[2] for each in balloons))
    marks: list[Mark] = []
    for (number, at, up), y in zip(_untangled(balloons, x, places), places, strict=True):
        way = np.array([at - x, up - y])
        rim = np.array([x, y]) + RADIUS * way / np.linalg.norm(way)
        edge = (float(rim[0]), float(rim[1]))
        marks += [ring(x, y, RADIUS), line("thin", edge, (at, up)), arrow((at, up), edge, 2.0)]
        marks.append(Text(x, y - 1.25, str(number), anchor="middle"))
    return marks


def _untangled(
    balloons: list[tuple[int, float, float]], x: float, places: list[float]
) -> list[tuple[int, float, float]]:
    """In the order of ``places`` so that no two leaders cross.

    Two that cross change places, which makes both together shorter; so it ends.
    """
    order = sorted(balloons, key=lambda each: (each[2], each[1]))
    crossed = True
    while crossed:
        crossed = False
        for k, j in combinations(range(len(order)), 2):
            a, b = order[k][1:], order[j][1:]
            if _cross(a, (x, places[k]), b, (x, places[j])):
                order[k], order[j], crossed = order[j], order[k], True
    return order


Point = tuple[float, float]


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Whether the line from a to b passes the one from c to d, ends left out."""
    return (
        _side(a, b, c) * _side(a, b, d) < -_NOTHING and _side(c, d, a) * _side(c, d, b) < -_NOTHING
    )


def _side(a: Point, b: Point, c: Point) -> float:
    """Twice the area of the triangle, mm2: above 0 where c lies left of a to b."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
