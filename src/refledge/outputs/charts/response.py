"""What the flight controller and the load below feel while the rotors speed up."""

from refledge.outputs.charts import svg
from refledge.outputs.charts.scale import Scale, axis_below, axis_left, round_up
from refledge.typed import Floats
from refledge.units import from_si
from refledge.verify.results import WholeVerified

_WIDTH, _HEIGHT = 880.0, 420.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 70.0, 640.0, 40.0, 350.0


def response_chart(found: WholeVerified, hover_speeds: tuple[float, ...]) -> str:
    """Acceleration over rotor speed, hover marked."""
    rpm = [from_si(float(speed), "rad/s", "rpm") for speed in found.speed]
    most = max(float(found.at_controller.max()), float(found.at_belly.max()), 1e-6)
    across = Scale(0.0, round_up(rpm[-1]), _LEFT, _RIGHT)
    upwards = Scale(0.0, round_up(1.05 * most), _BOTTOM, _TOP)
    items = [
        *axis_below(across, _TOP, _BOTTOM, "rotor speed (rpm)"),
        *axis_left(upwards, _LEFT, _RIGHT, "acceleration (m/s²)"),
    ]
    for speed in hover_speeds:
        x = across(from_si(speed, "rad/s", "rpm"))
        items += [
            svg.line(x, _TOP, x, _BOTTOM, "mark"),
            svg.text(x, _TOP - 8, "hover", "strong", "middle"),
        ]
    for values, kind, words in (
        (found.at_controller, "line", "flight controller"),
        (found.at_belly, "line second", "battery and load"),
    ):
        items += _curve(rpm, values, kind, words, across, upwards)
    return svg.chart(_WIDTH, _HEIGHT, "Acceleration from residual unbalance over speed", items)


def _curve(
    rpm: list[float], values: Floats, kind: str, words: str, across: Scale, upwards: Scale
) -> list[str]:
    points = [(across(x), upwards(float(y))) for x, y in zip(rpm, values, strict=True)]
    end = points[-1]
    lift = -6.0 if kind == "line" else 14.0
    return [svg.polyline(points, kind), svg.text(end[0] + 8, end[1] + lift, words, "strong")]
