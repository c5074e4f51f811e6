"""Figures as texts, remembered: the same number is shown many times over."""

from functools import lru_cache
from typing import Any

from refledge.outputs.record import plain
from refledge.typed import Json
from refledge.units import figure, from_si, show

REMEMBERED = 3_000
"""Texts kept: those of one set of results (under 1,000) a few times over. Each of them lies among
what an edit lets go of and keeps that memory from going back: no more of them than are of use."""


@lru_cache(maxsize=REMEMBERED)
def shown(value: float, unit: str, trade: str, digits: int = 3) -> str:
    """``value`` (SI) in the unit of the trade, as ``units.show`` has it."""
    factor, plain_one = _factor(unit, trade)
    if factor is None:
        return show(value, unit, trade, digits)
    return plain_one.replace("1", figure(value * factor, digits), 1)


@lru_cache(maxsize=200)
def _factor(unit: str, trade: str) -> tuple[float | None, str]:
    """What to multiply with and how 1 looks in the trade's unit; None where a zero is shifted.

    The units library takes long over each number, and hundreds are shown after every edit.
    """
    if from_si(0.0, unit, trade) != 0.0:
        return None, ""
    return from_si(1.0, unit, trade), show(1.0, trade, trade, 1)


@lru_cache(maxsize=1000)
def spread_words(spread: float | None) -> str:
    """Such as ``± 5 %``."""
    if spread is None:
        return "not stated"
    return f"± {100 * spread:.2g} %" if spread else "exact"


def json_ready(value: Any) -> Json:
    """Dataclasses, arrays and odd numbers as what JSON can say."""
    return plain(value)
