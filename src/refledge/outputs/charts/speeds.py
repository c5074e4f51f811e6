"""Rotor speed against modes: what the rotors shake over the throttle, what the frame answers."""

import math
from itertools import pairwise

from refledge.model.flight import SpeedRange
from refledge.model.results import ModeSet
from refledge.outputs.charts import svg
from refledge.outputs.charts.scale import Scale, axis_below, axis_left, round_up, spread_out
from refledge.outputs.words import ModeGroup, count, mode_groups

_WIDTH, _HEIGHT = 880.0, 480.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 70.0, 540.0, 40.0, 410.0
_LINE = 17.0  # px between labels
_LETTERS = 43  # of a label


def speed_chart(speeds: SpeedRange, modes: ModeSet, separation: float) -> str:
    """Once-per-revolution and blade-pass frequency over throttle, with the frame's modes.

    ``separation`` (1) is the share about each excitation at hover that modes must keep out of.
    """
    top = round_up(1.05 * _hz(speeds.full_speed) * speeds.blades)
    across = Scale(0.0, 100.0, _LEFT, _RIGHT)
    upwards = Scale(0.0, top, _BOTTOM, _TOP)
    items = [
        *_bands(speeds, separation, upwards),
        *axis_below(across, _TOP, _BOTTOM, "throttle (%)"),
        *axis_left(upwards, _LEFT, _RIGHT, "frequency (Hz)"),
        *_orders(speeds, across, upwards),
        *_hover(speeds, across, upwards),
        *_labels(speeds, modes, upwards),
    ]
    return svg.chart(_WIDTH, _HEIGHT, "Rotor speed against natural frequencies", items)


def _hz(speed: float) -> float:
    """Turns per second at ``speed`` in rad/s."""
    return speed / (2 * math.pi)


def _orders(speeds: SpeedRange, across: Scale, upwards: Scale) -> list[str]:
    pairs = [
        (across(100 * float(t)), _hz(float(s)))
        for t, s in zip(speeds.throttle, speeds.speed, strict=True)
    ]
    once = [(x, upwards(f)) for x, f in pairs]
    blades = [(x, upwards(speeds.blades * f)) for x, f in pairs]
    return [svg.polyline(once, "line"), svg.polyline(blades, "line second")]


def _bands(speeds: SpeedRange, separation: float, upwards: Scale) -> list[str]:
    items = []
    for speed in speeds.hover_speeds:
        for order in (1, speeds.blades):
            middle = order * _hz(speed)
            high, low = upwards(middle * (1 + separation)), upwards(middle * (1 - separation))
            items.append(svg.rectangle(_LEFT, high, _RIGHT - _LEFT, low - high, "area"))
    return items


def _hover(speeds: SpeedRange, across: Scale, upwards: Scale) -> list[str]:
    items = []
    for k, speed in enumerate(speeds.hover_speeds):
        x = across(100 * _throttle_at(speeds, speed))
        name = "hover" if len(speeds.hover_speeds) == 1 else ("hover, upper", "hover, lower")[k]
        items += [
            svg.line(x, _TOP, x, _BOTTOM, "mark"),
            svg.text(x, _TOP - 8 - _LINE * k, name, "strong", "middle"),
            *(
                svg.circle(x, upwards(order * _hz(speed)), 4.5, "bar")
                for order in (1, speeds.blades)
            ),
        ]
    return items


def _throttle_at(speeds: SpeedRange, speed: float) -> float:
    """Throttle whose speed is nearest on the curve, by straight lines between its points."""
    pairs = list(zip(speeds.speed.tolist(), speeds.throttle.tolist(), strict=True))
    for (s1, t1), (s2, t2) in pairwise(pairs):
        if s1 <= speed <= s2:
            return float(t1 + (t2 - t1) * (speed - s1) / (s2 - s1)) if s2 > s1 else float(t1)
    return float(pairs[-1][1] if speed > pairs[-1][0] else pairs[0][1])


def _labels(speeds: SpeedRange, modes: ModeSet, upwards: Scale) -> list[str]:
    """Mode lines and, at the right, what every line is."""
    groups = mode_groups(modes)
    seen = [group for group in groups if group.low <= upwards.high]
    full = _hz(speeds.full_speed)
    entries = [
        (full, "once per revolution", "strong"),
        (speeds.blades * full, f"blade pass ({speeds.blades} blades)", "strong"),
        *((group.low, _mode_words(group), "" if group.matters else "soft") for group in seen),
    ]
    entries.sort(key=lambda entry: -entry[0])
    wanted = [upwards(entry[0]) for entry in entries]
    items = _mode_lines(modes, upwards)
    places = spread_out(wanted, _LINE, _TOP, _BOTTOM)
    for (_, words, kind), y, place in zip(entries, wanted, places, strict=True):
        items += [
            svg.line(_RIGHT, y, _RIGHT + 18, place, "grid"),
            svg.text(_RIGHT + 22, place + 4, words, kind),
        ]
    hidden = sum(group.count for group in groups) - sum(group.count for group in seen)
    if hidden:
        items.append(svg.text(_RIGHT + 22, _TOP - 14, count(hidden, "mode") + " above", "soft"))
    return [*items, *_key(modes)]


def _key(modes: ModeSet) -> list[str]:
    """What shading and lines mean, under the chart."""
    y = _BOTTOM + 57
    items = [
        svg.rectangle(_LEFT, y - 5, 22, 10, "area"),
        svg.text(_LEFT + 28, y + 4, "to be kept clear at hover", "soft"),
    ]
    if modes.felt_limit > 0:
        items += [
            svg.line(_LEFT + 220, y, _LEFT + 242, y, "mode heavy"),
            svg.text(_LEFT + 248, y + 4, "mode that the flight controller would feel", "soft"),
            svg.line(_LEFT + 540, y, _LEFT + 562, y, "mode"),
            svg.text(_LEFT + 568, y + 4, "mode that it would not", "soft"),
        ]
    return items


def _mode_lines(modes: ModeSet, upwards: Scale) -> list[str]:
    """A line for every mode on the chart: heavy where the flight controller would feel it."""
    lines = []
    for frequency, felt in zip(modes.frequencies.tolist(), modes.felt.tolist(), strict=True):
        if frequency <= upwards.high:
            y = upwards(frequency)
            kind = "mode heavy" if felt >= modes.felt_limit > 0 else "mode"
            lines.append(svg.line(_LEFT, y, _RIGHT, y, kind))
    return lines


def _mode_words(group: ModeGroup) -> str:
    many = f" ({group.count})" if group.count > 1 else ""
    return svg.shortened(f"{group.frequency}{many} {group.label}", _LETTERS)
