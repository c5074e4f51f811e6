"""Straight lines: the GUM's example to the printed digits; weights, outliers.

Reference: JCGM 100:2008, H.3, calibration of a thermometer (data and results of tables H.6, H.3.3).
"""

import numpy as np
import pytest

from refledge.bench.lines import fit_linear, outliers, straight
from refledge.errors import AnalysisError

_T = np.array(
    [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511]
)
_B = np.array([-171, -169, -166, -159, -164, -165, -156, -157, -159, -161, -160]) * 1e-3
_T0 = 20.0


def test_gum_h3_to_the_printed_digits() -> None:
    fitted = straight(_T - _T0, _B)
    y1, y2 = fitted.values
    assert round(y1, 4) == -0.1712
    assert round(fitted.uncertainty(0), 4) == 0.0029
    assert round(y2, 5) == 0.00218
    assert round(fitted.uncertainty(1), 5) == 0.00067
    assert round(fitted.correlation(0, 1), 3) == -0.930
    assert round(fitted.residual, 4) == 0.0035
    assert fitted.dof == 9
    assert np.sum(fitted.residuals**2) == pytest.approx(1.10096583e-4, rel=1e-8)


def test_gum_h3_prediction_at_30_degrees() -> None:
    """b(30) = -0.1494 with 0.0041."""
    fitted = straight(_T - _T0, _B)
    at = np.array([1.0, 30.0 - _T0])
    assert round(float(at @ fitted.values), 4) == -0.1494
    assert round(float(np.sqrt(at @ fitted.covariance @ at)), 4) == 0.0041


def test_a_shared_error_adds_to_the_intercept() -> None:
    """check-values C7.5: a systematic 0.005 makes the intercept's u 0.00577."""
    fitted = straight(_T - _T0, _B)
    assert float(np.hypot(fitted.uncertainty(0), 0.005)) == pytest.approx(0.00577, abs=5e-6)


def test_weights_are_as_repeats() -> None:
    """A reading of weight 2 is the same reading written down twice."""
    x, y = np.array([0.0, 1.0, 2.0, 3.0]), np.array([0.1, 0.9, 2.2, 2.9])
    weighted = straight(x, y, np.array([1.0, 2.0, 1.0, 1.0]))
    twice = straight(np.append(x, x[1]), np.append(y, y[1]))
    assert weighted.values == pytest.approx(twice.values, rel=1e-12)


def test_one_reading_off_is_named_and_no_other() -> None:
    rng = np.random.default_rng(3)
    x = np.linspace(0, 10, 15)
    y = 2 * x + 0.01 * rng.standard_normal(15)
    y[6] += 0.2
    assert np.flatnonzero(outliers(straight(x, y))).tolist() == [6]


def test_good_series_seldom_show_an_outlier() -> None:
    """One in a hundred by Bonferroni's limit; 300 series, seeded."""
    rng = np.random.default_rng(4)
    x = np.linspace(0, 1, 10)
    named = sum(bool(np.any(outliers(straight(x, rng.standard_normal(10))))) for _ in range(300))
    assert named <= 9


def test_studentised_residuals_are_those_of_leaving_one_out() -> None:
    rng = np.random.default_rng(5)
    x, y = np.arange(8.0), rng.standard_normal(8)
    whole = straight(x, y)
    k = 2
    kept = np.arange(8) != k
    without = straight(x[kept], y[kept])
    at = np.array([1.0, x[k]])
    error = y[k] - at @ without.values
    spread = np.sqrt(without.residual**2 + at @ without.covariance @ at)
    assert whole.deleted[k] == pytest.approx(error / spread, rel=1e-9)


def test_what_cannot_be_told_apart_is_refused() -> None:
    with pytest.raises(AnalysisError, match="vary the loads"):
        straight(np.ones(5), np.arange(5.0))
    with pytest.raises(AnalysisError, match="more readings"):
        fit_linear(np.eye(2), np.ones(2))
