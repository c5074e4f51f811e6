"""Pairs: both ways to drive them, spacing, and the gap to flat rotors (C4.1, C4.4)."""

import math

import numpy as np
import pytest

from refledge.errors import FlightError
from refledge.flight.pairs import (
    FAR,
    NEAR,
    against_flat,
    closer_pair_power,
    equal_throttle,
    equal_torque,
    spacing_factor,
)
from refledge.flight.power import controller_voltage, motor_current
from refledge.flight.rotor import RotorModel, ideal_hover_power
from refledge.model.brief import Brief

RHO, TOTAL = 1.2, 14.0


def test_limits_are_those_of_momentum_theory() -> None:
    """C4.1: 1.281008 at balanced torque in the contracted wake, sqrt 2 in one plane."""
    assert pytest.approx(1.281008, abs=5e-7) == FAR
    assert spacing_factor(0.0, 0.14) == NEAR == math.sqrt(2)
    assert spacing_factor(1e6, 0.14) == pytest.approx(FAR, abs=1e-9)


def test_ideal_hover_of_the_worked_case() -> None:
    """C4.4: 1.5 kg on four 10 in rotors at 1.225 kg/m3, 20.0155 W each."""
    thrust = 1.5 * 9.80665 / 4
    assert ideal_hover_power(thrust, 0.254, 1.225) == pytest.approx(20.0155, abs=1e-4)


def test_closer_discs_cost_more() -> None:
    factors = [spacing_factor(gap, 0.14) for gap in np.linspace(0, 0.5, 9)]
    assert np.all(np.diff(factors) < 0)
    with pytest.raises(FlightError):
        spacing_factor(-0.1, 0.14)


def test_equal_torque_does_not_yaw_and_equal_throttle_does(brief: Brief, rotor: RotorModel) -> None:
    level = equal_torque(rotor, RHO, TOTAL)
    assert abs(level.yaw) < 1e-6 * level.upper.torque
    motor, controller = brief.motor, brief.speed_controller
    same = equal_throttle(rotor, RHO, TOTAL, motor, controller)
    made = [
        controller_voltage(motor, controller, motor_current(motor, s.torque), s.speed)
        for s in (same.upper, same.lower)
    ]
    assert made[0] == pytest.approx(made[1], rel=1e-8)
    assert same.thrust == pytest.approx(level.thrust) == TOTAL
    assert abs(same.yaw) > 1e-4 * level.upper.torque
    assert same.power == pytest.approx(level.power, rel=0.02)


def test_a_pair_costs_more_than_flat_rotors_and_larger_ones_less(rotor: RotorModel) -> None:
    gap = against_flat(rotor, RHO, TOTAL, ratio=1.281)
    assert gap.larger_diameter < gap.same_diameter < gap.pair
    assert gap.pair / gap.same_diameter == pytest.approx(FAR, abs=0.05)
    unit = against_flat(rotor, RHO, TOTAL, ratio=1.0)
    assert unit.larger_diameter == pytest.approx(unit.same_diameter)


def test_spacing_changes_only_the_ideal_part(rotor: RotorModel) -> None:
    pair = equal_torque(rotor, RHO, TOTAL)
    far = closer_pair_power(rotor, RHO, pair, 1e6)
    assert far == pytest.approx(pair.power, rel=1e-9)
    half = TOTAL / 2
    more = (NEAR - FAR) * TOTAL * math.sqrt(half / (2 * RHO * rotor.area))
    assert closer_pair_power(rotor, RHO, pair, 0.0) - pair.power == pytest.approx(more)
