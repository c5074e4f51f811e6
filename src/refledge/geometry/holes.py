"""Holes in flat parts and the plastic that must stay between them."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot

import numpy as np

from refledge.errors import GeometryError
from refledge.geometry.profile import Loop, Point, circle, polyline
from refledge.typed import Floats

LEAST_LIGAMENT = 0.8e-3
"""Least plastic between two holes, or a hole and an edge, m: two lines of the usual nozzle."""


@dataclass(frozen=True)
class Hole:
    """A round hole in a plate; centre and diameter in m."""

    centre: Point
    diameter: float
    name: str

    @property
    def loop(self) -> Loop:
        return circle(self.centre, self.diameter)


def check_holes(part: str, outline: Loop, holes: Sequence[Hole]) -> None:
    """Raise GeometryError where two holes, or a hole and the outline, leave too little plastic."""
    edge = polyline(outline)
    for i, hole in enumerate(holes):
        for other in holes[i + 1 :]:
            apart = hypot(hole.centre[0] - other.centre[0], hole.centre[1] - other.centre[1])
            _least(part, hole, f"{other.name} hole", apart - other.diameter / 2)
        inside = _inside(edge, hole.centre)
        _least(part, hole, "edge", _distance(edge, hole.centre) if inside else 0.0)


def _least(part: str, hole: Hole, what: str, distance: float) -> None:
    ligament = distance - hole.diameter / 2
    if ligament < LEAST_LIGAMENT:
        x, y = (1e3 * each for each in hole.centre)
        raise GeometryError(
            f"{part}: {ligament * 1e3:.2f} mm of plastic between the {hole.name} hole at "
            f"({x:.1f}, {y:.1f}) mm and the {what}; at least {LEAST_LIGAMENT * 1e3:.1f} mm needed"
        )


def _distance(edge: Floats, point: Point) -> float:
    a, b = edge, np.roll(edge, -1, axis=0)
    d = b - a
    t = np.clip(((np.array(point) - a) * d).sum(1) / np.maximum((d * d).sum(1), 1e-18), 0, 1)
    return float(np.min(np.linalg.norm(a + t[:, None] * d - np.array(point), axis=1)))


def _inside(edge: Floats, point: Point) -> bool:
    """Even-odd rule."""
    (x, y), a, b = point, edge, np.roll(edge, -1, axis=0)
    spans = (a[:, 1] > y) != (b[:, 1] > y)
    rise = np.where(spans, b[:, 1] - a[:, 1], 1.0)
    at = a[:, 0] + (y - a[:, 1]) / rise * (b[:, 0] - a[:, 0])
    return bool(np.count_nonzero(spans & (at > x)) % 2)
