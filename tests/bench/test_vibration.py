"""Logs made up with a known truth: orders that follow the rotors, a mode that stands still."""

import numpy as np
import pytest

from refledge.bench.orders import order_spectrum
from refledge.bench.vibration import vibration
from refledge.errors import AnalysisError
from refledge.model.recordings import Recording, VibrationLine
from refledge.typed import Floats

RATE, SECONDS = 1000.0, 20.0
MODE, FORCE = 143.0, 0.5


def run_up(low: float = 60.0, high: float = 100.0) -> tuple[Floats, Floats]:
    """Rotor speed (n,), rev/s, and turns (n,)."""
    t = np.arange(int(RATE * SECONDS)) / RATE
    speed = low + (high - low) * t / SECONDS
    return speed, low * t + (high - low) * t**2 / (2 * SECONDS)


def log(
    speed: Floats, turns: Floats, once: float, twice: float, still: float, noise: float = 0.05
) -> Recording:
    rng = np.random.default_rng(2)
    t = np.arange(len(turns)) / RATE
    x = once * np.sin(2 * np.pi * turns) + noise * rng.standard_normal(len(t))
    y = twice * np.sin(4 * np.pi * turns) + noise * rng.standard_normal(len(t))
    z = still * np.sin(2 * np.pi * MODE * t) + noise * rng.standard_normal(len(t)) + 9.81
    return Recording(np.column_stack([x, y, z]), RATE, "m/s2", "invented.csv", speed)


def line(lines: tuple[VibrationLine, ...], name: str) -> VibrationLine:
    return next(each for each in lines if each.name == name)


def test_orders_hold_their_energy_though_the_rotors_speed_up() -> None:
    """rms of a sine is its amplitude over root two; order tracking keeps it within 3 %."""
    speed, turns = run_up()
    found = vibration(log(speed, turns, 3.0, 2.0, 0.0), blades=2)
    assert line(found.lines, "once per revolution").rms == pytest.approx(3 / 2**0.5, rel=0.03)
    assert line(found.lines, "blade pass").rms == pytest.approx(2 / 2**0.5, rel=0.03)
    assert line(found.lines, "blade pass").frequency == pytest.approx(160.0, rel=1e-3)
    assert found.rms == pytest.approx((4.5 + 2.0) ** 0.5, rel=0.02)


def test_shares_add_up_to_the_whole() -> None:
    speed, turns = run_up()
    found = vibration(log(speed, turns, 3.0, 2.0, 1.0, noise=1e-3), [("arm, vertical", 140.0)])
    assert sum(each.share for each in found.lines) == pytest.approx(1.0, abs=0.06)


def test_a_mode_stands_still_and_is_named() -> None:
    speed, turns = run_up()
    found = vibration(log(speed, turns, 3.0, 0.0, FORCE), [("arm, vertical", 140.0), ("yaw", 61.0)])
    mode = line(found.lines, "arm, vertical")
    assert mode.follows == "still"
    assert mode.frequency == pytest.approx(MODE, abs=0.5)
    assert mode.rms == pytest.approx(FORCE / 2**0.5, rel=0.1)
    assert not any(each.name == "yaw" for each in found.lines)


def test_without_speed_a_line_is_only_a_line() -> None:
    speed, turns = run_up()
    unknown = np.full_like(speed, np.nan)
    found = vibration(log(unknown, turns, 0.0, 0.0, FORCE))
    assert [each.name for each in found.lines] == ["143 Hz"]
    assert found.lines[0].follows == "unknown"
    assert len(found.orders) == 0


def test_throttle_stands_in_for_speed() -> None:
    speed, turns = run_up()
    plain = log(np.full_like(speed, np.nan), turns, 3.0, 0.0, 0.0)
    throttle = 0.3 + 0.4 * (speed - 60.0) / 40.0
    recording = Recording(plain.samples, RATE, plain.unit, plain.source, plain.speed, (), throttle)
    found = vibration(recording)
    once = line(found.lines, "once per revolution")
    assert once.frequency == pytest.approx(80.0, rel=0.04)
    assert once.rms == pytest.approx(3 / 2**0.5, rel=0.25)
    assert any("no rotor speed" in each.words for each in found.findings)


def test_steady_rotors_cannot_tell_orders_from_modes() -> None:
    speed, turns = run_up(80.0, 81.0)
    found = vibration(log(speed, turns, 3.0, 0.0, 0.0))
    assert any("run-up" in each.words for each in found.findings)


def test_order_spectrum_of_a_pure_order() -> None:
    speed, turns = run_up()
    x = np.sin(2 * np.pi * 3 * turns)[:, None]
    orders, rms = order_spectrum(x, speed, RATE, 4)
    assert orders[np.argmax(rms)] == 3.0
    assert np.sum(rms**2) == pytest.approx(0.5, rel=0.05)


def test_logs_that_say_nothing_are_refused() -> None:
    speed, turns = run_up()
    with pytest.raises(AnalysisError, match="too short"):
        vibration(log(speed[:500], turns[:500], 1, 0, 0))
    with pytest.raises(AnalysisError, match="above zero"):
        order_spectrum(np.ones((100, 1)), np.zeros(100), RATE, 2)
