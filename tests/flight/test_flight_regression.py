"""Uncertainty of fits: the straight line of GUM H.3 (JCGM 100:2008), C7.5 of the check values."""

import numpy as np
import pytest

from refledge.errors import AnalysisError
from refledge.flight.regression import fit, straight_line

READING = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511]
CORRECTION = [
    -0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160,
]  # fmt: skip


def test_calibration_line_of_the_guide() -> None:
    line = straight_line(np.array(READING) - 20.0, np.array(CORRECTION))
    assert line["intercept"] == pytest.approx(-0.1712, abs=5e-5)
    assert line.uncertainty("intercept") == pytest.approx(0.0029, abs=5e-5)
    assert line["slope"] == pytest.approx(0.00218, abs=5e-6)
    assert line.uncertainty("slope") == pytest.approx(0.00067, abs=5e-6)
    assert line.correlation("intercept", "slope") == pytest.approx(-0.930, abs=5e-4)
    assert line.residual == pytest.approx(0.0035, abs=5e-5)
    assert line.residual**2 * 9 == pytest.approx(1.10096583e-4, rel=1e-7)


def test_value_and_uncertainty_at_thirty_degrees() -> None:
    line = straight_line(np.array(READING) - 20.0, np.array(CORRECTION))
    at = np.array([1.0, 10.0])
    assert line.values @ at == pytest.approx(-0.1494, abs=5e-5)
    assert line.propagated(at) == pytest.approx(0.0041, abs=5e-5)


def test_data_that_cannot_tell_parameters_apart_are_refused() -> None:
    x = np.ones(6)
    with pytest.raises(AnalysisError, match="apart"):
        straight_line(x, np.arange(6.0))


def test_one_outlier_does_not_lead_a_robust_fit() -> None:
    x = np.arange(20.0)
    y = 2 * x + 1 + 0.01 * np.sin(7 * x)
    y[13] += 100
    found = fit(
        lambda p: (y - p[0] - p[1] * x) / 0.01,
        ("a", "b"),
        np.zeros(2),
        np.ones(2),
        robust=True,
    )
    assert found["b"] == pytest.approx(2, abs=2e-3)
    assert straight_line(x, y)["slope"] > 2.4
