"""Charts of readings: points with line and residuals, creep over time, one figure a piece."""

import math
from collections.abc import Sequence

import numpy as np

from refledge.bench.drawn import DrawnCreep, DrawnPieces, DrawnSeries
from refledge.model.bench_results import Measured
from refledge.outputs.bench_axes import around, axis_decades, trade
from refledge.outputs.charts import svg
from refledge.outputs.charts.scale import Scale, axis_below, axis_left
from refledge.typed import Floats
from refledge.units import from_si

_WIDTH, _LEFT, _RIGHT = 470.0, 66.0, 452.0
_TOP, _BOTTOM, _REST_TOP, _REST_BOTTOM, _FOOT = 34.0, 270.0, 292.0, 392.0, 452.0
_MICRON = 1e6  # residuals are shown in micrometres


def series_chart(drawn: DrawnSeries) -> str:
    """Readings over load with the fitted line; below, what the line leaves, enlarged."""
    read, fitted = from_si_all(drawn.read, "m", "mm"), from_si_all(drawn.fitted, "m", "mm")
    aside = from_si_all(drawn.excluded[:, 1], "m", "mm")
    across = Scale(*around([0.0, *drawn.load, *drawn.excluded[:, 0]]), _LEFT, _RIGHT)
    upwards = Scale(*around([*read, *fitted, *aside], 6), _BOTTOM, _TOP)
    items = axis_left(upwards, _LEFT, _RIGHT, "reading (mm)")
    items += [svg.line(x, _TOP, x, _BOTTOM, "grid") for x in map(across, across.ticks())]
    items.append(svg.text(_LEFT, 18, svg.shortened(drawn.name, 58), "strong"))
    for branch, kind in ((~drawn.unloading, "line"), (drawn.unloading, "line second")):
        items += _line(drawn.load[branch], fitted[branch], across, upwards, kind)
    items += _points(drawn, read, across, upwards, name=True)
    items += [m for x, y in zip(drawn.excluded[:, 0], aside, strict=True)
              for m in _cross(across(float(x)), upwards(float(y)))]  # fmt: skip
    items += _residuals(drawn, across)
    items += _key(_FOOT + 22, len(drawn.excluded) > 0)
    return svg.chart(_WIDTH, _FOOT + 34, f"Readings over load, series {drawn.name}", items)


def from_si_all(values: Floats, unit: str, shown: str) -> Floats:
    """(n,) values in the unit of the trade."""
    return values * from_si(1.0, unit, shown)


def _line(x: Floats, y: Floats, across: Scale, upwards: Scale, kind: str) -> list[str]:
    if len(x) < 2:
        return []
    ends = [int(np.argmin(x)), int(np.argmax(x))]
    return [svg.polyline([(across(float(x[i])), upwards(float(y[i]))) for i in ends], kind)]


def _points(
    drawn: DrawnSeries, values: Floats, across: Scale, upwards: Scale, *, name: bool
) -> list[str]:
    items = []
    for i, value in enumerate(values.tolist()):
        x, y = across(float(drawn.load[i])), upwards(value)
        odd = bool(drawn.odd[i])
        kind = "bad" if odd else "bar second" if drawn.unloading[i] else "bar"
        items.append(svg.circle(x, y, 6.0 if odd else 4.2, kind))
        if odd and name:
            right = x > (_LEFT + _RIGHT) / 2
            words = f"reading {drawn.number[i]}: outlier"
            items.append(
                svg.text(x + (-10 if right else 10), y + 4, words, "bad strong",
                         "end" if right else "start")
            )  # fmt: skip
    return items


def _cross(x: float, y: float) -> list[str]:
    return [
        svg.line(x - 4, y - 4, x + 4, y + 4, "mark"),
        svg.line(x - 4, y + 4, x + 4, y - 4, "mark"),
    ]


def _residuals(drawn: DrawnSeries, across: Scale) -> list[str]:
    rest = drawn.residual * _MICRON
    most = max(float(np.max(np.abs(rest))), 1e-3)
    upwards = Scale(*around([-most, most], 3), _REST_BOTTOM, _REST_TOP)
    items = axis_below(across, _REST_TOP, _REST_BOTTOM, "load (N)")
    items += [svg.line(_LEFT, y, _RIGHT, y, "grid") for y in map(upwards, upwards.ticks(3))]
    items += [
        svg.text(_LEFT - 8, upwards(t) + 4, f"{t:g}".replace("-", "−"), "soft", "end")
        for t in upwards.ticks(3)
    ]
    middle = (_REST_TOP + _REST_BOTTOM) / 2
    items.append(svg.text(_LEFT - 48, middle, "off the line (µm)", "", "middle", -90))
    items.append(svg.line(_LEFT, upwards(0.0), _RIGHT, upwards(0.0), "axis"))
    return items + _points(drawn, rest, across, upwards, name=False)


def _key(y: float, excluded: bool) -> list[str]:
    items = [
        svg.circle(_LEFT + 6, y - 4, 4.2, "bar"),
        svg.text(_LEFT + 16, y, "load going up", "soft"),
        svg.circle(_LEFT + 126, y - 4, 4.2, "bar second"),
        svg.text(_LEFT + 136, y, "going down", "soft"),
    ]
    if excluded:
        items += [*_cross(_LEFT + 236, y - 4), svg.text(_LEFT + 246, y, "not counted", "soft")]
    return items


def creep_chart(drawn: DrawnCreep) -> str:
    """Deflection over the time under load, hours to scale by tens, the law to its horizon."""
    width, right = 880.0, 700.0
    time = (float(drawn.curve_time[0]), float(drawn.curve_time[-1]))
    moved = from_si_all(drawn.moved, "m", "mm")
    curves = from_si_all(drawn.curves, "m", "mm")
    low, high = math.log10(time[0]), math.log10(time[1])
    across = Scale(low, high, _LEFT, right)
    upwards = Scale(*around([*moved, *curves.ravel()], 6), 330.0, 30.0)
    items = axis_left(upwards, _LEFT, right, "deflection (mm)")
    items += axis_decades(across, 30.0, 330.0, "time under load")
    longest = math.log10(float(drawn.time.max()))
    items.append(svg.rectangle(across(longest), 30, right - across(longest), 300, "area"))
    items.append(svg.text(across(longest) + 8, 320, "beyond the last reading", "soft"))
    where = [math.log10(t) for t in drawn.curve_time.tolist()]
    for k, curve in enumerate(curves):
        kind = "line" if k % 2 == 0 else "line second"
        line = [(across(x), upwards(y)) for x, y in zip(where, curve.tolist(), strict=True)]
        items.append(svg.polyline(line, kind))
        items.append(svg.text(line[-1][0] + 8, line[-1][1] + 4, f"{drawn.loads[k]:.3g} N held"))
    for x, y, owner in zip(drawn.time, moved, drawn.owner, strict=True):
        kind = "bar" if owner % 2 == 0 else "bar second"
        items.append(svg.circle(across(math.log10(float(x))), upwards(float(y)), 4.2, kind))
    return svg.chart(width, 384, f"Deflection under a held load, {drawn.law.name} law", items)


def pieces_chart(drawn: DrawnPieces, found: Measured) -> str:
    """Every piece as a point, the mean with its 95 % interval behind them."""
    width, left, right, row, top = 880.0, 190.0, 700.0, 30.0, 44.0
    unit, values = trade(drawn.unit, drawn.values)
    _, (low, high, mean) = trade(drawn.unit, (found.carlo_low, found.carlo_high, found.value))
    across = Scale(*around([*values, low, high], 6), left, right)
    bottom = top + row * len(values)
    items = [svg.rectangle(across(low), top, across(high) - across(low), bottom - top, "area")]
    items += axis_below(across, top, bottom, _unit_title(unit))
    items += [
        svg.line(across(mean), top - 8, across(mean), bottom, "mark"),
        svg.text(across(mean), top - 14, "mean, 95 % shaded", "strong", "middle"),
    ]
    for k, (name, value) in enumerate(zip(drawn.names, values, strict=True)):
        y = top + row * (k + 0.5)
        items += [
            svg.text(left - 10, y + 4, svg.shortened(f"piece {name}", 22), "", "end"),
            svg.circle(across(value), y, 5, "bar"),
            svg.text(right + 10, y + 4, f"{value:.4g} {unit}"),
        ]
    return svg.chart(width, bottom + 52, "One figure for each piece", items)


def _unit_title(unit: str) -> str:
    return {"MPa": "stress (MPa)", "N": "load (N)"}.get(unit, f"density ({unit})")


def charts_of(drawn: Sequence[DrawnSeries]) -> tuple[str, ...]:
    """A chart for each series."""
    return tuple(series_chart(each) for each in drawn)
