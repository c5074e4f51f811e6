"""Turning parts on the bed: the diagonal is found, and what fits is left alone."""

from math import hypot, radians, sqrt

import numpy as np
import pytest

from refledge.printing.bed import about_z, turned_to_fit


def bar(length: float, width: float = 0.0) -> np.ndarray:
    return np.array([[x, y, z] for x in (0.0, length) for y in (0.0, width) for z in (0.0, 0.01)])


def test_a_part_that_fits_is_left_alone() -> None:
    """Also where a turn would leave more room."""
    rotation, size = turned_to_fit(bar(0.24, 0.01), 0.25, 0.22)
    np.testing.assert_array_equal(rotation, np.eye(3))
    np.testing.assert_allclose(size, [0.24, 0.01, 0.01])


def test_a_long_thin_part_finds_the_diagonal() -> None:
    """Up to the diagonal, less what a step of a degree may miss: half a degree, under 1 %."""
    diagonal = hypot(0.25, 0.22)
    _, size = turned_to_fit(bar(0.99 * diagonal), 0.25, 0.22)
    assert (size[:2] <= [0.25, 0.22]).all()
    _, over = turned_to_fit(bar(1.01 * diagonal), 0.25, 0.22)
    assert (over[:2] > [0.25, 0.22]).any()


def test_on_a_square_bed_the_turn_is_45_degrees() -> None:
    rotation, size = turned_to_fit(bar(0.28), 0.2, 0.2)
    np.testing.assert_allclose(rotation, about_z(radians(45.0)), atol=1e-12)
    np.testing.assert_allclose(size[:2], 0.28 / sqrt(2))


def test_a_part_longer_than_the_width_is_turned_to_the_length() -> None:
    _, size = turned_to_fit(bar(0.1, 0.24), 0.25, 0.12)
    assert size[0] <= 0.25
    assert size[1] <= 0.12


def test_the_size_is_that_of_the_turned_part() -> None:
    points = bar(0.26, 0.03)
    rotation, size = turned_to_fit(points, 0.25, 0.22)
    np.testing.assert_allclose(size, np.ptp(points @ rotation.T, axis=0))
    assert size[2] == pytest.approx(0.01)
    assert np.linalg.det(rotation) == pytest.approx(1.0)
