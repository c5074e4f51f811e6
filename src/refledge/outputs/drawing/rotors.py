"""Numbers and turns of the rotors on their discs, where no line passes through them."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from refledge.outputs.drawing.marks import Box, Line, Mark, Text
from refledge.outputs.drawing.whole import flat
from refledge.study import Study
from refledge.typed import Floats

PITCH = 3.8
"""Between the baselines of two rotors on one arm, mm."""
CLEAR = 0.6
"""Least paper between words and a line, mm."""
AWAY = (0.62, 0.5, 0.75)
"""Places tried from the motor out, in radii of the disc: our choice."""
ASIDE = tuple(np.radians([0.0, 25.0, -25.0, 50.0, -50.0, 75.0, -75.0, 100.0, -100.0]))
"""Directions tried, away from that of the arm, rad: our choice."""


@dataclass(frozen=True, eq=False)
class Label:
    """What one disc says, and where it may stand, best first."""

    words: tuple[str, ...]
    places: Floats
    """(n, 2), m from above."""


def rotor_labels(study: Study) -> Iterator[Label]:
    """One of each arm: its rotors' numbers and turns, upper first."""
    layout, radius = study.layout, study.brief.propeller.diameter / 2
    for arm in range(layout.n_arms):
        rotors = [k for k in range(layout.n_rotors) if layout.arm_of_rotor[k] == arm]
        middle = flat("above", layout.positions[rotors[0]])
        outwards = float(np.arctan2(middle[1], middle[0]))
        places = [
            middle + away * radius * np.array([np.cos(turn), np.sin(turn)])
            for aside in ASIDE
            for away in AWAY
            for turn in [outwards + aside]
        ]
        words = tuple(f"{k + 1} {'CCW' if layout.spin[k] > 0 else 'CW'}" for k in rotors)
        yield Label(words, np.array(places))


Point = tuple[float, float]


def set_down(
    words: Sequence[str], places: Sequence[Point], marks: Sequence[Mark]
) -> tuple[Text, ...]:
    """The words at the first of ``places`` (mm) through which nothing passes, or at that with the
    least lines and texts in the way."""
    ends = segments(marks)
    boxes = [mark.box for mark in marks if isinstance(mark, Text)]

    def in_the_way(texts: tuple[Text, ...]) -> int:
        room = around(texts)
        met = sum(_share(room, other) for other in boxes)
        return met + int(np.count_nonzero(passing(ends, room)))

    tried = (_texts(words, *place) for place in places)
    return min(tried, key=in_the_way)


def _texts(words: Sequence[str], x: float, y: float) -> tuple[Text, ...]:
    first = y + PITCH / 2 * (len(words) - 1) - 1.25
    return tuple(
        Text(x, first - PITCH * k, each, 2.5, "middle", bold=True) for k, each in enumerate(words)
    )


def around(texts: Sequence[Text]) -> Box:
    """What texts cover together and have to keep clear, mm."""
    boxes = np.array([each.box for each in texts])
    left, bottom = boxes[:, :2].min(axis=0) - CLEAR
    right, top = boxes[:, 2:].max(axis=0) + CLEAR
    return float(left), float(bottom), float(right), float(top)


def segments(marks: Sequence[Mark]) -> Floats:
    """(n, 2, 2), mm: every straight piece of the lines."""
    lines = [mark.points for mark in marks if isinstance(mark, Line)]
    pieces = [np.stack([each[:-1], each[1:]], axis=1) for each in lines]
    return np.concatenate([np.zeros((0, 2, 2)), *pieces])


def passing(ends: Floats, room: Box) -> Floats:
    """(n,): which of the pieces ``ends`` (n, 2, 2), mm, pass through a box.

    By what each leaves of itself between the box's sides, one pair after the other (Liang and
    Barsky, "A New Concept and Method for Line Clipping", 1984; from memory).
    """
    start, way = ends[:, 0], ends[:, 1] - ends[:, 0]
    low, high = np.array(room[:2]) - start, np.array(room[2:]) - start
    still = np.abs(way) < 1e-12
    with np.errstate(divide="ignore", invalid="ignore"):
        a, b = low / way, high / way
    inside = (low <= 0.0) & (high >= 0.0)
    enter = np.where(still, np.where(inside, 0.0, np.inf), np.minimum(a, b)).max(axis=1)
    leave = np.where(still, np.where(inside, 1.0, -np.inf), np.maximum(a, b)).min(axis=1)
    met: Floats = np.maximum(enter, 0.0) <= np.minimum(leave, 1.0)
    return met


def _share(a: Box, b: Box) -> bool:
    return min(a[2], b[2]) > max(a[0], b[0]) and min(a[3], b[3]) > max(a[1], b[1])
