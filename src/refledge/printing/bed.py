"""Turning a part on the bed so that it fits."""

from math import cos, radians, sin

import numpy as np

from refledge.typed import Floats

STEP = 1.0
"""deg; turns tried from 0 to 180."""


def turned_to_fit(points: Floats, bed_length: float, bed_width: float) -> tuple[Floats, Floats]:
    """Rotation (3, 3) about z that fits the bed best, and the size (3,) m as it then lies.

    points: (n, 3), m, the part as posed for printing. The first turn that leaves the most room is
    taken; a part that fits unturned is left alone.
    """
    best: tuple[float, Floats, Floats] | None = None
    for angle in np.arange(0.0, 180.0, STEP):
        rotation = about_z(radians(float(angle)))
        size = np.ptp(points @ rotation.T, axis=0)
        use = max(size[0] / bed_length, size[1] / bed_width)
        if angle == 0.0 and use <= 1.0:
            return rotation, size
        if best is None or use < best[0] - 1e-9:
            best = (use, rotation, size)
    assert best is not None  # the loop runs
    return best[1], best[2]


def about_z(angle: float) -> Floats:
    """Rotation (3, 3) by ``angle`` (rad)."""
    return np.array([[cos(angle), -sin(angle), 0], [sin(angle), cos(angle), 0], [0, 0, 1.0]])
