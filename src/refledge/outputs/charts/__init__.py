"""Charts of a study as SVG text, drawn by our own small functions."""

from refledge.outputs.charts.alternatives import alternatives_chart
from refledge.outputs.charts.deflection import deflection_chart
from refledge.outputs.charts.margins import margins_chart
from refledge.outputs.charts.masses import mass_chart
from refledge.outputs.charts.speeds import speed_chart

__all__ = [
    "alternatives_chart",
    "deflection_chart",
    "margins_chart",
    "mass_chart",
    "speed_chart",
]
