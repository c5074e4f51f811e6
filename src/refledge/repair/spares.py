"""How many of each part to keep printed, so that a crash costs no wait.

Crashes come by chance at a rate known from the log and a prior; each breaks some copies of each
part with the chances of the marched crashes, which the log's damage also updates.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from scipy import stats

from refledge.errors import AnalysisError
from refledge.repair.survival import Rate
from refledge.typed import Floats

TAIL = 1e-9
"""Chance of more crashes than are counted (1)."""
PRIOR_CRASHES = 4.0
"""Crashes that the computed chances are worth against logged ones (a choice)."""
MOST = 40
"""Most copies of a part that are thought of."""


@dataclass(frozen=True)
class Spare:
    """One kind of part that might be kept."""

    key: str
    name: str
    on_board: int
    mass: float  # kg each
    cost: float  # currency each
    seconds: float  # s to print one


@dataclass(frozen=True)
class Step:
    """One more copy kept, and what the whole stock is then worth."""

    key: str
    stock: tuple[tuple[str, int], ...]
    service: float
    """Chance that no part is missing before more can be printed (1)."""
    mass: float  # kg
    cost: float
    seconds: float


def crash_count(rate: Rate, seconds: float) -> Floats:
    """(n,), 1: chance of 0, 1, ... crashes in ``seconds`` of flight.

    Poisson at a Gamma rate is negative binomial (Gelman et al., Bayesian Data Analysis).
    """
    share = rate.exposure / (rate.exposure + seconds)
    most = int(stats.nbinom.isf(TAIL, rate.events, share)) + 1
    return np.asarray(stats.nbinom.pmf(np.arange(most + 1), rate.events, share))


def demand(crashes: Floats, copies: Floats) -> Floats:
    """(m,), 1: chance that 0, 1, ... copies are wanted. copies: of one crash, (k + 1,), 1.

    Sum of a random number of independent terms (compound distribution; Feller, An Introduction to
    Probability Theory and Its Applications).
    """
    if abs(float(np.sum(copies)) - 1) > 1e-6:
        raise AnalysisError("spares: the chances of one crash do not add up to 1")
    total, once = np.zeros(1), np.ones(1)
    for chance in crashes:
        longer = np.zeros(max(len(total), len(once)))
        longer[: len(total)] += total
        longer[: len(once)] += chance * once
        total, once = longer, np.convolve(once, copies)
    return total


def updated(copies: Floats, logged: Sequence[int]) -> Floats:
    """Chances of 0..n copies after crashes that broke ``logged`` copies each (Dirichlet)."""
    counts = PRIOR_CRASHES * np.asarray(copies)
    for number in logged:
        counts[min(number, len(counts) - 1)] += 1
    return np.asarray(counts / counts.sum())


def mixed(copies: Sequence[Floats], shares: Sequence[float]) -> Floats:
    """Chances over several ways to crash, weighed by how often each is seen."""
    return np.asarray(np.average(np.array(copies), axis=0, weights=shares))


def keep(
    spares: Sequence[Spare],
    copies: Mapping[str, Floats],
    rate: Rate,
    seconds: float,
    target: float,
    by: str = "mass",
) -> tuple[Step, ...]:
    """Stocks from nothing up to a service of ``target``: at each step the copy worth most.

    seconds: flown before more can be printed. by: mass or cost, which a copy's worth is held
    against (marginal allocation; Sherbrooke, Optimal Inventory Modeling of Systems). Service is the
    product over parts, as if they broke apart: to the safe side, since one crash breaks several.
    """
    crashes = crash_count(rate, seconds)
    reach = {s.key: np.cumsum(demand(crashes, copies[s.key])) for s in spares}
    stock = {spare.key: 0 for spare in spares}
    steps = [_step("", spares, stock, reach)]
    while steps[-1].service < target and sum(stock.values()) < MOST * len(spares):
        worth = {
            spare.key: np.log(_covered(reach, spare.key, stock[spare.key] + 1)
                              / _covered(reach, spare.key, stock[spare.key]))
            / (spare.mass if by == "mass" else max(spare.cost, 1e-9))
            for spare in spares
        }  # fmt: skip
        best = max(worth, key=lambda key: worth[key])
        if worth[best] <= 0.0:
            break
        stock[best] += 1
        steps.append(_step(best, spares, stock, reach))
    return tuple(steps)


def _covered(reach: Mapping[str, Floats], key: str, number: int) -> float:
    """Chance that ``number`` copies are enough."""
    return float(reach[key][min(number, len(reach[key]) - 1)])


def _step(
    key: str, spares: Sequence[Spare], stock: Mapping[str, int], reach: Mapping[str, Floats]
) -> Step:
    service = float(np.prod([_covered(reach, s.key, stock[s.key]) for s in spares]))
    return Step(
        key,
        tuple((s.key, stock[s.key]) for s in spares),
        service,
        sum(stock[s.key] * s.mass for s in spares),
        sum(stock[s.key] * s.cost for s in spares),
        sum(stock[s.key] * s.seconds for s in spares),
    )
