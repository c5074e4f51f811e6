"""Damping from a decay or a peak: logarithmic decrement, half-power width, poles."""

from math import log, pi, sqrt

import numpy as np

from refledge.errors import AnalysisError
from refledge.typed import Floats

MOST_ROWS = 64
"""Of the Hankel matrix; more cost time and say no more: ours."""


def decrement_of(damping: float) -> float:
    """2 pi zeta / sqrt(1 - zeta^2): log of the ratio of successive peaks.

    Den Hartog, Mechanical Vibrations, logarithmic decrement.
    """
    return 2 * pi * damping / sqrt(1 - damping**2)


def damping_of(decrement: float) -> float:
    """The inverse of ``decrement_of``."""
    return decrement / sqrt(4 * pi**2 + decrement**2)


def cycles_to_half(damping: float) -> float:
    """Cycles in which the amplitude halves."""
    return log(2) / decrement_of(damping)


def half_power(frequency: Floats, power: Floats, at: int) -> float:
    """Damping from the width of the peak at index ``at``: (f2 - f1) / (2 fn).

    f1, f2 where the power is half the peak's (Den Hartog, Mechanical Vibrations; bias +zeta^2
    relative). Not a number where the power does not fall to half on both sides before it rises.
    """
    top, place = _summit(frequency, power, at)
    edges = []
    for step in (-1, 1):
        k, least = at, top
        while 0 < k + step < len(power) - 1 and power[k] > top / 2:
            k += step
            least = min(least, float(power[k]))
            if power[k] > 1.05 * least:
                return float("nan")  # another peak begins before this one has fallen
        if power[k] > top / 2:
            return float("nan")
        a, b = power[k], power[k - step]
        edges.append(
            frequency[k] - step * abs(frequency[k - step] - frequency[k]) * (top / 2 - a) / (b - a)
        )
    return float((edges[1] - edges[0]) / (2 * place))


def _summit(frequency: Floats, power: Floats, at: int) -> tuple[float, float]:
    """Height and place of the parabola through the three points at a peak's top."""
    a, b, c = power[at - 1 : at + 2]
    bend = a - 2 * b + c
    shift = 0.0 if bend >= 0 else float(0.5 * (a - c) / bend)
    height = float(b - 0.25 * (a - c) * shift)
    return height, float(frequency[at] + shift * (frequency[1] - frequency[0]))


def baseband(x: Floats, rate: float, low: float, high: float) -> tuple[Floats, float]:
    """The band ``low``..``high`` (Hz) of ``x`` (n,) as complex samples about its middle, and rate.

    The band's lines of the spectrum alone are turned back into time; the ends ring and are cut.
    """
    n = len(x)
    spectrum = np.fft.rfft(x)
    first, last = round(low * n / rate), round(high * n / rate)
    band = spectrum[max(first, 1) : last + 1]
    m = len(band)
    if m < 8:
        raise AnalysisError("band too narrow for the length of the record")
    rolled = np.roll(band, -(m // 2))
    return np.asarray(np.fft.ifft(rolled) * (2 * m / n)), rate * m / n


def middle_of(n: int, rate: float, low: float, high: float) -> float:
    """Frequency (Hz) that ``baseband`` turns into zero."""
    first, last = max(round(low * n / rate), 1), round(high * n / rate)
    m = last + 1 - first
    return (first + m // 2) * rate / n


def decay_rate(envelope: Floats, rate: float, floor: float) -> tuple[float, float]:
    """Decay rate sigma (1/s) of ``envelope`` (n,) ~ exp(-sigma t), and its standard uncertainty.

    A line through the log of the part from the largest sample down to three times the ``floor``.
    """
    start = int(np.argmax(envelope))
    below = np.flatnonzero(envelope[start:] < 3 * floor)
    stop = start + (int(below[0]) if len(below) else len(envelope) - start)
    if stop - start < 5:
        return float("nan"), float("nan")
    t = np.arange(stop - start) / rate
    y = np.log(envelope[start:stop])
    (slope, _), cov = np.polyfit(t, y, 1, cov=True)
    return float(-slope), float(np.sqrt(cov[0, 0]))


def poles(
    z: Floats, rate: float, most: int = 4, weakest: float = 0.03
) -> list[tuple[complex, float]]:
    """Poles (1/s) of a sum of decaying exponentials, with amplitudes, strongest first.

    ESPRIT: the signal space of the Hankel matrix keeps its shape from one sample to the next (Roy
    and Kailath, ESPRIT, 1989); singular values under ``weakest`` of the first are noise.
    """
    n = len(z)
    hankel = np.lib.stride_tricks.sliding_window_view(z, min(n // 2, MOST_ROWS))
    squares, vectors = np.linalg.eigh(hankel.conj().T @ hankel)
    strong = squares > weakest**2 * squares[-1]
    order = int(np.clip(np.sum(strong), 1, most))
    space = vectors[:, -order:].conj()
    roots = np.linalg.eigvals(np.linalg.lstsq(space[:-1], space[1:], rcond=None)[0])
    roots = roots[np.abs(roots) > 1e-6]
    modes = roots[None, :] ** np.arange(n)[:, None]
    amplitude = np.abs(np.linalg.lstsq(modes, z, rcond=None)[0])
    found = [(complex(np.log(r) * rate), float(a)) for r, a in zip(roots, amplitude, strict=True)]
    return sorted(found, key=lambda each: -each[1])
