"""Turning a part on the bed so that it fits."""

from collections.abc import Iterator
from math import cos, sin

import numpy as np

from refledge.typed import Floats

STEP = 1.0
"""deg; turns tried from 0 to 180."""
AT_ONCE = 1_000_000
"""Turned points held at a time: tens of MB."""


def turned_to_fit(points: Floats, bed_length: float, bed_width: float) -> tuple[Floats, Floats]:
    """Rotation (3, 3) about z that fits the bed best, and the size (3,) m as it then lies.

    points: (n, 3), m, the part as posed for printing. The first turn that leaves the most room is
    taken; a part that fits unturned is left alone.
    """
    turns = np.radians(np.arange(0.0, 180.0, STEP))
    best, least = 0, np.inf
    for number, use in enumerate(_uses(points, turns, bed_length, bed_width)):
        if use < least - 1e-9:
            best, least = number, use
        if number == 0 and use <= 1.0:
            break
    rotation = about_z(float(turns[best]))
    return rotation, np.ptp(points @ rotation.T, axis=0)


def _uses(points: Floats, turns: Floats, bed_length: float, bed_width: float) -> Iterator[float]:
    """Share of the bed that the part takes at each turn (rad), along its worse side (1)."""
    x, y = points[:, 0], points[:, 1]
    yield float(max(np.ptp(x) / bed_length, np.ptp(y) / bed_width))  # most parts fit unturned
    step = max(1, AT_ONCE // len(points))
    for start in range(1, len(turns), step):
        c = np.cos(turns[start : start + step])[:, None]
        s = np.sin(turns[start : start + step])[:, None]
        length, width = np.ptp(c * x - s * y, axis=1), np.ptp(s * x + c * y, axis=1)
        yield from np.maximum(length / bed_length, width / bed_width).tolist()


def about_z(angle: float) -> Floats:
    """Rotation (3, 3) by ``angle`` (rad)."""
    return np.array([[cos(angle), -sin(angle), 0], [sin(angle), cos(angle), 0], [0, 0, 1.0]])
