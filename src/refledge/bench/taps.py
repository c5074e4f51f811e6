"""Taps in a recording: where each begins, what spoils it, one segment of ringing for each."""

from dataclasses import dataclass

import numpy as np
from scipy import fft, signal

from refledge.errors import AnalysisError
from refledge.model.bench_results import Finding
from refledge.typed import Bools, Floats

BLOCK = 1e-3
"""s; length of the blocks whose loudest sample makes the envelope."""
STRIKE = 3e-3
"""s after the loudest block that still belong to the hammer: common practice, no source."""
APART = 0.15
"""s; taps closer than this are one (a bounce): ours."""
LONGEST = 2.0
"""s of ringing taken from each tap."""
HUM = (50.0, 60.0)
"""Hz; mains frequencies."""


@dataclass(frozen=True, eq=False)
class Taps:
    """The ringing after each tap, equally long, and the quiet before the first."""

    starts: tuple[float, ...]
    """s, of each tap."""
    rate: float
    """Hz, of segments and quiet."""
    segments: Floats
    """(taps, n)."""
    quiet: Floats
    """(n,); silence of the same length, empty where there is none."""
    findings: tuple[Finding, ...]


def cut_taps(x: Floats, rate: float, highest: float, least: float = 0.05) -> Taps:
    """Taps of one channel (n,), ``highest`` (Hz) the highest frequency wanted.

    Taps and clipping are found at the full rate; ringing is kept at a quarter of the rate's worth.
    Raises AnalysisError where no tap stands out.
    """
    x = x - np.median(x)
    findings = []
    spoilt = clipped(x)
    if np.any(spoilt):
        words = (
            f"clipped: {int(np.sum(spoilt))} samples at the end of the scale; their part of each "
            "tap is left out, and strong modes may show false multiples. Record softer taps"
        )
        findings.append(Finding("clipping", True, words))
    onsets = find_onsets(x, rate)
    if not len(onsets):
        raise AnalysisError("no tap stands out of the noise; tap harder or nearer")
    starts = [_after_strike(x, rate, at, spoilt) for at in onsets]
    ends = [*(int(o - 0.01 * rate) for o in onsets[1:]), len(x)]
    lengths = [e - s for s, e in zip(starts, ends, strict=True)]
    good = [i for i, n in enumerate(lengths) if n >= least * rate]
    if not good:
        raise AnalysisError(
            f"no tap is followed by {least * 1e3:.0f} ms of ringing; tap more slowly"
        )
    if len(good) < len(lengths):
        words = f"{len(lengths) - len(good)} of {len(lengths)} taps left out: too little ringing"
        findings.append(Finding("short", False, words))
    q = max(1, int(rate / (4 * highest)))
    slow = signal.resample_poly(x, 1, q) if q > 1 else x
    most = min([int(LONGEST * rate), *(lengths[i] for i in good)]) // q
    n = fft.prev_fast_len(most, real=True)
    first = [-(-starts[i] // q) for i in good]
    segments = np.array([slow[f : f + n] for f in first if f + n <= len(slow)])
    if len(good) < 3:
        words = f"{len(good)} taps; three or more tell a mode from chance"
        findings.append(Finding("few", False, words))
    findings += _cut_short(segments)
    quiet = slow[: max(0, int((onsets[0] - 0.01 * rate) / q))]
    at = tuple(float(onsets[i] / rate) for i in good)
    return Taps(at, rate / q, segments, quiet[-n:], tuple(findings))


def find_onsets(x: Floats, rate: float) -> Floats:
    """Sample at which each tap begins, (taps,).

    A tap is a block that is loud against the whole record and louder than anything since a moment
    before: three times the last 20 ms, and a tenth of the loudest block or four times the median.
    """
    size = max(1, int(BLOCK * rate))
    blocks = len(x) // size
    level = np.abs(x[: blocks * size]).reshape(blocks, size).max(axis=1)
    limit = max(0.1 * float(level.max()), 4 * float(np.median(level)))
    back = max(1, int(0.02 / BLOCK))
    padded = np.concatenate([np.full(back, level[:back].min()), level])
    before = np.lib.stride_tricks.sliding_window_view(padded, back)[: len(level)].max(axis=1)
    rising = np.flatnonzero((level > limit) & (level > 3 * before))
    kept: list[int] = []
    for at in rising.tolist():
        if not kept or (at - kept[-1]) * BLOCK > APART:
            kept.append(at)
    return np.array(kept, dtype=np.float64) * size


def clipped(x: Floats) -> Bools:
    """(n,), samples at the end of the scale.

    A smooth signal spends at its very top at most some 2.4 times what it spends just below (the
    ratio for a sine); a clipped one far more.
    """
    hit = np.zeros(len(x), dtype=np.bool_)
    for sign in (1.0, -1.0):
        side = sign * x
        top = float(side.max())
        if top <= 0:
            continue
        at = side >= top * (1 - 2e-4)
        below = int(np.sum(side >= top * (1 - 4e-4))) - int(np.sum(at))
        beside = np.sum(at[1:] & at[:-1])  # a sine in step with the sampling has lone tops
        if beside >= 2 and np.sum(at) > 8 * below:
            hit |= at
    return hit


def hum_lines(quiet: Floats, rate: float) -> list[float]:
    """Mains lines (Hz) that stand 30 times over their surroundings in the quiet part."""
    if len(quiet) < 0.2 * rate:
        return []
    power = np.abs(np.fft.rfft(quiet * np.hanning(len(quiet)))) ** 2
    step = rate / len(quiet)
    found = []
    for mains in HUM:
        for k in range(1, 7):
            at = round(k * mains / step)
            wide = max(4, round(8 / step))
            near = power[max(1, at - wide) : at + wide + 1]
            if at + 2 < len(power) and power[at - 1 : at + 2].max() > 30 * np.median(near) > 0:
                found.append(k * mains)
    return found


def _after_strike(x: Floats, rate: float, onset: float, spoilt: Bools) -> int:
    """First sample that is ringing: past the loudest moment, the hammer and any clipping."""
    first = int(onset)
    reach = x[first : first + int(0.02 * rate)]
    start = first + int(np.argmax(np.abs(reach))) + int(STRIKE * rate)
    bad = np.flatnonzero(spoilt[first : first + int(0.1 * rate)])
    return max(start, first + int(bad[-1]) + 1) if len(bad) else start


def _cut_short(segments: Floats) -> list[Finding]:
    """Ringing that has not died away by the end of its segment."""
    tenth = max(1, segments.shape[1] // 10)
    loud = np.sqrt(np.mean(segments[:, :tenth] ** 2, axis=1))
    left = np.sqrt(np.mean(segments[:, -tenth:] ** 2, axis=1))
    part = float(np.median(left / np.maximum(loud, 1e-300)))
    if part < 0.1:
        return []
    words = (
        f"short: {part:.0%} of the ringing (or of noise) is left at the end of each segment; "
        "peaks are widened by the cut, so trust the poles' damping before the half-power width"
    )
    return [Finding("short", part > 0.3, words)]
