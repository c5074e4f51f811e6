"""Recordings of taps made up for tests."""

import numpy as np

from refledge.model.recordings import Recording
from refledge.typed import Floats

RATE = 48_000.0


def ringing(modes: list[tuple[float, float, float]], seconds: float, rate: float = RATE) -> Floats:
    """Sum of decays (n,), modes as (Hz, damping, amplitude); Hz undamped."""
    t = np.arange(int(seconds * rate)) / rate
    x = np.zeros_like(t)
    for f, zeta, a in modes:
        w = 2 * np.pi * f
        x += a * np.exp(-zeta * w * t) * np.sin(w * np.sqrt(1 - zeta**2) * t)
    return x


def taps(
    modes: list[tuple[float, float, float]],
    count: int = 5,
    apart: float = 1.0,
    noise: float = 1e-3,
    seed: int = 1,
    hum: float = 0.0,
    rate: float = RATE,
) -> Floats:
    """``count`` taps of changing strength after one second of quiet, with noise and hum."""
    rng = np.random.default_rng(seed)
    one = ringing(modes, apart, rate)
    body = [np.zeros(int(rate))] + [one * rng.uniform(0.6, 1.0) for _ in range(count)]
    x = np.concatenate(body)
    t = np.arange(len(x)) / rate
    return np.asarray(x + noise * rng.standard_normal(len(x)) + hum * np.sin(2 * np.pi * 50 * t))


def recorded(x: Floats, rate: float = RATE) -> Recording:
    return Recording(x[:, None], rate, "of full scale", "invented.wav", np.full(len(x), np.nan))
