"""Moving asymptotes on published problems.

Svanberg 1987, first example: the cantilever of five square tubes, weight 0.0624 sum x with
61/x1^3 + 37/x2^3 + 19/x3^3 + 7/x4^3 + 1/x5^3 at most 1; its optimum 1.340 at (6.016, 5.309, 4.494,
3.502, 2.153) as printed there (from memory), which Lagrange's condition confirms below.
"""

import numpy as np
import pytest

from refledge.errors import AnalysisError
from refledge.voxels.mma import MovingAsymptotes
from refledge.voxels.oc import oc_step

A = np.array([61.0, 37.0, 19.0, 7.0, 1.0])
SCALE = 10.0  # variables run from 0 to 1


def test_five_tubes() -> None:
    mma = MovingAsymptotes(np.full(5, 0.5))
    for _ in range(40):
        x = SCALE * mma.x
        limit = np.array([(A / x**3).sum() - 1])
        slope = np.full(5, 0.0624 * SCALE)
        mma = mma.step(np, slope, limit, (-3 * A / x**4 * SCALE)[None])
    x = SCALE * mma.x
    exact = A**0.25 * (A**0.25).sum() ** (1 / 3)  # from d/dx: x^4 = 3 A lambda / 0.0624
    assert exact == pytest.approx([6.016, 5.309, 4.494, 3.502, 2.153], abs=1e-3)
    assert x == pytest.approx(exact, rel=1e-4)
    assert 0.0624 * x.sum() == pytest.approx(1.340, abs=1e-3)


def test_two_limits_of_which_one_binds() -> None:
    """Least (x - 0.9)^2 + (y - 0.9)^2 with x + y at most 1 and x at most 0.8: (0.5, 0.5)."""
    mma = MovingAsymptotes(np.array([0.1, 0.3]))
    for _ in range(60):
        limits = np.array([mma.x.sum() - 1, mma.x[0] - 0.8])
        mma = mma.step(np, 2 * (mma.x - 0.9), limits, np.array([[1.0, 1.0], [1.0, 0.0]]))
    assert mma.x == pytest.approx([0.5, 0.5], abs=1e-3)


def test_two_limits_that_both_bind() -> None:
    """As before with x at most 0.3: (0.3, 0.7)."""
    mma = MovingAsymptotes(np.array([0.5, 0.1]))
    for _ in range(60):
        limits = np.array([mma.x.sum() - 1, mma.x[0] - 0.3])
        mma = mma.step(np, 2 * (mma.x - 0.9), limits, np.array([[1.0, 1.0], [1.0, 0.0]]))
    assert mma.x == pytest.approx([0.3, 0.7], abs=1e-3)


def test_a_start_outside_the_limits_comes_in() -> None:
    n = 50
    mma = MovingAsymptotes(np.full(n, 0.9))
    for _ in range(30):
        mma = mma.step(np, np.ones(n) / n, np.array([1 - mma.x.sum() / 10]), np.full((1, n), -0.1))
    assert mma.x.sum() == pytest.approx(10, rel=1e-3)


def test_steps_stay_within_bounds_and_move() -> None:
    x = np.random.default_rng(0).random(20)
    step = MovingAsymptotes(x).step(
        np, np.linspace(-9, 9, 20), np.array([-1.0]), np.ones((1, 20)), 0.1
    )
    assert (np.abs(step.x - x) <= 0.1 + 1e-12).all()
    assert step.x.min() >= 0
    assert step.x.max() <= 1
    with pytest.raises(AnalysisError, match="at least one limit"):
        MovingAsymptotes(x).step(np, x, np.zeros(0), np.zeros((0, 20)))


def test_optimality_criteria_meet_the_mass() -> None:
    """Least sum a / x for a mass: x in proportion to sqrt(a)."""
    a = np.random.default_rng(1).uniform(0.5, 2, 30)
    x, ones = np.full(30, 0.4), np.full(30, 1 / 30)
    for _ in range(50):
        x = oc_step(np, x, -a / x**2, x.mean() - 0.4, ones, 0.2)
    assert x.mean() == pytest.approx(0.4, rel=1e-6)
    assert x == pytest.approx(0.4 * np.sqrt(a) / np.sqrt(a).mean(), rel=1e-4)
