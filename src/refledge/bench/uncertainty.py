"""Uncertainty of a result: law of propagation (JCGM 100, the GUM) and Monte Carlo (JCGM 101).

A function of inputs is given once and used by both, so that they answer the same question.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import floor, inf, isinf, log10

import numpy as np
from scipy import stats

from refledge.errors import AnalysisError
from refledge.typed import Floats

DRAWS = 20_000
SEED = 20_101  # any fixed number: the same readings give the same interval
COVERAGE = 0.95

Function = Callable[[Floats], Floats]
"""(n_inputs, m) values of the inputs to (m,) results."""


@dataclass(frozen=True)
class Input:
    """One input quantity."""

    name: str
    value: float
    uncertainty: float
    """Standard uncertainty, unit of ``value``."""
    dof: float = inf
    """Degrees of freedom behind it; infinite where it was judged, not counted."""
    shape: str = "normal"
    """normal (Student's t where dof is finite) or uniform."""
    shared: bool = False
    """The same error would stand in another session with the same gauges."""


@dataclass(frozen=True)
class Propagated:
    """A result with its uncertainty both ways."""

    value: float
    uncertainty: float
    dof: float
    low: float
    high: float
    carlo_mean: float
    carlo_uncertainty: float
    carlo_low: float
    carlo_high: float
    agree: bool
    shares: tuple[tuple[str, float], ...]
    shared: float
    """Standard uncertainty from the shared inputs alone."""


def propagate(
    function: Function, inputs: Sequence[Input], draws: int = DRAWS, seed: int = SEED
) -> Propagated:
    """``function`` of ``inputs``, first order and by ``draws`` random draws."""
    value, parts = linear_parts(function, inputs)
    u = float(np.sqrt(np.sum(parts**2)))
    dof = effective_dof(parts, np.array([each.dof for each in inputs]))
    half = u * float(_t_quantile(dof))
    outcome = np.sort(function(draw(inputs, draws, seed)))
    if not np.all(np.isfinite(outcome)):
        raise AnalysisError("the Monte Carlo draws leave the model's range: check the readings")
    low, high = np.quantile(outcome, [(1 - COVERAGE) / 2, (1 + COVERAGE) / 2])
    tolerance = numerical_tolerance(u)
    agree = bool(abs(value - half - low) <= tolerance and abs(value + half - high) <= tolerance)
    return Propagated(
        value=value,
        uncertainty=u,
        dof=dof,
        low=value - half,
        high=value + half,
        carlo_mean=float(outcome.mean()),
        carlo_uncertainty=float(outcome.std(ddof=1)),
        carlo_low=float(low),
        carlo_high=float(high),
        agree=agree,
        shares=_shares(inputs, parts),
        shared=float(np.sqrt(sum(p**2 for p, i in zip(parts, inputs, strict=True) if i.shared))),
    )


def linear_parts(function: Function, inputs: Sequence[Input]) -> tuple[float, Floats]:
    """Value, and contribution of each input, (n,): half the change over plus and minus its u.

    JCGM 100, 5.1.3, note 2: the partial derivative by finite difference over one u each way.
    """
    x = np.array([each.value for each in inputs])
    u = np.array([each.uncertainty for each in inputs])
    n = len(x)
    at = np.repeat(x[:, None], 2 * n + 1, axis=1)
    at[np.arange(n), np.arange(n)] += u
    at[np.arange(n), n + np.arange(n)] -= u
    y = function(at)
    return float(y[-1]), np.asarray((y[:n] - y[n : 2 * n]) / 2)


def effective_dof(parts: Floats, dof: Floats) -> float:
    """Welch-Satterthwaite (JCGM 100, G.4.1): u^4 over the sum of parts^4 / dof."""
    lost = float(np.sum(parts**4 / dof))
    u2 = float(np.sum(parts**2))
    return inf if lost <= 0 else max(1.0, u2**2 / lost)


def draw(inputs: Sequence[Input], draws: int, seed: int = SEED) -> Floats:
    """(n, draws) values of the inputs (JCGM 101, 6.4: normal, rectangular, scaled t)."""
    rng = np.random.default_rng(seed)
    rows = np.empty((len(inputs), draws))
    for row, each in zip(rows, inputs, strict=True):
        if each.shape == "uniform":
            row[:] = rng.uniform(-1, 1, draws) * np.sqrt(3)
        elif isinf(each.dof):
            row[:] = rng.standard_normal(draws)
        else:
            row[:] = rng.standard_t(each.dof, draws)
        row[:] = each.value + each.uncertainty * row
    return rows


def numerical_tolerance(u: float, digits: int = 1) -> float:
    """Half a unit in the last of ``digits`` significant digits of ``u`` (JCGM 101, 7.9.2)."""
    if u <= 0:
        return 0.0
    return float(0.5 * 10.0 ** (floor(log10(u)) - digits + 1))


def _t_quantile(dof: float) -> float:
    p = (1 + COVERAGE) / 2
    return float(stats.norm.ppf(p) if isinf(dof) else stats.t.ppf(p, dof))


def _shares(inputs: Sequence[Input], parts: Floats) -> tuple[tuple[str, float], ...]:
    total = float(np.sum(parts**2)) or 1.0
    named = [(i.name, float(p**2 / total)) for i, p in zip(inputs, parts, strict=True) if p]
    return tuple(sorted(named, key=lambda each: -each[1]))
