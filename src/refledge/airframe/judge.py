"""From demand and capacity to a check with margin and verdict."""

from dataclasses import replace
from math import isfinite, isnan

from refledge.model.checks import Check, Verdict

NARROW = 0.1
"""A margin below this, or below one standard uncertainty, holds only narrowly: our choice."""


def judge(
    *,
    key: str,
    title: str,
    group: str,
    part: str,
    demand: float,
    capacity: float,
    unit: str,
    shown: str,
    method: str,
    source: str,
    load_case: str = "",
    at_least: bool = False,
    spread: float = 0.0,
    note: str = "",
    margin: float | None = None,
    exact: bool = False,
) -> Check:
    """One check. Margin is capacity/demand - 1, or demand/capacity - 1 where more is better.

    ``margin`` is given where a ratio would mislead, as with temperatures. ``exact`` marks plain
    geometry, which holds or does not and is never narrow.
    """
    if margin is None:
        margin = ratio_margin(demand, capacity, at_least)
    return Check(
        key=key,
        title=title,
        group=group,
        part=part,
        load_case=load_case,
        demand=demand,
        capacity=capacity,
        at_least=at_least,
        unit=unit,
        shown=shown,
        margin=margin,
        verdict=verdict_of(margin, spread, 0.0 if exact else NARROW),
        method=method,
        source=source,
        spread=spread,
        note=note,
    )


def verdict_of(margin: float, spread: float = 0.0, narrow: float = NARROW) -> Verdict:
    """Verdict for a margin known to a relative standard uncertainty ``spread``."""
    if not isfinite(margin):
        return Verdict.UNKNOWN if margin != float("inf") else Verdict.HOLDS
    if margin < 0.0:
        return Verdict.FAILS
    return Verdict.NARROWLY if margin < max(narrow, spread) else Verdict.HOLDS


def reserve(spread: float) -> float:
    """Margin that sizing aims at so that a check holds rather than holds narrowly."""
    return 1.02 * max(NARROW, spread)


def ratio_margin(demand: float, capacity: float, at_least: bool) -> float:
    """Reserve as a fraction of the demand (or of the capacity where more is better)."""
    if isnan(demand) or isnan(capacity):
        return float("nan")
    over, under = (demand, capacity) if at_least else (capacity, demand)
    if under == 0.0:
        return float("inf") if over > 0.0 else min(over, 0.0)
    return over / under - 1.0 if under > 0.0 else float("inf")


def none_margin(found: int) -> float:
    """Reserve where none of a thing is wanted: without limit at none, all of it gone at one."""
    return -1.0 if found else float("inf")


def in_doubt(check: Check, error: float) -> Check:
    """The check, or *cannot say* where the mesh error is more than its distance to the limit."""
    if abs(check.capacity - check.demand) > error:
        return check
    return replace(check, verdict=Verdict.UNKNOWN)
