"""Frame mass of every combination of arm family and material that was sized."""

from collections.abc import Sequence

from refledge.model.results import Alternative
from refledge.outputs.charts import svg
from refledge.outputs.charts.scale import Scale, axis_below, round_up
from refledge.units import figure, from_si

_WIDTH, _LEFT, _RIGHT, _TOP = 860.0, 235.0, 640.0, 14.0
_ROW = 28.0


def alternatives_chart(alternatives: Sequence[Alternative]) -> str:
    """Bars sorted by frame mass, the lightest first; those that do not hold last, with why."""
    ordered = sorted(alternatives, key=lambda a: (not a.feasible, a.frame_mass, a.family))
    grams = [from_si(a.frame_mass, "kg", "g") for a in ordered]
    bottom = _TOP + _ROW * len(ordered)
    across = Scale(0.0, round_up(max([1.0, *grams])), _LEFT, _RIGHT)
    items = axis_below(across, _TOP, bottom, "frame mass (g)")
    for k, (each, mass) in enumerate(zip(ordered, grams, strict=True)):
        items += _bar(each, mass, _TOP + _ROW * k, across, lightest=k == 0 and each.feasible)
    return svg.chart(_WIDTH, bottom + 52, "Frame mass by arm family and material", items)


def _bar(each: Alternative, mass: float, y: float, across: Scale, *, lightest: bool) -> list[str]:
    name = f"{each.family}, {each.material}"
    items = [svg.text(_LEFT - 8, y + 18, svg.shortened(name, 30), "", "end")]
    if not each.feasible:
        words = f"does not hold: {each.worst}"
        return [*items, svg.text(_LEFT + 8, y + 18, svg.shortened(words, 84), "soft")]
    words = f"{figure(mass)} g" + (", lightest" if lightest else "")
    return [
        *items,
        svg.rectangle(_LEFT, y + 5, across(mass) - _LEFT, _ROW - 10, "bar second"),
        svg.text(across(mass) + 6, y + 18, words, "strong" if lightest else ""),
    ]
