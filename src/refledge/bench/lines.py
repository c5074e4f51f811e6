"""Straight lines through readings: weighted, zero free, with what speaks against the line."""

from dataclasses import dataclass

import numpy as np
from scipy import stats

from refledge.errors import AnalysisError
from refledge.typed import Bools, Floats

OUTLIER_CHANCE = 0.01
"""Chance that any reading of a good series is called an outlier; ours."""


@dataclass(frozen=True, eq=False)
class Fitted:
    """Linear least squares y = X b."""

    values: Floats
    """(p,)."""
    covariance: Floats
    """(p, p), scaled by the residuals."""
    residual: float
    """Standard deviation of a reading of weight 1: sqrt(sum w r^2 / (n - p))."""
    dof: int
    residuals: Floats
    """(n,), y - X b."""
    deleted: Floats
    """(n,), externally studentised residuals."""

    def uncertainty(self, at: int) -> float:
        """Standard uncertainty of one parameter."""
        return float(np.sqrt(self.covariance[at, at]))

    def correlation(self, a: int, b: int) -> float:
        """Correlation coefficient of two parameters."""
        return float(self.covariance[a, b] / (self.uncertainty(a) * self.uncertainty(b)))


def fit_linear(X: Floats, y: Floats, weights: Floats | None = None) -> Fitted:
    """Least squares of ``y`` (n,) on the columns of ``X`` (n, p), weights (n,) relative.

    Covariance s^2 (X^T W X)^-1 with s^2 = sum w r^2 / (n - p): JCGM 100, H.3.2, written for p
    parameters and weights. Studentised residuals leave the reading itself out of s (Cook and
    Weisberg, Residuals and Influence in Regression, externally studentised residuals).
    """
    n, p = X.shape
    w = np.ones(n) if weights is None else weights / np.mean(weights)
    if n <= p:
        raise AnalysisError(f"{n} readings cannot fix {p} figures; take more readings")
    root = np.sqrt(w)
    Q, R = np.linalg.qr(X * root[:, None])
    if np.min(np.abs(np.diag(R))) <= 1e-12 * np.max(np.abs(np.diag(R))):
        raise AnalysisError("the readings cannot tell the figures apart; vary the loads more")
    b = np.linalg.solve(R, Q.T @ (y * root))
    rest = y - X @ b
    dof = n - p
    total = float(np.sum(w * rest**2))
    s2 = total / dof
    inverse = np.linalg.inv(R)
    leverage = np.minimum(np.sum(Q**2, axis=1), 1 - 1e-12)
    return Fitted(
        b, s2 * inverse @ inverse.T, s2**0.5, dof, rest, _deleted(rest * root, leverage, dof, total)
    )


def _deleted(rest: Floats, leverage: Floats, dof: int, total: float) -> Floats:
    if dof < 2:
        return np.zeros_like(rest)
    own = rest**2 / (1 - leverage)
    without = np.maximum((total - own) / (dof - 1), 1e-30 + 1e-12 * total)
    return np.asarray(rest / np.sqrt(without * (1 - leverage)))


def outliers(fitted: Fitted) -> Bools:
    """(n,), readings that a good series would show with a chance of OUTLIER_CHANCE in all.

    Bonferroni's limit on externally studentised residuals (Cook and Weisberg).
    """
    n = len(fitted.residuals)
    if fitted.dof < 2:
        return np.zeros(n, dtype=np.bool_)
    limit = stats.t.ppf(1 - OUTLIER_CHANCE / (2 * n), fitted.dof - 1)
    return np.asarray(np.abs(fitted.deleted) > limit)


def straight(x: Floats, y: Floats, weights: Floats | None = None) -> Fitted:
    """Intercept and slope of y on x."""
    return fit_linear(np.column_stack([np.ones_like(x), x]), y, weights)
