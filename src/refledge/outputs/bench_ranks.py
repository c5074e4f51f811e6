"""Charts of comparisons: who is stiffer for the mass and how surely; how honest we have been."""

from collections.abc import Sequence
from math import isnan

from refledge.bench.scoring import Running
from refledge.model.comparing import Ranked
from refledge.model.learning import Score
from refledge.outputs.bench_axes import around
from refledge.outputs.charts import svg
from refledge.outputs.charts.scale import Scale, axis_below, axis_left, round_up

_WIDTH, _LEFT, _RIGHT, _ROW, _TOP = 980.0, 280.0, 650.0, 30.0, 30.0
_NORMAL_95 = 1.96


def rank_chart(places: Sequence[Ranked], title: str) -> str:
    """Figures over the best one's, with 95 % intervals, best first."""
    best = places[0].value
    ends = [(p.value / best) * (1 + _NORMAL_95 * p.spread) for p in places]
    across = Scale(0.0, round_up(max(ends)), _LEFT, _RIGHT)
    bottom = _TOP + _ROW * len(places)
    items = axis_below(across, _TOP, bottom, f"{title}, over the best one's; lines hold 95 %")
    for k, each in enumerate(places):
        items += _place(each, best, _TOP + _ROW * (k + 0.5), across)
    return svg.chart(_WIDTH, bottom + 52, title, items)


def _place(each: Ranked, best: float, y: float, across: Scale) -> list[str]:
    share = each.value / best
    low = max(share * (1 - _NORMAL_95 * each.spread), 0.0)
    high = share * (1 + _NORMAL_95 * each.spread)
    sure = "" if isnan(each.over_next) else f"over the next: {_percent(each.over_next)}"
    return [
        svg.text(_LEFT - 10, y + 4, svg.shortened(each.name, 40), "", "end"),
        svg.line(across(low), y, across(high), y, "mark"),
        svg.line(across(low), y - 5, across(low), y + 5, "mark"),
        svg.line(across(high), y - 5, across(high), y + 5, "mark"),
        svg.circle(across(share), y, 5.5, "bar"),
        svg.text(_RIGHT + 14, y + 4, f"best of all: {_percent(each.best)}", "strong"),
        svg.text(_RIGHT + 150, y + 4, sure, "soft"),
    ]


def _percent(share: float) -> str:
    if share > 0.99:
        return "> 99 %"
    return "< 1 %" if share < 0.01 else f"{share:.0%}".replace("%", " %")


def calibration_chart(scores: Sequence[Score], so_far: Running) -> str:
    """Each test's distance from its prediction, and their root mean square as it went on."""
    z = [each.z for each in scores]
    left, right = 70.0, 760.0
    across = Scale(0.0, len(z) + 1.0, left, right)
    upwards = Scale(*around([-3.0, 3.0, *z], 6), 280.0, 30.0)
    items = [
        svg.rectangle(left, upwards(2.0), right - left, upwards(-2.0) - upwards(2.0), "area"),
        *axis_left(upwards, left, right, "z: measured less predicted"),
        svg.line(left, upwards(0.0), right, upwards(0.0), "axis"),
        svg.text(right + 10, upwards(1.6), "19 of 20 honest", "soft"),
        svg.text(right + 10, upwards(1.6) + 16, "ones lie here", "soft"),
    ]
    for k, value in enumerate(z, 1):
        kind = "bar" if abs(value) <= _NORMAL_95 else "bad"
        items.append(svg.circle(across(float(k)), upwards(value), 4.6, kind))
    items += _running(so_far, across, left, right)
    return svg.chart(_WIDTH, 560, "Tests against the predictions made before them", items)


def _running(so_far: Running, across: Scale, left: float, right: float) -> list[str]:
    top = float(max(so_far.rms.max(), so_far.high.max()))
    upwards = Scale(0.0, round_up(top), 500.0, 320.0)
    items = axis_left(upwards, left, right, "rms of z so far")
    items += [svg.line(left, 500, right, 500, "axis")]
    items.append(svg.text((left + right) / 2, 528, "tests, oldest first", "", "middle"))
    curves = ((so_far.low, "ghost"), (so_far.high, "ghost"), (so_far.rms, "line"))
    for values, kind in curves:
        line = [(across(k), upwards(v)) for k, v in enumerate(values.tolist(), 1)]
        items.append(svg.polyline(line, kind))
        items += [svg.circle(x, y, 2.6, "bar") for x, y in line if kind == "line"]
    words = "line: root mean square of z so far; dotted: 95 % of honest ones lie between"
    return [*items, svg.text((left + right) / 2, 548, words, "soft", "middle")]
