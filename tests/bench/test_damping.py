"""Damping against closed forms (check-values, section 8)."""

import numpy as np
import pytest

from refledge.bench.damping import (
    cycles_to_half,
    damping_of,
    decay_rate,
    decrement_of,
    half_power,
    poles,
)

TABLE = [
    (0.005, 0.0314163, 22.063, 0.0050001),
    (0.01, 0.0628350, 11.031, 0.0100010),
    (0.02, 0.1256888, 5.5148, 0.0200080),
    (0.05, 0.3145527, 2.2036, 0.0501261),
]


@pytest.mark.parametrize(("zeta", "decrement", "cycles", "width"), TABLE)
def test_decrement_cycles_and_half_power(
    zeta: float, decrement: float, cycles: float, width: float
) -> None:
    """Half power of the receptance 1 / |1 - r^2 + 2 i zeta r|^2; exact width by its two roots."""
    assert decrement_of(zeta) == pytest.approx(decrement, rel=2e-6)
    assert damping_of(decrement_of(zeta)) == pytest.approx(zeta, rel=1e-12)
    assert cycles_to_half(zeta) == pytest.approx(cycles, rel=5e-5)
    r = np.linspace(1 - 5 * zeta, 1 + 5 * zeta, 200_001)
    power = 1 / ((1 - r**2) ** 2 + (2 * zeta * r) ** 2)
    found = half_power(r, power, int(np.argmax(power)))
    at_peak = found * r[np.argmax(power)]
    assert at_peak == pytest.approx(width, rel=2e-4)


def test_a_neighbour_forbids_the_half_power_width() -> None:
    f = np.linspace(90, 110, 4001)
    power = sum(1 / ((f - c) ** 2 + 0.5) for c in (99.3, 100.7))
    assert np.isnan(half_power(f, power, int(np.argmax(power))))


def test_poles_of_two_decays_in_noise() -> None:
    """Exact exponentials with 1e-6 of noise: both poles back to 0.1 %."""
    rng = np.random.default_rng(1)
    t = np.arange(80) / 50.0
    true = [-2 + 2j * np.pi * 3, -3 - 2j * np.pi * 5]
    z = sum(a * np.exp(p * t) for a, p in zip((1.0, 0.6), true, strict=True))
    z = z + 1e-6 * (rng.standard_normal(80) + 1j * rng.standard_normal(80))
    found = poles(z, 50.0)
    assert len(found) == 2
    for (pole, amplitude), a, p in zip(found, (1.0, 0.6), true, strict=True):
        assert abs(pole - p) < 1e-3 * abs(p)
        assert amplitude == pytest.approx(a, rel=1e-3)


def test_decay_rate_of_a_clean_envelope() -> None:
    t = np.arange(200) / 100.0
    rate, spread = decay_rate(np.exp(-4 * t), 100.0, 1e-9)
    assert rate == pytest.approx(4.0, rel=1e-9)
    assert spread < 1e-9
