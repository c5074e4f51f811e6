"""Charts of recordings: taps in time, their spectrum, spectrogram and orders of a flight log."""

import re
from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from refledge.model.recordings import ModeMatch, Recording, TapResult, VibrationResult
from refledge.outputs.bench_axes import around, minus
from refledge.outputs.charts import svg
from refledge.outputs.charts.scale import Scale, axis_below, axis_left, round_up, spread_out
from refledge.outputs.colours import colour_scale
from refledge.outputs.pages import data_uri
from refledge.outputs.render import Pixels, png_bytes
from refledge.typed import Floats

_WIDTH, _LEFT, _RIGHT = 980.0, 70.0, 770.0
_BINS = 700
_QUIET = -70.0  # dB under the highest peak: nothing below is drawn
_SPAN = 60.0  # dB of a spectrogram's colours


def taps_chart(recording: Recording, found: TapResult) -> str:
    """The recording's loudest channel as an envelope, the taps marked."""
    x = recording.samples[:, int(np.argmax(np.std(recording.samples, axis=0)))]
    edges = np.unique(np.linspace(0, len(x), _BINS + 1).astype(int))
    high = np.array([x[a:b].max() for a, b in pairwise(edges)])
    low = np.array([x[a:b].min() for a, b in pairwise(edges)])
    across = Scale(0.0, round_up(len(x) / recording.rate), _LEFT, _RIGHT)
    upwards = Scale(*around([*high, *low], 4), 190.0, 30.0)
    items = axis_left(upwards, _LEFT, _RIGHT, recording.unit)
    items += axis_below(across, 30.0, 190.0, "time (s)")
    at = (edges[:-1] + edges[1:]) / 2 / recording.rate
    items += [
        svg.line(across(t), upwards(b), across(t), upwards(a), "line")
        for t, a, b in zip(at.tolist(), high.tolist(), low.tolist(), strict=True)
    ]
    for k, start in enumerate(found.taps, 1):
        items += [
            svg.line(across(start), 26, across(start), 190, "mark"),
            svg.text(across(start), 20, str(k), "soft", "middle"),
        ]
    return svg.chart(_WIDTH, 244, "The recording, taps numbered", items)


def spectrum_chart(found: TapResult, matches: Sequence[ModeMatch] = ()) -> str:
    """Mean spectrum of the taps in dB, modes heard marked, predicted ones dashed."""
    top_of = max([m.frequency for m in found.modes] + [m.predicted for m in matches])
    last = min(float(found.frequency[-1]), round_up(1.6 * top_of))
    kept = (found.frequency <= last) & (found.frequency > 0)
    f, level = _thinned(found.frequency[kept], found.power[kept])
    decibel = np.maximum(10 * np.log10(level / level.max()), _QUIET)
    across = Scale(0.0, last, _LEFT, _RIGHT)
    upwards = Scale(_QUIET, 10.0, 400.0, 60.0)
    items = axis_left(upwards, _LEFT, _RIGHT, "power of the ringing (dB under the peak)")
    items += axis_below(across, 60.0, 400.0, "frequency (Hz)")
    for each in matches:
        if each.predicted <= last:
            x = across(each.predicted)
            items.append(svg.line(x, 60, x, 400, "mode"))
    line = [(across(a), upwards(b)) for a, b in zip(f.tolist(), decibel.tolist(), strict=True)]
    items.append(svg.polyline(line, "line"))
    items += _mode_labels(found, across, upwards, f, decibel)
    items += _spectrum_key(bool(matches))
    return svg.chart(_WIDTH, 476, "Spectrum of the taps with the modes heard", items)


def _thinned(f: Floats, power: Floats) -> tuple[Floats, Floats]:
    """Highest value of each of _BINS steps, so that no peak is lost."""
    edges = np.unique(np.linspace(0, len(f), _BINS + 1).astype(int))
    top = [a + int(np.argmax(power[a:b])) for a, b in pairwise(edges)]
    return f[top], np.maximum(power[top], 1e-30)


def _mode_labels(
    found: TapResult, across: Scale, upwards: Scale, f: Floats, decibel: Floats
) -> list[str]:
    """Numbered dots on the peaks; frequency and damping listed at the side."""
    items = []
    for k, mode in enumerate(found.modes[:16], 1):
        x, y = across(mode.frequency), upwards(float(np.interp(mode.frequency, f, decibel)))
        words = f"{k}: {mode.frequency:.1f} Hz, {mode.damping:.2%} damping"
        items += [
            svg.circle(x, y, 4.5, "bar second"),
            svg.text(x, y - 9, str(k), "strong", "middle"),
            svg.text(_RIGHT + 14, 70.0 + 20 * k, words),
        ]
    return items


def _spectrum_key(predicted: bool) -> list[str]:
    items = [svg.circle(_LEFT + 6, 456, 4.5, "bar second"), svg.text(_LEFT + 18, 460, "mode heard")]
    if predicted:
        items += [
            svg.line(_LEFT + 120, 456, _LEFT + 148, 456, "mode"),
            svg.text(_LEFT + 156, 460, "predicted"),
        ]
    return items


def spectrogram_chart(
    found: VibrationResult, recording: Recording, modes: Sequence[tuple[str, float]], blades: int
) -> str:
    """Power over time and frequency in colours; the rotor's speed and predicted modes over it."""
    decibel = 10 * np.log10(np.maximum(found.power, 1e-30))
    high = float(decibel.max())
    share = (decibel - high + _SPAN) / _SPAN
    colours = np.round(255 * colour_scale(share[::-1])).astype(np.uint8)
    top, bottom = 30.0, 400.0
    half = (found.time[1] - found.time[0]) / 2
    start, end = float(found.time[0] - half), float(found.time[-1] + half)
    right = _RIGHT if not modes else 610.0
    across = Scale(start, end, _LEFT, right)
    upwards = Scale(0.0, float(found.frequency[-1]), bottom, top)
    items = [_image(colours, _LEFT, top, right - _LEFT, bottom - top)]
    items += axis_below(across, bottom, bottom, "time (s)")
    items += axis_left(upwards, _LEFT, _LEFT, "frequency (Hz)")
    items += _rotor_lines(found, recording, across, upwards, blades)
    for words, hertz, y in _mode_places(modes, upwards):
        items.append(svg.text(right + 40, y + 4, svg.shortened(words, 42), "soft"))
        items += [svg.line(right, upwards(h), right + 8, upwards(h), "mark") for h in hertz]
        items.append(svg.line(right + 8, upwards(hertz[0]), right + 36, y, "ghost"))
    items += _scale_key(high, bottom + 66)
    return svg.chart(_WIDTH, bottom + 92, "Spectrogram, all axes together", items)


def _image(colours: Pixels, x: float, y: float, width: float, height: float) -> str:
    uri = data_uri(png_bytes(colours))
    return (
        f'<image x="{svg.number(x)}" y="{svg.number(y)}" width="{svg.number(width)}" '
        f'height="{svg.number(height)}" preserveAspectRatio="none" href="{uri}"/>'
    )


def _rotor_lines(
    found: VibrationResult, recording: Recording, across: Scale, upwards: Scale, blades: int
) -> list[str]:
    """Once per revolution and blade pass where the log holds the speed."""
    if np.any(np.isnan(recording.speed)):
        return []
    at = np.clip((found.time * recording.rate).astype(int), 0, len(recording.speed) - 1)
    items = []
    for order, words in ((1, "once per turn"), (blades, "blade pass")):
        hertz = order * recording.speed[at]
        points = [
            (across(float(t)), upwards(float(h)))
            for t, h in zip(found.time, hertz, strict=True)
            if h <= upwards.high
        ]
        if len(points) > 1:
            x, y = points[len(points) // 2]
            items.append(f'<g stroke="#fff" stroke-opacity=".75">{_thin(points)}</g>')
            items.append(f'<g style="--ink:#fff">{svg.text(x, y - 8, words, "strong", "end")}</g>')
    return items


def _thin(points: Sequence[tuple[float, float]]) -> str:
    where = " ".join(f"{svg.number(x)},{svg.number(y)}" for x, y in points)
    return f'<polyline points="{where}" fill="none" stroke-width="1.2" stroke-dasharray="6 5"/>'


def _mode_places(
    modes: Sequence[tuple[str, float]], upwards: Scale
) -> list[tuple[str, tuple[float, ...], float]]:
    """Words, frequencies and place of modes that move alike and lie near each other, as one."""
    groups: list[tuple[str, list[float]]] = []
    for label, hertz in sorted((m for m in modes if m[1] <= upwards.high), key=lambda m: -m[1]):
        what = re.sub(r" \(\d+\)$", "", label)
        near = [g for g in groups if g[0] == what and g[1][-1] < 1.12 * hertz]
        if near:
            near[0][1].append(hertz)
        else:
            groups.append((what, [hertz]))
    places = spread_out([upwards(g[1][0]) for g in groups], 15.0, upwards.end, upwards.start)
    return [
        (f"{_range(alike[-1], alike[0])} Hz, {what}", tuple(alike), y)
        for (what, alike), y in zip(groups, places, strict=True)
    ]


def _range(low: float, high: float) -> str:
    ends = f"{low:.0f}", f"{high:.0f}"
    return ends[0] if ends[0] == ends[1] else " to ".join(ends)


def _scale_key(high: float, y: float) -> list[str]:
    bar = np.round(255 * colour_scale(np.linspace(0, 1, 64)[None, :])).astype(np.uint8)
    return [
        svg.text(_LEFT, y + 11, minus(high - _SPAN), "soft"),
        _image(bar, _LEFT + 40, y, 200.0, 14.0),
        svg.text(_LEFT + 250, y + 11, f"{minus(high)} dB of 1 (m/s²)²/Hz", "soft"),
    ]


def orders_chart(found: VibrationResult, blades: int) -> str:
    """Acceleration by multiple of the rotor speed."""
    across = Scale(0.0, float(np.ceil(found.orders[-1])), _LEFT, _RIGHT)
    upwards = Scale(0.0, round_up(1.05 * float(found.order_rms.max())), 300.0, 40.0)
    items = axis_left(upwards, _LEFT, _RIGHT, "acceleration (m/s², rms)")
    items += axis_below(across, 40.0, 300.0, "multiple of the rotor speed (order)")
    pairs = zip(found.orders.tolist(), found.order_rms.tolist(), strict=True)
    items.append(svg.polyline([(across(a), upwards(b)) for a, b in pairs], "line"))
    named = {1: "once per revolution", blades: "blade pass", 2 * blades: "twice blade pass"}
    for order, words in named.items():
        if order <= found.orders[-1]:
            x = across(float(order))
            items += [
                svg.line(x, 40, x, 300, "ghost"),
                svg.text(x, 30, words, "strong", "middle" if order > 1 else "start"),
            ]
    return svg.chart(_WIDTH, 354, "Acceleration by order of the rotor speed", items)
