"""Nuts in slots against figures that can be had another way."""

from math import pi, sqrt

import numpy as np
import pytest

from refledge.analysis.nuts import ledge_shear, nut_turning, slotted_pull


def test_a_slot_as_narrow_as_nothing_leaves_the_whole_post() -> None:
    assert slotted_pull(0.01, 1e-9) == pytest.approx(1 / (pi / 4 * 0.01**2), rel=1e-3)


def test_what_is_left_beside_a_slot_is_summed_right() -> None:
    """Against points thrown at the circle: area, centroid and second moment of those that stay."""
    post, width = 0.0096, 0.0058
    x, y = np.random.default_rng(7).uniform(-post / 2, post / 2, (2, 2_000_000))
    kept = (x**2 + y**2 < post**2 / 4) & ~(
        (np.abs(y) < width / 2) & (x > -(width - np.abs(y)) / sqrt(3))
    )
    area = kept.mean() * post**2
    centre = x[kept].mean()
    about = area * x[kept].var()
    wanted = 1 / area - centre * (x[kept].max() - centre) / about
    assert slotted_pull(post, width) == pytest.approx(wanted, rel=5e-3)


def test_a_wider_slot_pulls_harder() -> None:
    assert slotted_pull(0.0096, 0.006) > slotted_pull(0.0096, 0.005)


def test_a_ledge_shears_round_six_sides() -> None:
    side = 0.0055 / sqrt(3)
    assert 1 / ledge_shear(0.0055, 0.0024) == pytest.approx(6 * side * 0.0024)


def test_turning_is_the_couple_of_two_triangles_of_pressure() -> None:
    """Pressure summed along half a flat, twice."""
    width, height, pressure = 0.0055, 0.0024, 30e6
    half = width / sqrt(3) / 2
    s = (np.arange(100_000) + 0.5) / 100_000 * half
    torque = 2 * float(np.sum(pressure * s / half * s)) * height * half / 100_000
    assert nut_turning(width, height, pressure) == pytest.approx(torque, rel=1e-6)
