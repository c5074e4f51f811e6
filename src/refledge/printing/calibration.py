"""The time model set right by the user's own prints.

minutes = a * extruding + b * (moving + waiting) + c, with a prior that the model is about right;
the same for grams with one factor. Conjugate normal regression with known noise ratio: Gelman et
al., Bayesian Data Analysis, section on regression with an informative prior.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from refledge.printing.timing import PrintFigures
from refledge.typed import Floats

PRIOR = np.array([1.0, 1.0, 0.0])
PRIOR_SPREAD = np.array([0.25, 0.5, 300.0])
"""Of the two factors (1) and of the fixed time (s): a choice, planning models miss by a quarter."""
NOISE = 0.05
"""Relative scatter of one print's time about the model, before any record (a choice)."""
PLASTIC_SPREAD = 0.10
"""Relative spread of the plastic factor before any record (a choice)."""


@dataclass(frozen=True)
class PrintRecord:
    """One print that was made: what the model says of it and what clock and scale said."""

    figures: PrintFigures
    copies: int
    seconds: float
    """From start to finish, warm-up left out."""
    kilograms: float
    """Weighed, with its support; 0 where it was not weighed."""
    rho: float
    """Of the filament, kg/m3."""


@dataclass(frozen=True, eq=False)
class Calibration:
    """Posterior of the model's three numbers, and of the plastic factor."""

    mean: Floats
    """(3,): factors on extruding and on moving, fixed seconds a print."""
    covariance: Floats
    """(3, 3)."""
    noise: float
    """Relative scatter of one print."""
    plastic: float
    """Factor on plastic (1)."""
    plastic_spread: float
    records: int

    def seconds(self, figures: PrintFigures, copies: int = 1) -> tuple[float, float]:
        """Expected time of one print of ``copies`` and its standard uncertainty, s."""
        row = _row(figures, copies)
        value = float(row @ self.mean)
        spread = float(row @ self.covariance @ row) + (self.noise * value) ** 2
        return value, float(np.sqrt(spread))

    def plastic_of(self, figures: PrintFigures) -> float:
        """m3 of one copy, support included."""
        return self.plastic * figures.plastic


def calibrate(records: Sequence[PrintRecord] = ()) -> Calibration:
    """Factors after ``records``; none leaves the prior."""
    precision = np.diag(1 / PRIOR_SPREAD**2)
    mean: Floats = PRIOR
    noise = NOISE
    covariance: Floats = np.diag(PRIOR_SPREAD**2).astype(np.float64)
    if records:
        rows = np.array([_row(r.figures, r.copies) for r in records])
        times: Floats = np.array([r.seconds for r in records], dtype=float)
        for _ in range(3):  # the scatter and the factors settle together
            weights: Floats = 1 / (noise * times) ** 2
            covariance = np.linalg.inv(precision + (rows.T * weights) @ rows)
            mean = np.asarray(covariance @ (precision @ PRIOR + (rows.T * weights) @ times))
            noise = _scatter((times - rows @ mean) / times)
    plastic, spread = _plastic(records)
    return Calibration(mean, covariance, noise, plastic, spread, len(records))


def _row(figures: PrintFigures, copies: int) -> Floats:
    return np.array([copies * figures.extruding, copies * (figures.moving + figures.waiting), 1.0])


def _scatter(relative: Floats) -> float:
    """Scatter from residuals and a prior worth four prints (scaled inverse chi-squared mean)."""
    prior = 4.0
    return float(np.sqrt((prior * NOISE**2 + np.sum(relative**2)) / (prior + len(relative))))


def _plastic(records: Sequence[PrintRecord]) -> tuple[float, float]:
    """Factor on plastic and its spread: normal prior 1, each weighing good to NOISE."""
    weighed = [r for r in records if r.kilograms > 0]
    ratios = [r.kilograms / (r.rho * r.copies * r.figures.plastic) for r in weighed]
    precision = 1 / PLASTIC_SPREAD**2 + len(ratios) / NOISE**2
    value = (1.0 / PLASTIC_SPREAD**2 + sum(ratios) / NOISE**2) / precision
    return float(value), float(precision**-0.5)
