"""Predictions against tests: is our uncertainty honest?"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot

import numpy as np
from scipy import stats

from refledge.errors import AnalysisError
from refledge.model.learning import Calibration, Prediction
from refledge.typed import Floats

SURE = 0.05
"""Chance below which the uncertainties are called dishonest: common practice."""
LEAST = 5
"""Scores before anything is said: ours."""


def z_score(prediction: Prediction, measured: float, uncertainty: float) -> float:
    """(measured - predicted) over both standard uncertainties together."""
    both = hypot(prediction.uncertainty, uncertainty)
    if both <= 0:
        raise AnalysisError(f"{prediction.name}: a score needs an uncertainty above zero")
    return (measured - prediction.value) / both


def calibration(z: Sequence[float]) -> Calibration:
    """What the scores so far say; their squares add up to a chi-square if all is honest."""
    n = len(z)
    if n == 0:
        return Calibration(0, 0.0, 0.0, 0.0, 0.0, 1.0, "nothing was scored yet")
    scores = np.asarray(z, dtype=np.float64)
    total = float(np.sum(scores**2))
    upper = float(stats.chi2.sf(total, n))
    chance = min(1.0, 2 * min(upper, 1 - upper))
    bias = float(np.mean(scores)) * n**0.5
    if n < LEAST:
        words = f"{n} scores are too few to judge by"
    elif upper < SURE / 2:
        words = "the uncertainties are too small: tests lie farther out than predicted"
    elif 1 - upper < SURE / 2:
        words = "the uncertainties are larger than they need be"
    elif abs(bias) > stats.norm.ppf(1 - SURE / 2):
        words = "tests lie to one side: " + ("higher" if bias > 0 else "lower") + " than predicted"
    else:
        words = "the uncertainties are honest so far"
    return Calibration(
        count=n,
        mean_z=float(np.mean(scores)),
        rms_z=float(np.sqrt(total / n)),
        within_68=float(np.mean(np.abs(scores) <= 1.0)),
        within_95=float(np.mean(np.abs(scores) <= 1.959964)),
        chance=chance,
        words=words,
        small=n >= LEAST and upper < SURE / 2,
    )


@dataclass(frozen=True, eq=False)
class Running:
    """Root mean square of the scores so far, and where 95 % of honest ones would lie; (n,) each."""

    rms: Floats
    low: Floats
    high: Floats


def running(z: Sequence[float]) -> Running:
    """After each score, oldest first; n times the mean square of honest ones is chi-square."""
    scores = np.asarray(z, dtype=np.float64)
    n = np.arange(1, len(scores) + 1)
    rms = np.sqrt(np.cumsum(scores**2) / n)
    low, high = (np.sqrt(stats.chi2.ppf(p, n) / n) for p in (SURE / 2, 1 - SURE / 2))
    return Running(np.asarray(rms), np.asarray(low), np.asarray(high))
