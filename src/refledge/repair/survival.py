"""How long parts last, from few of them, most of which have not failed.

Parts that fly on, or were taken off sound, count as lived at least so long (censored).
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy import stats

from refledge.errors import AnalysisError
from refledge.typed import Bools, Floats

SHAPE_PRIOR, SHAPE_SPREAD = 2.0, 0.5
"""Median and spread of the logarithm of the Weibull shape before any failure: fatigue wears out,
with shapes from 1 to 4 (from memory, typical); 1 is chance alone."""
LIFE_PRIOR, LIFE_SPREAD = 100 * 3600.0, 1.5
"""Median (s) and spread of the logarithm of the characteristic life: 100 h within a factor of 4.5
either way. A guess, so wide that a few parts outweigh it."""
GRID = 121
LOOK, RETIRE = 0.05, 0.20
"""Chance of failing at which a part is to be looked at, and to be taken off: our choice."""


@dataclass(frozen=True, eq=False)
class Curve:
    """Kaplan-Meier estimate: share that survives each failure time."""

    times: Floats  # (n,), s, at which something failed
    survive: Floats  # (n,), 1, just after
    low: Floats  # (n,), 1
    high: Floats  # (n,), 1, with ``low`` 95 % by Greenwood's formula on the log-log scale
    at_risk: Floats  # (n,)


def kaplan_meier(times: Floats, failed: Bools) -> Curve:
    """Survival from times (n,), s, and whether each ended in failure.

    Kaplan and Meier, Nonparametric Estimation from Incomplete Observations (1958). At a tie,
    failures come before censored lives.
    """
    times, failed = np.asarray(times, dtype=float), np.asarray(failed, dtype=bool)
    if len(times) == 0 or np.any(times < 0):
        raise AnalysisError("survival: give at least one time, none below 0")
    at = np.unique(times[failed])
    risk = np.array([(times >= t).sum() for t in at], dtype=float)
    deaths = np.array([((times == t) & failed).sum() for t in at], dtype=float)
    survive = np.cumprod(1 - deaths / risk) if len(at) else np.zeros(0)
    low, high = _band(survive, deaths, risk)
    return Curve(at, survive, low, high, risk)


def _band(survive: Floats, deaths: Floats, risk: Floats) -> tuple[Floats, Floats]:
    """95 % limits; none can be given once all have failed."""
    with np.errstate(divide="ignore", invalid="ignore"):
        spread = np.sqrt(np.cumsum(deaths / (risk * (risk - deaths)))) / np.abs(np.log(survive))
        low, high = survive ** np.exp(1.96 * spread), survive ** np.exp(-1.96 * spread)
    known = (survive > 0) & (survive < 1)
    return np.where(known, low, 0.0), np.where(known, high, 1.0)


@dataclass(frozen=True, eq=False)
class Life:
    """Weibull life with what is not known of it: a grid over shape and characteristic life."""

    shapes: Floats  # (a,)
    lives: Floats  # (b,), s
    weight: Floats  # (a, b), adds up to 1
    failures: int
    seconds: float
    """Flown by all parts together, s."""

    def failing(self, start: float, end: float) -> float:
        """Chance that a part that has flown ``start`` fails before ``end`` (s), 1."""
        past = self._lived(start)
        return float(1 - np.sum(self.weight * self._lived(end)) / np.sum(self.weight * past))

    def _lived(self, seconds: float) -> Floats:
        return np.asarray(np.exp(-((seconds / self.lives[None]) ** self.shapes[:, None])))

    def age_at(self, chance: float) -> float:
        """s at which a new part has failed with ``chance`` (bisection)."""
        low, high = 0.0, float(self.lives[-1]) * 10
        for _ in range(60):
            middle = (low + high) / 2
            low, high = (middle, high) if self.failing(0.0, middle) < chance else (low, middle)
        return (low + high) / 2

    @property
    def wears(self) -> float:
        """Chance that the shape is above 1: it wears out rather than breaks by chance."""
        return float(self.weight[self.shapes > 1].sum())


def weibull_life(times: Sequence[float], failed: Sequence[bool]) -> Life:
    """Posterior of a Weibull life; without data the prior. Times in s.

    Likelihood: density of failures, survival of the rest (Meeker and Escobar, Statistical Methods
    for Reliability Data, likelihood for censored data); priors lognormal, on a grid.
    """
    shapes = np.exp(np.linspace(np.log(0.4), np.log(10), GRID))
    span = LIFE_SPREAD * 4
    lives = LIFE_PRIOR * np.exp(np.linspace(-span, span, GRID))
    log = _prior(shapes, SHAPE_PRIOR, SHAPE_SPREAD)[:, None] + _prior(lives, LIFE_PRIOR,
                                                                     LIFE_SPREAD)[None]  # fmt: skip
    k, scale = shapes[:, None], lives[None]
    for time, ended in zip(times, failed, strict=True):
        age = max(time, 1.0)
        log = log - (age / scale) ** k
        if ended:
            log = log + np.log(k / scale) + (k - 1) * np.log(age / scale)
    weight = np.exp(log - log.max())
    return Life(shapes, lives, weight / weight.sum(), int(sum(failed)), float(sum(times)))


def _prior(values: Floats, median: float, spread: float) -> Floats:
    return np.asarray(-0.5 * (np.log(values / median) / spread) ** 2)


@dataclass(frozen=True)
class Rate:
    """Gamma-distributed rate of chance events (Gelman et al., Bayesian Data Analysis)."""

    events: float
    """Shape: events seen, with the prior's."""
    exposure: float
    """s over which they were seen, with the prior's."""

    @property
    def mean(self) -> float:
        """Events a second."""
        return self.events / self.exposure

    def band(self) -> tuple[float, float]:
        """Limits that hold nine tenths, events a second."""
        low = stats.gamma.ppf(0.05, self.events, scale=1 / self.exposure)
        high = stats.gamma.ppf(0.95, self.events, scale=1 / self.exposure)
        return float(low), float(high)

    def after(self, events: int, seconds: float) -> "Rate":
        """The rate once ``events`` were seen in ``seconds``."""
        return Rate(self.events + events, self.exposure + seconds)


CRASH_PRIOR = Rate(1.0, 10 * 3600.0)
"""One crash in ten hours, as if seen once: a guess for people who try things out."""
