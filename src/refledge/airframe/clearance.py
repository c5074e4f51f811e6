"""Plan-view geometry of the body: angles between arms, where legs stand, what meets what."""

from itertools import combinations
from math import cos, pi, sin

import numpy as np

from refledge.typed import Floats


def least_angle(angles: tuple[float, ...]) -> float:
    """Least angle between neighbouring arms, rad."""
    ordered = np.sort(np.mod(np.asarray(angles), 2 * pi))
    gaps = np.diff(np.append(ordered, ordered[0] + 2 * pi))
    return float(gaps.min())


def widest_angle(angles: tuple[float, ...]) -> float:
    """Greatest angle between neighbouring arms, rad."""
    ordered = np.sort(np.mod(np.asarray(angles), 2 * pi))
    return float(np.diff(np.append(ordered, ordered[0] + 2 * pi)).max())


def leg_arms(angles: tuple[float, ...], wanted: int) -> tuple[int, ...]:
    """Arms that carry the legs: the choice whose feet stand widest, symmetric where it can be."""
    count = min(wanted, len(angles))
    best: tuple[float, float, tuple[int, ...]] | None = None
    for chosen in combinations(range(len(angles)), count):
        picked = [angles[index] for index in chosen]
        score = (round(feet_share(picked), 9), round(_symmetry(picked), 9), chosen)
        if best is None or score[:2] > best[:2]:
            best = score
    assert best is not None  # there is at least one combination
    return best[2]


def feet_share(angles: list[float]) -> float:
    """Distance from the centre to the nearest side of the polygon of unit feet."""
    ordered = np.sort(np.mod(np.asarray(angles), 2 * pi))
    gaps = np.diff(np.append(ordered, ordered[0] + 2 * pi))
    return float(np.cos(gaps / 2).min())


def _symmetry(angles: list[float]) -> float:
    """0 for feet that mirror left to right, negative otherwise."""
    points = np.exp(1j * np.asarray(angles))
    apart = np.abs(points[:, None] - np.conj(points)[None, :]).min(axis=1)
    return -float(apart.max())


def rectangle(x0: float, x1: float, half: float, turn: float) -> Floats:
    """Corners (4, 2) of a rectangle along a ray at ``turn``."""
    corners = np.array([[x0, -half], [x1, -half], [x1, half], [x0, half]])
    rotation = np.array([[cos(turn), sin(turn)], [-sin(turn), cos(turn)]])
    turned: Floats = corners @ rotation
    return turned


def rectangles_meet(a: Floats, b: Floats, gap: float) -> bool:
    """Separating-axis test of two convex quadrilaterals, apart by at least ``gap`` or meeting."""
    for shape in (a, b):
        for side in np.roll(shape, -1, axis=0)[:2] - shape[:2]:
            normal = np.array([-side[1], side[0]]) / np.linalg.norm(side)
            pa, pb = a @ normal, b @ normal
            if pa.max() + gap <= pb.min() or pb.max() + gap <= pa.min():
                return False
    return True
