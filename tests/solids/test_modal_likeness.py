"""Likeness of shapes: one by one, and within the span of modes that mix."""

import numpy as np
import pytest

from refledge.solids.modal import in_span, mac

DRAW = np.random.default_rng(4)
GROUP = DRAW.standard_normal((3, 5, 3))
WEIGHT = DRAW.uniform(0.1, 2.0, (5, 1))


def test_a_mixture_of_modes_is_wholly_like_their_group() -> None:
    mixed = 0.6 * GROUP[0] - 0.7 * GROUP[1] + 0.4 * GROUP[2]
    assert in_span(mixed, GROUP, WEIGHT) == pytest.approx(1.0)
    assert mac(mixed[None], GROUP, WEIGHT).max() < 0.8


def test_with_one_shape_it_is_the_assurance_criterion() -> None:
    shape = GROUP[0] + GROUP[1]
    plain = mac(shape[None], GROUP[:1], WEIGHT)[0, 0]
    assert 0.001 < plain < 0.9
    assert in_span(shape, GROUP[:1], WEIGHT) == pytest.approx(plain)


def test_what_lies_outside_the_group_does_not_count() -> None:
    ones = np.ones((5, 1))
    inside = GROUP[0]
    rest = DRAW.standard_normal((5, 3)).ravel()
    basis, _ = np.linalg.qr(GROUP.reshape(3, -1).T)
    outside = (rest - basis @ (basis.T @ rest)).reshape(5, 3)
    part = np.sum(inside**2) / (np.sum(inside**2) + np.sum(outside**2))
    assert in_span(inside + outside, GROUP, ones) == pytest.approx(part)
