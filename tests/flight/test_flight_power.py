"""Motor, controller and battery: energy balances, sag, endurance against a plain integration."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from refledge.errors import FlightError
from refledge.flight import power
from refledge.model.brief import Brief
from refledge.model.items import Battery
from refledge.typed import Floats

torques = st.floats(min_value=0.0, max_value=0.5)
speeds = st.floats(min_value=10.0, max_value=1200.0)


@given(torques, speeds)
def test_electrical_power_is_shaft_plus_every_loss(
    brief: Brief, torque: float, speed: float
) -> None:
    motor, controller = brief.motor, brief.speed_controller
    current = power.motor_current(motor, torque)
    taken = current * power.controller_voltage(motor, controller, current, speed)
    winding = current**2 * motor.resistance
    idle = motor.no_load_current * speed / motor.Kv
    switches = current**2 * controller.resistance
    assert taken == pytest.approx(torque * speed + winding + idle + switches, rel=1e-12)


@given(torques, speeds)
def test_current_and_torque_follow_from_power_and_speed(
    brief: Brief, torque: float, speed: float
) -> None:
    motor, controller = brief.motor, brief.speed_controller
    current = power.motor_current(motor, torque)
    taken = current * power.controller_voltage(motor, controller, current, speed)
    again = power.current_from_power(motor, controller, taken, speed)
    assert again == pytest.approx(current, rel=1e-9)
    assert power.motor_torque(motor, current) == pytest.approx(torque, abs=1e-12)


def test_unloaded_motor_turns_at_Kv_times_volts_less_its_own_drop(brief: Brief) -> None:
    motor = brief.motor
    speed = motor.Kv * (12.0 - motor.no_load_current * motor.resistance)
    assert power.motor_voltage(motor, power.motor_current(motor, 0.0), speed) == pytest.approx(12)


@pytest.mark.parametrize(
    ("chemistry", "empty", "full"), [("LiPo", 3.27, 4.20), ("Li-ion", 2.9, 4.19)]
)
def test_rest_voltage_rises_from_empty_to_full(
    brief: Brief, chemistry: str, empty: float, full: float
) -> None:
    battery = replace(brief.battery, chemistry=chemistry)
    volts = [power.open_voltage(battery, charge / 50) for charge in range(51)]
    assert volts == sorted(volts)
    assert volts[0] == pytest.approx(4 * empty)
    assert volts[-1] == pytest.approx(4 * full)


@given(st.floats(min_value=1.0, max_value=1500.0), st.floats(min_value=0.1, max_value=1.0))
def test_sag_balances_energy(brief: Brief, watts: float, charge: float) -> None:
    battery = brief.battery
    drawn = power.draw(battery, watts, charge)
    at_rest = power.open_voltage(battery, charge)
    assert drawn.voltage * drawn.current == pytest.approx(watts, rel=1e-12)
    lost = battery.resistance * drawn.current**2
    assert at_rest * drawn.current == pytest.approx(watts + lost, rel=1e-9)
    assert drawn.voltage > at_rest / 2


def test_a_pack_cannot_give_more_than_its_resistance_allows(brief: Brief) -> None:
    most = power.open_voltage(brief.battery, 1.0) ** 2 / (4 * brief.battery.resistance)
    assert power.draw(brief.battery, 0.999 * most, 1.0).current > 0
    with pytest.raises(FlightError, match="cannot give"):
        power.draw(brief.battery, 1.001 * most, 1.0)


def _flown(battery: Battery, watts: float) -> float:
    """Endurance, s, by integrating the state of charge in time until the usable charge is gone."""

    left = 1 - battery.usable
    longest = 1.5 * battery.capacity * power.open_voltage(battery, 1.0) / watts

    def falling(_: float, charge: Floats) -> Floats:
        current = power.draw(battery, watts, max(float(charge[0]), 0.0)).current
        return np.array([-current / battery.capacity])

    run = solve_ivp(falling, (0, longest), [1.0], rtol=1e-8, atol=1e-10, max_step=10.0)
    return float(np.interp(-left, -run.y[0], run.t))


@pytest.mark.parametrize("chemistry", ["LiPo", "Li-ion"])
@pytest.mark.parametrize("watts", [80.0, 300.0])
def test_endurance_matches_integration_in_time(brief: Brief, chemistry: str, watts: float) -> None:
    battery = replace(brief.battery, chemistry=chemistry)
    seconds, low = power.endurance(battery, watts)
    assert not low
    # Trapezoids over 400 steps of a curve with 5 kinks: error under 1e-5.
    assert seconds == pytest.approx(_flown(battery, watts), rel=1e-5)


def test_endurance_ends_early_on_low_voltage(brief: Brief) -> None:
    usual, _ = power.endurance(brief.battery, 300.0)
    seconds, low = power.endurance(brief.battery, 300.0, least_voltage=15.2)
    assert low
    assert 0 < seconds < usual
    assert power.endurance(brief.battery, 300.0, least_voltage=17.0) == (0.0, True)


def test_endurance_ends_at_the_cells_floor(brief: Brief) -> None:
    deep = replace(brief.battery, usable=1.0)
    seconds, low = power.endurance(deep, 300.0)
    assert low
    assert seconds < power.endurance(replace(brief.battery, usable=0.99), 30.0)[0]
    assert math.isclose(
        seconds, power.endurance(deep, 300.0, 4 * power.CELL_FLOOR["LiPo"])[0], rel_tol=1e-12
    )
