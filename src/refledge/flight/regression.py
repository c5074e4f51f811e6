"""Least squares with the uncertainty that the GUM asks for."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.optimize import least_squares

from refledge.errors import AnalysisError
from refledge.typed import Floats


@dataclass(frozen=True, eq=False)
class Fit:
    """Parameters found by least squares."""

    names: tuple[str, ...]
    values: Floats
    """(p,), in the units of each parameter."""
    covariance: Floats
    """(p, p)."""
    residual: float
    """Standard deviation of one residual: sqrt(SSR / (n - p))."""
    count: int
    """Residuals."""

    def __getitem__(self, name: str) -> float:
        return float(self.values[self.names.index(name)])

    def uncertainty(self, name: str) -> float:
        """Standard uncertainty of one parameter."""
        at = self.names.index(name)
        return float(np.sqrt(self.covariance[at, at]))

    def correlation(self, one: str, other: str) -> float:
        """Correlation coefficient of two parameters."""
        a, b = self.names.index(one), self.names.index(other)
        variance = self.covariance[a, a] * self.covariance[b, b]
        return float(self.covariance[a, b] / np.sqrt(variance))

    def propagated(self, gradient: Floats) -> float:
        """Standard uncertainty of a function of the parameters with ``gradient`` (p,)."""
        return float(np.sqrt(gradient @ self.covariance @ gradient))


def fit(
    residuals: Callable[[Floats], Floats],
    names: tuple[str, ...],
    start: Floats,
    scale: Floats,
    *,
    robust: bool = False,
    rough: bool = False,
) -> Fit:
    """Least squares of ``residuals`` over ``names``; ``scale`` (p,) is each parameter's size.

    Covariance s^2 (J^T J)^-1 with s^2 = SSR / (n - p) (GUM, JCGM 100:2008, H.3, generalised to p
    parameters). ``robust`` weighs residuals beyond one down (soft L1), so that outliers do not
    lead; s^2 then counts the weighted ones. ``rough`` stops early, for a first look. Raises
    AnalysisError where the parameters cannot be told apart.
    """

    def scaled(x: Floats) -> Floats:
        return residuals(start + scale * x)

    solved = least_squares(
        scaled,
        np.zeros(len(start)),
        loss="soft_l1" if robust else "linear",
        xtol=1e-10,
        ftol=1e-4 if rough else 1e-8 if robust else 1e-10,
        gtol=1e-10,
        jac="3-point",
        max_nfev=400,
    )
    n, p = len(solved.fun), len(start)
    if solved.status <= 0 or n <= p:
        raise AnalysisError(f"fit of {p} parameters to {n} values failed: {solved.message}")
    J = np.asarray(solved.jac)
    if np.linalg.cond(J) > 1e9:
        raise AnalysisError("the data cannot tell the parameters apart; add runs that differ more")
    s2 = 2 * float(solved.cost) / (n - p)
    covariance = s2 * np.linalg.inv(J.T @ J) * np.outer(scale, scale)
    values = start + scale * np.asarray(solved.x)
    return Fit(names, values, covariance, float(np.sqrt(s2)), n)


def straight_line(x: Floats, y: Floats) -> Fit:
    """Intercept and slope of y on x (GUM H.3)."""
    scale = np.array([1.0, 1.0])
    return fit(lambda p: y - p[0] - p[1] * x, ("intercept", "slope"), np.zeros(2), scale)
