"""Room against hover time: every candidate that hovers, those that nothing beats, the finalists."""

from collections.abc import Mapping, Sequence

import numpy as np

from refledge.choosing.compare import Comparison
from refledge.choosing.finalist import Finalist
from refledge.outputs.charts import svg
from refledge.outputs.charts.scale import Scale, axis_below, axis_left, round_step
from refledge.outputs.flying_words import loss_short
from refledge.outputs.layouts_words import kind_name
from refledge.units import from_si

_WIDTH, _HEIGHT = 880.0, 470.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 70.0, 560.0, 24.0, 400.0
_MOST = 400  # points of the front drawn
_LINE = 46.0  # px between entries of the list beside the chart
_APART = 15.0  # px between letters


def layouts_chart(comparison: Comparison) -> str:
    """Across the discs on the horizontal axis, hover time upwards; dots are from the sweep."""
    finalists, cloud = comparison.finalists, comparison.survey.cloud
    front = comparison.front.columns
    across = _scale(
        [*_of(cloud, "footprint"), *_of(front, "footprint")],
        [f.footprint for f in finalists], "m", "mm", _LEFT, _RIGHT,
    )  # fmt: skip
    upwards = _scale(
        [*_of(cloud, "endurance"), *_of(front, "endurance")],
        [f.flying.endurance.value for f in finalists], "s", "min", _BOTTOM, _TOP,
    )  # fmt: skip
    items = [
        *axis_below(across, _TOP, _BOTTOM, "across the discs (mm)"),
        *axis_left(upwards, _LEFT, _RIGHT, "hover time (min)"),
        *_dots(cloud, across, upwards, 1.6, "hollow"),
        *_dots(front, across, upwards, 2.6, "bar"),
        *_wish(comparison, upwards),
        *_letters(finalists, across, upwards),
        *_list(finalists),
        *_key(),
    ]
    return svg.chart(_WIDTH, _HEIGHT, "Layouts: room against hover time", items)


def _of(columns: Mapping[str, np.ndarray], name: str) -> list[float]:
    return [float(each) for each in columns[name]]


def _scale(
    swept: Sequence[float], sized: Sequence[float], si: str, shown: str, start: float, end: float
) -> Scale:
    values = [from_si(each, si, shown) for each in (*swept, *sized)]
    low, high = min(values), max(values)
    step = round_step(max(high - low, 0.05 * high) / 5)
    return Scale(max(0.0, step * np.floor(low / step - 0.2)), step * np.ceil(high / step + 0.2),
                 start, end)  # fmt: skip


def _dots(
    columns: Mapping[str, np.ndarray], across: Scale, upwards: Scale, radius: float, kind: str
) -> list[str]:
    thin = max(1, len(columns["candidate"]) // _MOST)
    rows = zip(_of(columns, "footprint")[::thin], _of(columns, "endurance")[::thin], strict=True)
    return [
        svg.circle(across(from_si(x, "m", "mm")), upwards(from_si(y, "s", "min")), radius, kind)
        for x, y in rows
    ]


def _wish(comparison: Comparison, upwards: Scale) -> list[str]:
    wanted = from_si(comparison.brief.mission.hover_time, "s", "min")
    if not upwards.low < wanted < upwards.high:
        return []
    y = upwards(wanted)
    return [
        svg.line(_LEFT, y, _RIGHT, y, "mode"),
        svg.text(_RIGHT - 4, y - 6, "hover time wanted", "soft", "end"),
    ]


def _letters(finalists: Sequence[Finalist], across: Scale, upwards: Scale) -> list[str]:
    """A ring at each finalist's place, filled where it keeps its heading without any one rotor;
    letters beside it, moved down where two lie on one another."""
    items: list[str] = []
    taken: list[tuple[float, float]] = []
    for each in finalists:
        x = across(from_si(each.footprint, "m", "mm"))
        y = upwards(from_si(each.flying.endurance.value, "s", "min"))
        safe = all(loss.heading for loss in each.flying.losses)
        level = all(loss.level for loss in each.flying.losses)
        kind = "good" if safe else "near" if level else "bad"
        place = y
        while any(abs(x - a) < _APART and abs(place - b) < _APART for a, b in taken):
            place += _APART
        taken.append((x, place))
        items += [svg.circle(x, y, 6.5, kind), svg.text(x + 11, place + 5, each.key, "strong")]
    return items


def _list(finalists: Sequence[Finalist]) -> list[str]:
    items = []
    for k, each in enumerate(finalists):
        y = _TOP + 18 + k * _LINE
        items += [
            svg.text(_RIGHT + 40, y, each.key, "strong"),
            svg.text(_RIGHT + 62, y, svg.shortened(kind_name(each.kind), 32)),
            svg.text(_RIGHT + 62, y + 17, loss_short(each.flying.losses), "soft"),
        ]
    return items


def _key() -> list[str]:
    y = _HEIGHT - 12
    entries = (("good", "one rotor stops: keeps its heading", 260.0),
               ("near", "stays level", 115.0), ("bad", "comes down", 120.0))  # fmt: skip
    items, x = [], 20.0
    for kind, words, width in entries:
        items += [svg.circle(x, y - 4, 6.5, kind), svg.text(x + 12, y, words, "soft")]
        x += width
    return [
        *items,
        svg.circle(x, y - 4, 2.6, "bar"),
        svg.text(x + 9, y, "beaten by none", "soft"),
        svg.circle(x + 125, y - 4, 1.6, "hollow"),
        svg.text(x + 133, y, "others that hover", "soft"),
    ]
