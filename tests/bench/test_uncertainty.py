"""Law of propagation and Monte Carlo against closed forms, where they must agree and must not.

References: JCGM 100:2008 (GUM); JCGM 101:2008, clauses 7.9 and 9.4 (comparison loss near zero).
"""

import numpy as np
import pytest

from refledge.bench.uncertainty import (
    Input,
    draw,
    effective_dof,
    numerical_tolerance,
    propagate,
)
from refledge.typed import Floats


def test_a_sum_of_normals_agrees_both_ways() -> None:
    """Exact: u = 5, 95 % half width 1.96 * 5."""
    found = propagate(lambda x: x[0] + x[1], [Input("a", 10.0, 3.0), Input("b", 5.0, 4.0)])
    assert found.value == 15.0
    assert found.uncertainty == pytest.approx(5.0, rel=1e-12)
    assert found.high - found.value == pytest.approx(1.959964 * 5.0, rel=1e-6)
    assert found.carlo_uncertainty == pytest.approx(5.0, rel=0.02)
    assert found.agree
    assert found.shares == (("b", pytest.approx(0.64)), ("a", pytest.approx(0.36)))


def test_a_square_about_zero_where_they_must_differ() -> None:
    """JCGM 101, 9.4.2: x1^2 + x2^2 about 0 with u = 0.005.

    First order gives 0 with no uncertainty. Truly it is u^2 times a chi-square with two degrees of
    freedom: mean 50e-6, standard deviation 50e-6. Monte Carlo is right.
    """

    def loss(x: Floats) -> Floats:
        return x[0] ** 2 + x[1] ** 2

    found = propagate(loss, [Input("x1", 0.0, 0.005), Input("x2", 0.0, 0.005)])
    assert found.value == 0.0
    assert found.uncertainty == pytest.approx(0.0, abs=1e-12)
    assert found.carlo_mean == pytest.approx(50e-6, rel=0.03)
    assert found.carlo_uncertainty == pytest.approx(50e-6, rel=0.03)
    assert found.carlo_low > 0.0
    assert not found.agree


def test_a_cube_of_a_poorly_known_thickness_differs_and_monte_carlo_is_right() -> None:
    """1/h^3 of h with 8 % spread: the exact quantiles are those of h, turned over."""
    found = propagate(lambda x: x[0] ** -3.0, [Input("h", 1.0, 0.08)], draws=200_000)
    exact = [(1 + 1.959964 * 0.08) ** -3, (1 - 1.959964 * 0.08) ** -3]
    assert found.carlo_low == pytest.approx(exact[0], rel=0.01)
    assert found.carlo_high == pytest.approx(exact[1], rel=0.01)
    assert abs(found.low - exact[0]) > 0.1
    assert not found.agree


def test_few_readings_widen_both_intervals_by_students_t() -> None:
    """t(4) at 97.5 %: 2.776 (GUM, table G.2)."""
    found = propagate(lambda x: x[0], [Input("mean", 0.0, 1.0, dof=4)], draws=200_000)
    assert found.high == pytest.approx(2.776, abs=1e-3)
    assert found.carlo_high == pytest.approx(2.776, rel=0.02)


def test_effective_degrees_of_freedom_of_the_gum_example() -> None:
    """JCGM 100, H.1.6: end gauge; 16.7 from components 25 (18), 9.7 (25.6), 2.9 (50), 16.6 (2)."""
    parts = np.array([25.0, 9.7, 2.9, 16.6])
    assert effective_dof(parts, np.array([18.0, 25.6, 50.0, 2.0])) == pytest.approx(16.7, abs=0.6)


def test_uniform_inputs_have_their_standard_deviation_and_their_ends() -> None:
    (row,) = draw([Input("x", 1.0, 0.5, shape="uniform")], 50_000)
    assert row.std() == pytest.approx(0.5, rel=0.02)
    assert np.ptp(row) <= 2 * 0.5 * 3**0.5


@pytest.mark.parametrize(("u", "digits", "tolerance"), [(0.00035, 2, 5e-6), (9.0, 1, 0.5)])
def test_numerical_tolerance(u: float, digits: int, tolerance: float) -> None:
    """JCGM 101, 7.9.2, example 1: u = 0.000 35 as 35e-5 has the tolerance 0.5e-5."""
    assert numerical_tolerance(u, digits) == pytest.approx(tolerance)


def test_the_same_readings_give_the_same_interval() -> None:
    inputs = [Input("a", 1.0, 0.1, dof=3)]
    one, other = (propagate(lambda x: x[0] ** 2, inputs) for _ in range(2))
    assert one == other
