"""Fatigue by stress and life: a straight line through tests, cycles of any mean, damage that adds.

Stresses are shares of the static strength throughout (1).
"""

from collections.abc import Iterable
from typing import NamedTuple

import numpy as np

from refledge.errors import AnalysisError
from refledge.typed import Floats

LEAST_TESTS = 4
"""Bars that broke, fewer than which give no line with a scatter: our choice."""


class LifeLine(NamedTuple):
    """log10 N = ``log_life`` - ``slope`` log10 share, with the scatter of log10 N about it."""

    log_life: float
    slope: float
    scatter: float


def life_line(share: Floats, cycles: Floats) -> LifeLine:
    """Least squares of log10 N on log10 share (ASTM E739, as commonly used; from memory).

    share, cycles: (n,), of bars that broke. Raises AnalysisError for too few bars or a line that
    does not fall.
    """
    if len(share) < LEAST_TESTS:
        raise AnalysisError(f"{len(share)} broken bars, {LEAST_TESTS} wanted for a line of life")
    x, y = np.log10(share), np.log10(cycles)
    fall, start = np.polyfit(x, y, 1)
    if fall >= 0:
        raise AnalysisError("bars that were pulled harder did not break sooner")
    left = y - (start + fall * x)
    return LifeLine(float(start), float(-fall), float(np.sqrt(left @ left / (len(x) - 2))))


def same_damage(peak: float, swing: float, stress_ratio: float) -> float:
    """Peak of a cycle at ``stress_ratio`` that does the same as one to ``peak`` over ``swing``.

    swing: greatest less least stress. Equal where sqrt(peak x swing / 2) is (Smith, Watson and
    Topper, A stress-strain function for the fatigue of metals, J. Mater. 5 (1970) 767; for
    plastics an estimate).
    """
    return float(np.sqrt(max(peak, 0.0) * swing / (1.0 - stress_ratio)))


def damage(blocks: Iterable[tuple[float, float]], life: float, slope: float) -> float:
    """Sum of n / N over ``blocks`` of (peak, cycles), 1 at failure (Palmgren and Miner)."""
    return float(sum(cycles * peak**slope / life for peak, cycles in blocks))
