"""Tap test: a recording to natural frequencies and damping, tap by tap, and against prediction."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import isnan, nan, pi

import numpy as np
from scipy import optimize, signal
from threadpoolctl import threadpool_limits

from refledge.bench.damping import baseband, decay_rate, half_power, middle_of, poles
from refledge.bench.taps import Taps, cut_taps, hum_lines
from refledge.errors import AnalysisError
from refledge.model.bench_results import Finding
from refledge.model.recordings import MeasuredMode, ModeMatch, Recording, TapResult
from refledge.typed import Floats

LOWEST = 5.0
"""Hz; below it a phone hears nothing and a bench swings."""
HIGHEST = 2000.0
"""Hz; above it no mode of an airframe matters."""
OVER_QUIET = 10.0
"""Power over the quiet that makes a peak: 10 dB."""
PADDING = 8
BAND = 0.15
"""Half width of the band about a peak over its frequency: wide enough for 5 % damping."""
MOST_DAMPED = 0.25
"""Fraction of critical; stronger damped poles are noise or the hammer."""


def tap_test(
    recording: Recording, *, lowest: float = LOWEST, highest: float = HIGHEST
) -> TapResult:
    """Modes heard in the loudest channel; raises AnalysisError where no tap or no mode is found."""
    rate = recording.rate
    x = recording.samples[:, int(np.argmax(np.std(recording.samples, axis=0)))]
    highest = min(highest, 0.45 * rate)
    taps = cut_taps(x, rate, highest)
    rate = taps.rate
    f, each, quiet = _spectra(taps, rate, highest)
    mean = np.mean(each, axis=0)
    hum = hum_lines(taps.quiet, rate)
    length = taps.segments.shape[1]
    heard = _Heard(taps, rate, f, each, mean, quiet, hum)
    bands = _bands(_peaks(f, mean, quiet, lowest), rate / length, lowest, highest)
    with threadpool_limits(limits=1, user_api="blas"):  # small matrices: threads get in the way
        modes = [mode for band in bands for mode in _modes_in(heard, band)]
    if not modes:
        raise AnalysisError("no mode stands out of the noise in these taps")
    findings = [*recording.notes, *taps.findings]
    if hum:
        words = "mains hum at " + ", ".join(f"{h:.0f} Hz" for h in hum)
        findings.append(Finding("hum", False, words))
    return TapResult(
        modes=tuple(sorted(modes, key=lambda m: m.frequency)),
        taps=taps.starts,
        window=f"rectangular, {length / rate * 1e3:.0f} ms of ringing from each tap",
        resolution=rate / length,
        frequency=f,
        power=mean,
        findings=tuple(findings),
    )


@dataclass(frozen=True, eq=False)
class _Heard:
    taps: Taps
    rate: float
    f: Floats
    each: Floats
    mean: Floats
    quiet: Floats
    hum: list[float]


@dataclass(frozen=True)
class _Band:
    low: float
    high: float
    peaks: tuple[float, ...]


def _spectra(taps: Taps, rate: float, highest: float) -> tuple[Floats, Floats, Floats]:
    """Frequencies (k,), power of each tap (taps, k) over its energy, and of the quiet (k,)."""
    n = PADDING * taps.segments.shape[1]
    n = int(2 ** np.ceil(np.log2(n)))
    f = np.fft.rfftfreq(n, 1 / rate)
    kept = f <= highest
    energy = np.sum(taps.segments**2, axis=1)[:, None]
    each = np.abs(np.fft.rfft(taps.segments, n, axis=1)[:, kept]) ** 2 / energy
    silence = (
        taps.quiet
        if len(taps.quiet) > 64
        else taps.segments[:, -taps.segments.shape[1] // 10 :].ravel()
    )
    silent = np.abs(np.fft.rfft(silence * np.hanning(len(silence)), n)[kept]) ** 2
    scale = taps.segments.shape[1] / (0.375 * len(silence)) / float(np.mean(energy))
    width = max(1, int(20 * PADDING))
    smooth = np.convolve(silent * scale, np.ones(width) / width, mode="same")
    least = 1e-12 * float(each.max())
    return np.asarray(f[kept]), np.asarray(each), np.asarray(np.maximum(smooth, least))


def _peaks(f: Floats, mean: Floats, quiet: Floats, lowest: float) -> list[float]:
    """Frequencies of the mean spectrum's peaks that stand out of the quiet and their skirts."""
    decibel = 10 * np.log10(np.maximum(mean, 1e-30))
    at, _ = signal.find_peaks(decibel, prominence=6.0, height=float(decibel.max()) - 50.0)
    return [float(f[i]) for i in at if f[i] >= lowest and mean[i] > OVER_QUIET * quiet[i]]


def _bands(peaks: list[float], resolution: float, lowest: float, highest: float) -> list[_Band]:
    """Bands around peaks; peaks that lie close share one."""
    bands: list[_Band] = []
    for peak in sorted(peaks):
        half = max(14 * resolution, BAND * peak)
        low, high = max(peak - half, lowest / 2), min(peak + half, highest)
        if bands and peak - bands[-1].peaks[-1] < half:
            last = bands.pop()
            bands.append(_Band(last.low, high, (*last.peaks, peak)))
        else:
            bands.append(_Band(low, high, (peak,)))
    return bands


def _modes_in(heard: _Heard, band: _Band) -> list[MeasuredMode]:
    """Poles of each tap gathered into modes, with the other two dampings beside."""
    per_tap = [_poles_of(x, heard.rate, band) for x in heard.taps.segments]
    resolution = heard.rate / heard.taps.segments.shape[1]
    groups = _gathered(per_tap, resolution)
    taps = len(per_tap)
    groups = [g for g in groups if len({t for t, _, _ in g}) > taps / 2]
    middle = [float(np.median([p[1] for p in g])) for g in groups]
    return [
        _mode(heard, g, [m for m in middle if m != own])
        for g, own in zip(groups, middle, strict=True)
    ]


def _poles_of(x: Floats, rate: float, band: _Band) -> list[tuple[float, float]]:
    """(frequency, damping) of what decays in the band, within 5 % of the strongest's amplitude."""
    z, slow = baseband(x, rate, band.low, band.high)
    centre = middle_of(len(x), rate, band.low, band.high)
    found = []
    for pole, amplitude in poles(_before_noise(z[3:-3]), slow):
        f = centre + pole.imag / (2 * pi)
        sigma = -pole.real
        natural = float(np.hypot(f, sigma / (2 * pi)))
        damping = sigma / (2 * pi * natural)
        inside = (
            band.low + 0.1 * (band.high - band.low) < f < band.high - 0.1 * (band.high - band.low)
        )
        if inside and 1e-4 < damping < MOST_DAMPED:
            found.append((natural, damping, amplitude))
    most = max((a for _, _, a in found), default=0.0)
    return [(f, d) for f, d, a in found if a > 0.05 * most]


def _before_noise(z: Floats) -> Floats:
    """The start of a decaying band, down to three times what is left at its end."""
    envelope = np.abs(z)
    floor = float(np.median(envelope[-max(3, len(envelope) // 10) :]))
    loud = np.flatnonzero(envelope > 3 * floor)
    stop = int(loud[-1]) + 1 if len(loud) else len(z)
    return z[: max(stop, min(len(z), 24))]


Seen = tuple[int, float, float]
"""Tap, frequency, damping."""


def _gathered(
    per_tap: Sequence[Sequence[tuple[float, float]]], resolution: float
) -> list[list[Seen]]:
    """Poles of all taps in groups of one frequency each."""
    rows = sorted(
        ((i, f, d) for i, found in enumerate(per_tap) for f, d in found), key=lambda r: r[1]
    )
    groups: list[list[Seen]] = []
    for row in rows:
        if groups and row[1] - groups[-1][-1][1] < max(resolution / 2, 0.004 * row[1]):
            groups[-1].append(row)
        else:
            groups.append([row])
    return groups


def _mode(heard: _Heard, group: list[Seen], others: list[float]) -> MeasuredMode:
    taps = len(heard.taps.segments)
    seen = len({i for i, _, _ in group})
    f = float(np.median([row[1] for row in group]))
    damping = float(np.median([row[2] for row in group]))
    resolution = heard.rate / heard.taps.segments.shape[1]
    scatter = float(np.std([row[1] for row in group], ddof=1)) if len(group) > 1 else resolution / 4
    at = int(np.argmin(np.abs(heard.f - f)))
    near = slice(max(1, at - PADDING), at + PADDING + 1)
    at = near.start + int(np.argmax(heard.mean[near]))
    wide = half_power(heard.f, heard.mean, at) if 1 < at < len(heard.f) - 2 else nan
    gap = min((abs(f - o) for o in others), default=f)
    decay = _decrement(heard, f, gap)
    level = 10 * float(np.log10(heard.mean[at] / heard.quiet[at]))
    near_hum = any(abs(f - h) < max(resolution, 1.0) for h in heard.hum)
    three = [d for d in (damping, wide, decay) if not isnan(d)]
    spread = (max(three) - min(three)) / float(np.mean(three)) if len(three) > 1 else nan
    confidence = seen / taps * min(1.0, level / 20.0) * (0.3 if near_hum else 1.0)
    notes = (
        ("could be mains hum", near_hum),
        ("a close neighbour: only the poles tell its damping", gap < 0.05 * f),
        ("the dampings disagree", not isnan(spread) and spread > 0.3),
        ("weak", level < 15),
    )
    return MeasuredMode(
        frequency=f,
        uncertainty=max(scatter / seen**0.5, resolution / 50),
        damping=damping,
        half_power=wide,
        log_decrement=decay,
        disagreement=spread,
        level=level,
        confidence=max(0.0, min(1.0, confidence)),
        note="; ".join(words for words, true in notes if true),
    )


def _decrement(heard: _Heard, f: float, gap: float) -> float:
    """Damping from the decay of a narrow band about ``f`` (Hz), median of the taps."""
    resolution = heard.rate / heard.taps.segments.shape[1]
    half = min(0.15 * f, 0.5 * gap)
    if half < 6 * resolution:
        return nan
    found = []
    for x in heard.taps.segments:
        z, slow = baseband(x, heard.rate, f - half, f + half)
        envelope = np.abs(z[3:-3])
        floor = float(np.median(envelope[-max(3, len(envelope) // 10) :]))
        sigma, _ = decay_rate(envelope, slow, floor)
        found.append(sigma / (2 * pi * f))
    good = [d for d in found if not isnan(d) and d > 0]
    return float(np.median(good)) if good else nan


def match_modes(
    measured: Sequence[MeasuredMode],
    predicted: Sequence[tuple[str, float, float]],
    reach: float = 0.4,
) -> tuple[ModeMatch, ...]:
    """Each predicted mode (label, Hz, standard uncertainty) with the measured one that is its own.

    One to one, least sum of squared log ratios; nothing farther than ``reach`` in log frequency.
    To leave a mode alone costs as much as a match at ``reach``, so that good pairs are not broken
    up for the sake of one more.
    """
    if not predicted:
        return ()
    a = np.log([p[1] for p in predicted])[:, None]
    b = np.log([m.frequency for m in measured])[None, :]
    far = np.abs(a - b)
    cost = np.where(far <= reach, far**2, reach**2)
    rows, columns = optimize.linear_sum_assignment(cost)
    pair = {int(r): int(c) for r, c in zip(rows, columns, strict=True) if far[r, c] <= reach}
    return tuple(
        _match(p, measured[pair[i]] if i in pair else None) for i, p in enumerate(predicted)
    )


def _match(predicted: tuple[str, float, float], mode: MeasuredMode | None) -> ModeMatch:
    label, f, u = predicted
    if mode is None:
        return ModeMatch(label, f, u, nan, nan, nan)
    both = float(np.hypot(u, mode.uncertainty))
    z = (mode.frequency - f) / both if both > 0 else nan
    return ModeMatch(label, f, u, mode.frequency, mode.frequency / f - 1, z)
