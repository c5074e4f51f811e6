"""Axes that the bench's charts need beside the report's: free ends, tens of time, decibels."""

import math
from collections.abc import Iterable, Sequence

from refledge.outputs.charts import svg
from refledge.outputs.charts.scale import Scale, round_step
from refledge.units import from_si

_TIMES = (
    (1.0, "1 s"), (10.0, "10 s"), (60.0, "1 min"), (600.0, "10 min"), (3600.0, "1 h"),
    (36_000.0, "10 h"), (86_400.0, "1 day"), (864_000.0, "10 days"), (8_640_000.0, "100 days"),
)  # fmt: skip
_SHOWN = {"Pa": "MPa", "kg/m**3": "kg/m**3"}


def around(values: Iterable[float], wanted: int = 5) -> tuple[float, float]:
    """Round ends that hold all values."""
    known = [float(v) for v in values]
    low, high = min(known), max(known)
    size = high - low or abs(high) or 1.0
    step = round_step(size / wanted)
    return step * math.floor(low / step + 1e-9), step * math.ceil(high / step - 1e-9)


def trade(unit: str, values: Sequence[float]) -> tuple[str, tuple[float, ...]]:
    """Values in the unit that the trade shows, and that unit in letters."""
    shown = _SHOWN.get(unit, unit)
    letters = shown.replace("**3", "³")
    return letters, tuple(from_si(v, unit, shown) for v in values)


def minus(value: float) -> str:
    """A whole number with a true minus sign."""
    return f"{value:.0f}".replace("-", "−")


def axis_decades(across: Scale, top: float, bottom: float, title: str) -> list[str]:
    """An axis of log10 seconds with times that people say."""
    items = [svg.line(across.start, bottom, across.end, bottom, "axis")]
    for seconds, words in _TIMES:
        at = math.log10(seconds)
        if across.low <= at <= across.high:
            x = across(at)
            items += [
                svg.line(x, top, x, bottom, "grid"),
                svg.text(x, bottom + 18, words, "soft", "middle"),
            ]
    return [*items, svg.text((across.start + across.end) / 2, bottom + 40, title, "", "middle")]
