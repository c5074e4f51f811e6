"""Order tracking: a log cut by turns of the rotor instead of by time."""

import numpy as np
from scipy import signal

from refledge.errors import AnalysisError
from refledge.typed import Floats

TURNS = 32
"""Turns in one block: lines are 1/32 of an order apart."""
LEAST_BLOCKS = 2
FINER = 8
"""Samples between samples; straight lines through these lose under 1 % up to half the rate."""


def order_spectrum(x: Floats, speed: Floats, rate: float, highest: int) -> tuple[Floats, Floats]:
    """Orders (k,) and rms (k,) at each, all axes together, of ``x`` (n, axes) at ``speed`` (n,).

    Computed order tracking: resampled at equal angles by the integral of speed, then Hann blocks of
    TURNS turns (Fyfe and Munck, Analysis of computed order tracking, 1997). ``speed`` in rev/s.
    """
    if np.any(speed <= 0):
        raise AnalysisError("rotor speed must be above zero all along the log; cut the log")
    turns = np.concatenate([[0.0], np.cumsum((speed[1:] + speed[:-1]) / 2)]) / rate
    highest = min(highest, int(0.45 * rate / float(np.max(speed))))
    if highest < 1:
        raise AnalysisError("the log is too slow to show even once per revolution")
    per_turn = 2 ** int(np.ceil(np.log2(max(2.56 * highest, rate / float(np.min(speed))))))
    grid = np.arange(int(turns[-1] * per_turn)) / per_turn
    block = TURNS * per_turn
    if len(grid) < LEAST_BLOCKS * block:
        raise AnalysisError(f"the log holds under {LEAST_BLOCKS * TURNS} turns; log for longer")
    fine = signal.resample_poly(x, FINER, 1, axis=0)  # straight lines between samples lose height
    at = np.interp(np.arange(len(fine)) / FINER, np.arange(len(turns)), turns)
    even = np.column_stack([np.interp(grid, at, axis) for axis in fine.T])
    window = np.hanning(block)
    power = []
    for start in range(0, len(even) - block + 1, block // 2):
        spectrum = np.fft.rfft(even[start : start + block] * window[:, None], axis=0)
        power.append(np.sum(np.abs(spectrum) ** 2, axis=1))
    mean = 2 * np.mean(power, axis=0) / (block * np.sum(window**2))
    orders = np.arange(len(mean)) / TURNS
    kept = orders <= highest + 0.5
    return orders[kept], np.sqrt(mean[kept])


def speed_from_throttle(
    f: Floats, t: Floats, power: Floats, throttle: Floats, rate: float
) -> tuple[Floats, str]:
    """Rotor speed (n,), rev/s, as the straight line of throttle that the spectrogram follows best.

    The line a + b * throttle with the greatest mean log power along it; without a speed in the log
    it cannot be known whether that is once per revolution or blade pass: the loudest is taken.
    """
    at = np.clip((t * rate).astype(int), 0, len(throttle) - 1)
    level = throttle[at]
    if np.ptp(level) < 0.1:
        raise AnalysisError("throttle hardly changes in this log; log the speed, or a run-up")
    decibel = np.log(np.maximum(power, 1e-30 + 1e-9 * power.max()))
    decibel = decibel - np.median(decibel, axis=1, keepdims=True)
    ends = f[(f > 5) & (f < 0.8 * f[-1])]
    grid = ends[:: max(1, len(ends) // 120)]
    slow, fast = np.meshgrid(grid, grid, indexing="ij")
    use = fast > 1.15 * slow
    share = (level - level.min()) / np.ptp(level)
    lines = slow[use][:, None] + (fast - slow)[use][:, None] * share
    rows = np.clip(np.round(lines / (f[1] - f[0])).astype(int), 0, len(f) - 1)
    score = decibel[rows, np.arange(len(t))].mean(axis=1)
    best = int(np.argmax(score))
    low, high = float(slow[use][best]), float(fast[use][best])
    all_share = (throttle - level.min()) / np.ptp(level)
    words = (
        f"no rotor speed in the log: the loudest line that follows the throttle, {low:.0f} to "
        f"{high:.0f} Hz, is taken for once per revolution"
    )
    return np.maximum(low + (high - low) * all_share, 1.0), words
