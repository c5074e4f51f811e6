"""Where the mass goes: sorted bars, grouped by kind."""

from collections.abc import Sequence

from refledge.model.results import MassLine
from refledge.outputs.charts import svg
from refledge.outputs.charts.scale import Scale, axis_below, round_up
from refledge.units import figure, from_si

_WIDTH, _LEFT, _RIGHT, _TOP = 860.0, 235.0, 760.0, 14.0
_ROW = 26.0
_PRINTED = "printed"


def mass_chart(masses: Sequence[MassLine]) -> str:
    """Bars of every line of the mass table, heaviest first; what is printed in its own colour."""
    lines = sorted(masses, key=lambda m: (-m.total, m.name))
    grams = [from_si(m.total, "kg", "g") for m in lines]
    together = sum(grams)
    bottom = _TOP + _ROW * len(lines)
    across = Scale(0.0, round_up(max(grams)), _LEFT, _RIGHT)
    items = axis_below(across, _TOP, bottom, "mass (g)")
    for k, (entry, mass) in enumerate(zip(lines, grams, strict=True)):
        y = _TOP + _ROW * k
        name = f"{entry.quantity} × {entry.name}" if entry.quantity > 1 else entry.name
        kind = "bar second" if entry.group == _PRINTED else "bar"
        items += [
            svg.text(_LEFT - 8, y + 17, svg.shortened(name, 30), "", "end"),
            svg.rectangle(_LEFT, y + 5, across(mass) - _LEFT, _ROW - 9, kind),
            svg.text(
                across(mass) + 6, y + 17, f"{figure(mass)} g, {figure(100 * mass / together, 2)} %"
            ),
        ]
    items += _key(bottom + 58)
    return svg.chart(_WIDTH, bottom + 70, "Mass by part and item", items)


def _key(y: float) -> list[str]:
    return [
        svg.rectangle(_LEFT, y - 10, 14, 10, "bar second"),
        svg.text(_LEFT + 20, y, "printed", "soft"),
        svg.rectangle(_LEFT + 95, y - 10, 14, 10, "bar"),
        svg.text(_LEFT + 115, y, "all else", "soft"),
    ]
