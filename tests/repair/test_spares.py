"""Spares against the Poisson formula, and what a stock must do."""

import numpy as np
import pytest
from scipy import stats

from refledge.errors import AnalysisError
from refledge.repair.spares import Spare, crash_count, demand, keep, updated
from refledge.repair.survival import Rate

HOUR = 3600.0
SURE = Rate(1e9, 1e9 * 10 * HOUR)
"""One crash in ten hours, known to nine figures."""
ARM, LEG = Spare("arm", "arm", 6, 0.05, 2.0, 7200.0), Spare("leg", "leg", 4, 0.01, 0.3, 1800.0)


def test_crashes_at_a_known_rate_are_poisson() -> None:
    found = crash_count(SURE, 20 * HOUR)
    assert found == pytest.approx(stats.poisson.pmf(np.arange(len(found)), 2.0), abs=1e-7)


def test_stock_covers_as_the_poisson_formula_says() -> None:
    """Each crash breaks one with chance p: breaks are Poisson with p times the rate (thinning)."""
    p = 0.35
    found = np.cumsum(demand(crash_count(SURE, 20 * HOUR), np.array([1 - p, p])))
    exact = stats.poisson.cdf(np.arange(6), 2.0 * p)
    assert found[:6] == pytest.approx(exact, abs=1e-7)


def test_demand_of_several_copies_has_the_mean_of_wald() -> None:
    crashes, copies = crash_count(Rate(2.0, 10 * HOUR), 30 * HOUR), np.array([0.4, 0.3, 0.2, 0.1])
    wanted = demand(crashes, copies)
    mean = float(np.arange(len(wanted)) @ wanted)
    assert mean == pytest.approx(2.0 / 10 * 30 * 1.0, rel=1e-5)  # a / b t times the mean of one
    assert wanted.sum() == pytest.approx(1.0, abs=1e-8)
    with pytest.raises(AnalysisError):
        demand(crashes, np.array([0.5, 0.4]))


def test_each_step_serves_better_until_it_serves_well_enough() -> None:
    copies = {"arm": np.array([0.5, 0.4, 0.1]), "leg": np.array([0.7, 0.3])}
    steps = keep([ARM, LEG], copies, Rate(2.0, 20 * HOUR), 20 * HOUR, 0.95)
    service = [step.service for step in steps]
    assert service == sorted(service)
    assert service[-2] < 0.95 <= service[-1]
    assert steps[1].key == "leg"  # a fifth of the grams for much of the worth
    last = dict(steps[-1].stock)
    assert steps[-1].mass == pytest.approx(0.05 * last["arm"] + 0.01 * last["leg"])


def test_what_never_breaks_is_not_kept() -> None:
    copies = {"arm": np.array([0.5, 0.5]), "leg": np.array([1.0, 0.0])}
    steps = keep([ARM, LEG], copies, Rate(2.0, 20 * HOUR), 20 * HOUR, 0.99)
    assert dict(steps[-1].stock)["leg"] == 0


def test_logged_crashes_pull_the_chances_their_way() -> None:
    before = np.array([0.9, 0.1])
    after = updated(before, [1, 1, 1, 1])
    assert after == pytest.approx([0.9 * 4 / 8, (0.1 * 4 + 4) / 8])
    assert updated(before, []) == pytest.approx(before)
