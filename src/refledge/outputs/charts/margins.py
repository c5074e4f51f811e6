"""Margins of all checks: bars from the limit, the nearest to failing first."""

import math
from collections.abc import Sequence

from refledge.model.checks import Check, Verdict
from refledge.outputs.charts import svg
from refledge.outputs.charts.scale import Scale, axis_below

_WIDTH, _LEFT, _RIGHT, _TOP = 860.0, 395.0, 725.0, 14.0
_ROW = 24.0
_ROWS = 24
_MOST = 100.0  # %: more reserve than this says no more, so bars stop here
_KINDS = {
    Verdict.HOLDS: "good",
    Verdict.NARROWLY: "near",
    Verdict.FAILS: "bad",
    Verdict.UNKNOWN: "dunno",
}


def margins_chart(checks: Sequence[Check]) -> str:
    """A bar for each check with its verdict in words; left of the line fails."""
    ordered = sorted(checks, key=lambda c: (_percent(c), c.key))
    left_out = ordered[_ROWS:]
    ordered = ordered[:_ROWS]
    bottom = _TOP + _ROW * len(ordered)
    least = min([0.0, *(_percent(c) for c in ordered)])
    across = Scale(math.floor(least / 25) * 25, _MOST, _LEFT, _RIGHT)
    items = axis_below(across, _TOP, bottom, "reserve to the limit (%), bars end at ±100 %")
    for k, check in enumerate(ordered):
        items += _bar(check, _TOP + _ROW * k, across)
    items.append(svg.line(across(0.0), _TOP - 6, across(0.0), bottom, "mark"))
    if left_out:
        words = f"and {len(left_out)} more with {_percent(left_out[0]):.0f} % or more in reserve"
        items.append(svg.text(_LEFT - 10, bottom + 18, words, "soft", "end"))
    return svg.chart(_WIDTH, bottom + 52, "Reserve of every check", items)


def _bar(check: Check, y: float, across: Scale) -> list[str]:
    at, zero = across(_percent(check)), across(0.0)
    kind = _KINDS[check.verdict]
    name = f"{check.title} ({check.part})" if check.part else check.title
    return [
        svg.text(_LEFT - 10, y + 16, svg.shortened(name, 54), "", "end"),
        svg.rectangle(min(at, zero), y + 5, abs(at - zero), _ROW - 9, kind),
        svg.text(_RIGHT + 8, y + 16, str(check.verdict), f"strong {kind}"),
    ]


def _percent(check: Check) -> float:
    """Margin in percent, held to what the axis shows; an unknown one stands at the line."""
    if math.isnan(check.margin):
        return 0.0
    return max(-_MOST, min(_MOST, 100 * check.margin))
