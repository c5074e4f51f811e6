"""Survival against an independent package on a published set; rates against closed forms.

Data: remission times in weeks of 21 leukaemia patients given 6-mercaptopurine, Freireich et al.,
Blood 21 (1963), as printed in most textbooks on survival analysis (from memory); + is censored.
"""

import numpy as np
import pytest
from scipy import stats

from refledge.repair.survival import CRASH_PRIOR, Rate, kaplan_meier, weibull_life

TIMES = np.array([6, 6, 6, 6, 7, 9, 10, 10, 11, 13, 16, 17, 19, 20, 22, 23, 25, 32, 32, 34, 35.0])
CENSORED = {3, 5, 7, 8, 11, 12, 13, 16, 17, 18, 19, 20}
FAILED = np.array([k not in CENSORED for k in range(21)])


def test_the_curve_is_that_of_an_independent_package() -> None:
    ours = kaplan_meier(TIMES, FAILED)
    found = stats.ecdf(stats.CensoredData(uncensored=TIMES[FAILED], right=TIMES[~FAILED])).sf
    assert ours.survive == pytest.approx(found.evaluate(ours.times), abs=1e-12)
    assert list(ours.times) == [6, 7, 10, 13, 16, 22, 23]
    # as printed in textbooks for this set
    printed = [0.857, 0.807, 0.753, 0.690, 0.627, 0.538, 0.448]
    assert ours.survive == pytest.approx(printed, abs=6e-4)


def test_the_band_is_that_of_the_package() -> None:
    ours = kaplan_meier(TIMES, FAILED)
    found = stats.ecdf(stats.CensoredData(uncensored=TIMES[FAILED], right=TIMES[~FAILED])).sf
    band = found.confidence_interval(confidence_level=0.95, method="log-log")
    assert ours.low == pytest.approx(band.low.evaluate(ours.times), abs=1e-4)  # 1.96 for 1.95996
    assert ours.high == pytest.approx(band.high.evaluate(ours.times), abs=1e-4)


def test_without_failures_nothing_is_lost() -> None:
    assert len(kaplan_meier(np.array([5.0, 7.0]), np.array([False, False])).times) == 0


def test_many_lives_find_the_shape_and_life_that_made_them() -> None:
    """Half of 600 Weibull lives censored at the median: posterior mean near the truth."""
    random = np.random.default_rng(3)
    shape, scale = 2.5, 40 * 3600.0
    lives = scale * random.weibull(shape, 600)
    limit = float(np.median(lives))
    life = weibull_life(np.minimum(lives, limit).tolist(), (lives <= limit).tolist())
    mean = float(np.sum(life.weight.sum(axis=1) * life.shapes))
    assert mean == pytest.approx(shape, rel=0.1)
    exact = scale * (-np.log(0.95)) ** (1 / shape)
    assert life.age_at(0.05) == pytest.approx(exact, rel=0.1)
    assert life.failing(0.0, life.age_at(0.2)) == pytest.approx(0.2, abs=1e-6)


def test_a_part_that_flies_on_makes_the_rest_safer_and_a_failure_less_so() -> None:
    none = weibull_life([], [])
    sound = weibull_life([50 * 3600.0] * 5, [False] * 5)
    failed = weibull_life([50 * 3600.0] * 5, [True, False, False, False, False])
    assert sound.age_at(0.05) > none.age_at(0.05)
    assert failed.age_at(0.05) < sound.age_at(0.05)


def test_rate_is_the_conjugate_one() -> None:
    """Gamma(a, b) after n events in t is Gamma(a + n, b + t): mean between prior and n / t."""
    after = CRASH_PRIOR.after(4, 20 * 3600.0)
    assert after.mean == pytest.approx(5 / (30 * 3600.0))
    low, high = Rate(5, 2).band()
    assert stats.gamma.cdf(high, 5, scale=0.5) - stats.gamma.cdf(low, 5, scale=0.5) == (
        pytest.approx(0.9)
    )
