"""A vibration log: how loud, at which frequencies, what follows the rotors and what does not."""

from collections.abc import Sequence
from math import nan

import numpy as np
from scipy import signal

from refledge.bench.orders import order_spectrum, speed_from_throttle
from refledge.errors import AnalysisError
from refledge.model.bench_results import Finding
from refledge.model.recordings import Recording, VibrationLine, VibrationResult
from refledge.typed import Bools, Floats

SLICE = 0.5
"""s; length of one slice of the spectrogram, which makes its lines 2 Hz wide."""
LEAST_SLICES = 4
WIDE = 3
"""Lines of the spectrum to each side that belong to a peak of a Hann window."""
NEAR = 0.08
"""Relative distance at which a line is taken for a predicted mode: ours."""
MOST_LINES = 8

Mode = tuple[str, float]
"""Label and Hz."""


def vibration(recording: Recording, modes: Sequence[Mode] = (), blades: int = 2) -> VibrationResult:
    """Spectrogram, order spectrum, and the lines that carry the energy."""
    x = recording.samples - recording.samples.mean(axis=0)
    n = int(SLICE * recording.rate)
    if n < 16 or len(x) < LEAST_SLICES * n:
        need = f"{LEAST_SLICES * SLICE:.0f} s at 32 Hz or more"
        raise AnalysisError(f"the log is too short or too slow to say anything; it needs {need}")
    f, t, power = _spectrogram(x, recording.rate, n)
    findings = list(recording.notes)
    speed = recording.speed
    if np.any(np.isnan(speed)) and recording.throttle is not None:
        speed, words = speed_from_throttle(f, t, power, recording.throttle, recording.rate)
        findings.append(Finding("speed", False, words))
    known = not np.any(np.isnan(speed))
    lines: list[VibrationLine] = []
    orders = order_rms = np.empty(0)
    moving = np.zeros_like(power, dtype=np.bool_)
    if known:
        orders, order_rms = order_spectrum(x, speed, recording.rate, 2 * blades + 1)
        lines += _order_lines(orders, order_rms, float(np.mean(speed)), blades)
        moving = _moving(f, t, speed, recording.rate, blades)
        findings += _speed_findings(speed)
    total = float(np.sqrt(np.sum(np.mean(x**2, axis=0))))
    lines += _still_lines(f, power, moving, modes, known)
    shared = [_shared(line, total) for line in sorted(lines, key=lambda each: -each.rms)]
    return VibrationResult(
        lines=tuple(shared[:MOST_LINES]),
        rms=total,
        time=t,
        frequency=f,
        power=power,
        orders=orders,
        order_rms=order_rms,
        findings=tuple(findings),
    )


def _spectrogram(x: Floats, rate: float, n: int) -> tuple[Floats, Floats, Floats]:
    """Frequencies (f,), times (t,), power (f, t) of all axes together, Hann slices half over."""
    f, t, power = signal.spectrogram(
        x, rate, window="hann", nperseg=n, noverlap=n // 2, detrend=False, axis=0
    )
    return np.asarray(f), np.asarray(t), np.asarray(power.sum(axis=1))


def _order_lines(orders: Floats, rms: Floats, speed: float, blades: int) -> list[VibrationLine]:
    """Once per revolution, blade pass and twice blade pass, without the level around them.

    A mode that stands still is smeared over many orders; it is no part of the rotors' lines.
    """
    named = {1: "once per revolution", blades: "blade pass", 2 * blades: "twice blade pass"}
    step = float(orders[1] - orders[0])
    lines = []
    for order, name in named.items():
        if order > orders[-1]:
            continue  # faster than the log can show
        at = round(order / step)
        part = rms[max(1, at - WIDE) : at + WIDE + 1] ** 2
        beside = rms[max(1, at - 3 * WIDE) : at + 3 * WIDE + 1] ** 2
        level = (float(np.sum(beside)) - float(np.sum(part))) / max(len(beside) - len(part), 1)
        value = float(np.sqrt(max(float(np.sum(part)) - level * len(part), 0.0)))
        lines.append(VibrationLine(name, order * speed, value, 0.0, "speed", f"order {order}"))
    return lines


def _moving(f: Floats, t: Floats, speed: Floats, rate: float, blades: int) -> Bools:
    """(f, t), lines of the spectrogram near a multiple of the rotor speed."""
    half = SLICE / 2
    centre = np.clip((t * rate).astype(int), 0, len(speed) - 1)
    reach = int(half * rate)
    low = np.array([speed[max(0, c - reach) : c + reach].min() for c in centre])
    high = np.array([speed[max(0, c - reach) : c + reach].max() for c in centre])
    near = np.zeros((len(f), len(t)), dtype=np.bool_)
    edge = WIDE * (f[1] - f[0])
    for order in sorted({1, 2, blades, 2 * blades}):
        near |= (f[:, None] > order * low - edge) & (f[:, None] < order * high + edge)
    return near


def _still_lines(
    f: Floats, power: Floats, moving: Bools, modes: Sequence[Mode], known: bool
) -> list[VibrationLine]:
    """Peaks that stay where they are while the rotors change speed."""
    kept = np.where(moving, nan, power)
    seen = np.mean(~moving, axis=1)
    mean = np.where(seen > 0.1, np.nansum(kept, axis=1) / np.maximum(np.sum(~moving, axis=1), 1), 0)
    step = float(f[1] - f[0])
    base = signal.medfilt(mean, 2 * min(25, len(mean) // 4) + 1)
    at, _ = signal.find_peaks(mean, prominence=3 * np.maximum(base, 1e-30).mean())
    lines = []
    for i in at[mean[at] > 6 * base[at]]:
        near = slice(max(1, i - WIDE), i + WIDE + 1)
        over = np.maximum(mean[near] - base[near], 0)
        where = float(np.sum(f[near] * over) / np.sum(over))
        value = float(np.sqrt(np.sum(over) * step))
        label = _named(where, modes)
        name = label or f"{where:.0f} Hz"
        follows = "still" if known else "unknown"
        lines.append(VibrationLine(name, where, value, 0.0, follows, label and f"mode {label}"))
    return lines


def _named(frequency: float, modes: Sequence[Mode]) -> str:
    near = [(abs(frequency / hz - 1), label) for label, hz in modes]
    best = min(near, default=(1.0, ""))
    return best[1] if best[0] <= NEAR else ""


def _shared(line: VibrationLine, total: float) -> VibrationLine:
    share = (line.rms / total) ** 2 if total > 0 else 0.0
    return VibrationLine(line.name, line.frequency, line.rms, share, line.follows, line.matches)


def _speed_findings(speed: Floats) -> list[Finding]:
    if np.ptp(speed) > 0.1 * np.mean(speed):
        return []
    words = (
        "the rotors hardly changed speed: a line that stands still cannot be told from one that "
        "follows them; log a slow run-up"
    )
    return [Finding("speed", False, words)]
