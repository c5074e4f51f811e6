"""Uncertainty of endurance: first order against Monte Carlo (JCGM 101)."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from refledge.errors import FlightError
from refledge.flight.bands import (
    endurance_band,
    endurance_figure,
    endurance_inputs,
    monte_carlo,
    propagate,
    scaled,
)
from refledge.flight.operating import hover
from refledge.flight.rotor import RotorModel
from refledge.model.brief import Brief
from refledge.model.layout import Layout


def test_product_of_powers_is_exact() -> None:
    """u/y = sqrt(sum (p u_x/x)^2) for y = a b^2 / c."""
    inputs = {"a": (2.0, 0.02), "b": (3.0, 0.03), "c": (5.0, 0.0)}
    found = propagate(lambda x: x["a"] * x["b"] ** 2 / x["c"], inputs)
    assert found.value == pytest.approx(3.6)
    assert found.uncertainty / found.value == pytest.approx(np.hypot(0.01, 0.02), rel=1e-4)
    assert found.shares[0][0] == "b"
    assert sum(share for _, share in found.shares) == pytest.approx(1)
    assert found.low == pytest.approx(found.value - 2 * found.uncertainty)


def test_monte_carlo_confirms_the_band(
    brief: Brief, layout_of: Callable[[str], Layout], rotor: RotorModel
) -> None:
    """400 draws know a standard deviation to about 3.5 %; three of those are allowed."""
    layout = layout_of("six-x")
    band = endurance_band(brief, layout, rotor, 3.0)
    figure = endurance_figure(brief, layout, rotor, 3.0)
    drawn = monte_carlo(figure, endurance_inputs(rotor), 400)
    assert band.value == pytest.approx(hover(brief, layout, rotor, 3.0).endurance, rel=1e-12)
    assert np.std(drawn) == pytest.approx(band.uncertainty, rel=0.11)
    assert np.mean(drawn) == pytest.approx(band.value, abs=0.3 * band.uncertainty)


def test_an_estimated_rotor_widens_the_band(
    brief: Brief, layout_of: Callable[[str], Layout], rotor: RotorModel
) -> None:
    guess = replace(rotor, spread=0.1)
    sure = endurance_band(brief, layout_of("six-x"), rotor, 3.0)
    wide = endurance_band(brief, layout_of("six-x"), guess, 3.0)
    assert wide.uncertainty > 1.5 * sure.uncertainty
    assert wide.shares[0][0] in ("thrust coefficient", "power coefficient")


def test_scaled_coefficients(rotor: RotorModel) -> None:
    other = scaled(rotor, 1.1, 0.9)
    for speed in (100.0, 333.0, 900.0):
        assert other.CT(speed) == pytest.approx(1.1 * rotor.CT(speed))
        assert other.CP(speed) == pytest.approx(0.9 * rotor.CP(speed))
    with pytest.raises(FlightError):
        scaled(rotor, 0.0, 1.0)
