"""Straight axes: values to pixels, with ticks at round numbers."""

import math
from dataclasses import dataclass

from refledge.outputs.charts import svg


@dataclass(frozen=True)
class Scale:
    """Maps ``low``..``high`` to pixels ``start``..``end``."""

    low: float
    high: float
    start: float
    end: float

    def __call__(self, value: float) -> float:
        share = (value - self.low) / (self.high - self.low)
        return self.start + share * (self.end - self.start)

    def ticks(self, wanted: int = 6) -> list[float]:
        """Round numbers from low to high, about ``wanted`` of them."""
        step = round_step((self.high - self.low) / wanted)
        first = math.ceil(self.low / step - 1e-9)
        last = math.floor(self.high / step + 1e-9)
        return [k * step for k in range(first, last + 1)]


def round_step(least: float) -> float:
    """The smallest 1, 2 or 5 times a power of ten that is not below ``least``."""
    power = 10.0 ** math.floor(math.log10(least))
    return next(m * power for m in (1.0, 2.0, 5.0, 10.0) if m * power >= least * (1 - 1e-9))


def round_up(value: float, wanted: int = 6) -> float:
    """The first whole step at or above ``value``: the end of an axis that starts at nought."""
    step = round_step(max(value, 1e-9) / wanted)
    return step * math.ceil(value / step - 1e-9)


def label(value: float) -> str:
    return f"{value:.10g}".replace("-", "\N{MINUS SIGN}")


def axis_below(scale: Scale, top: float, bottom: float, title: str) -> list[str]:
    """Ticks, grid and title of a horizontal axis at height ``bottom``."""
    items = [svg.line(scale.start, bottom, scale.end, bottom, "axis")]
    for tick in scale.ticks():
        x = scale(tick)
        items += [
            svg.line(x, top, x, bottom, "grid"),
            svg.text(x, bottom + 18, label(tick), "soft", "middle"),
        ]
    middle = (scale.start + scale.end) / 2
    return [*items, svg.text(middle, bottom + 40, title, "", "middle")]


def axis_left(scale: Scale, left: float, right: float, title: str) -> list[str]:
    """Ticks, grid and title of a vertical axis at ``left``."""
    items = [svg.line(left, scale.start, left, scale.end, "axis")]
    for tick in scale.ticks():
        y = scale(tick)
        items += [
            svg.line(left, y, right, y, "grid"),
            svg.text(left - 8, y + 4, label(tick), "soft", "end"),
        ]
    middle = (scale.start + scale.end) / 2
    return [*items, svg.text(left - 48, middle, title, "", "middle", -90)]


def spread_out(wanted: list[float], gap: float, low: float, high: float) -> list[float]:
    """Places near ``wanted`` (rising) that keep ``gap`` apart, between ``low`` and ``high``."""
    placed: list[float] = []
    for place in wanted:
        placed.append(max(place, placed[-1] + gap) if placed else max(place, low))
    limit = high
    for k in range(len(placed) - 1, -1, -1):
        placed[k] = min(placed[k], limit)
        limit = placed[k] - gap
    return placed
