"""A whole flight's energy, warm and cold packs, warm windings."""

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from refledge.errors import FlightError
from refledge.flight import power
from refledge.flight.care import (
    IdleLoss,
    motor_cooling,
    running_motor,
    warm_motor,
    winding_temperature,
    worn_battery,
)
from refledge.flight.discharge import Demand, simulate
from refledge.flight.operating import hover
from refledge.flight.rotor import RotorModel
from refledge.model.brief import Brief
from refledge.model.layout import Layout

AIR = 298.15


def demand_of(brief: Brief, layout: Layout, rotor: RotorModel) -> tuple[Demand, float]:
    """Hover's demand, and W of copper, idle and controller losses from its rotor states."""
    point = hover(brief, layout, rotor, 3.0)
    motor, controller = brief.motor, brief.speed_controller
    losses = sum(
        s.current**2 * (motor.resistance + controller.resistance)
        + motor.no_load_current * s.speed / motor.Kv
        for s in point.rotors
    )
    least = max(s.throttle for s in point.rotors) * point.battery_voltage
    return Demand(point.power, sum(s.shaft_power for s in point.rotors), least), losses


def test_battery_energy_is_shaft_plus_every_loss(
    brief: Brief, layout_of: Callable[[str], Layout], rotor: RotorModel
) -> None:
    """Chemical energy, by its own quadrature, against what the flight accounts for: 1e-9 of the
    energy at the plug, 1e-5 for the quadrature of the samples."""
    demand, losses = demand_of(brief, layout_of("six-x"), rotor)
    flown = simulate(brief.battery, demand, AIR)
    spent = (demand.shaft + losses) * flown.endurance
    assert flown.delivered == pytest.approx(spent, rel=1e-9)
    assert flown.shaft + flown.other == pytest.approx(flown.delivered, rel=1e-9)
    at_rest = np.array([power.open_voltage(brief.battery, z) for z in flown.charge])
    chemical = np.trapezoid(at_rest * flown.current, flown.time)
    assert chemical == pytest.approx(flown.delivered + flown.lost, rel=2e-4)


def test_charge_taken_is_current_over_time(
    brief: Brief, layout_of: Callable[[str], Layout], rotor: RotorModel
) -> None:
    demand, _ = demand_of(brief, layout_of("six-x"), rotor)
    flown = simulate(brief.battery, demand, AIR)
    assert flown.ended_by == "charge"
    assert flown.charge[-1] == pytest.approx(1 - brief.battery.usable, abs=1e-8)
    taken = np.trapezoid(flown.current, flown.time) / brief.battery.capacity
    assert taken == pytest.approx(brief.battery.usable, rel=1e-4)
    assert np.all(np.diff(flown.voltage) < 0)


def test_agrees_with_the_integral_over_charge_and_not_with_energy_over_power(
    brief: Brief, layout_of: Callable[[str], Layout], rotor: RotorModel
) -> None:
    """Cells that warm hardly change the time; sag and falling voltage do."""
    demand, _ = demand_of(brief, layout_of("six-x"), rotor)
    seconds, _ = power.endurance(brief.battery, demand.electrical, demand.least_voltage)
    flown = simulate(brief.battery, demand, AIR)
    assert flown.endurance == pytest.approx(seconds, rel=0.01)
    full = brief.battery.cells * 4.2 * brief.battery.capacity * brief.battery.usable
    assert flown.endurance < 0.95 * full / demand.electrical


def test_what_ends_a_flight_is_named(brief: Brief) -> None:
    pack = brief.battery
    assert simulate(pack, Demand(300.0, 250.0, 15.0), AIR).ended_by == "voltage"
    weak = replace(pack, resistance=0.1, usable=1.0)
    assert simulate(weak, Demand(250.0, 200.0), AIR).ended_by == "cell floor"
    with pytest.raises(FlightError, match="voltage"):
        simulate(pack, Demand(300.0, 250.0, 16.9), AIR)


def test_cold_and_age_shorten_the_flight(brief: Brief) -> None:
    demand = Demand(300.0, 250.0, 10.0)
    new = simulate(brief.battery, demand, AIR).endurance
    cold = simulate(brief.battery, demand, 273.15).endurance
    old = simulate(brief.battery, demand, AIR, age=1.0).endurance
    assert cold < 0.9 * new
    assert old < 0.81 * new


def test_pack_resistance_doubles_near_freezing(brief: Brief) -> None:
    ratio = worn_battery(brief.battery, 276.0).resistance / brief.battery.resistance
    assert ratio == pytest.approx(2.0, abs=0.1)
    assert worn_battery(brief.battery).resistance == brief.battery.resistance
    assert worn_battery(brief.battery, age=1.0).resistance == 2 * brief.battery.resistance
    with pytest.raises(FlightError, match="warm"):
        worn_battery(brief.battery, 250.0)


def test_copper_and_winding_temperature(brief: Brief) -> None:
    motor = brief.motor
    warm = warm_motor(motor, 373.15)
    assert warm.resistance == pytest.approx(motor.resistance * 1.3144)
    cooling = motor_cooling(motor)
    at = winding_temperature(motor, 8.0, 500.0, AIR, cooling)
    heat = 64.0 * warm_motor(motor, at).resistance + motor.no_load_current * 500.0 / motor.Kv
    assert heat == pytest.approx(cooling * (at - AIR), rel=1e-9)
    with pytest.raises(FlightError, match="without end"):
        winding_temperature(motor, 100.0, 500.0, AIR, cooling)


def test_idle_loss_goes_with_speed(brief: Brief) -> None:
    loss = IdleLoss(0.6, 500.0, 0.5)
    assert running_motor(brief.motor, 500.0, loss).no_load_current == 0.6
    assert loss.at(1000.0) == pytest.approx(0.9)
    assert math.isclose(IdleLoss(0.6, 500.0, 1.0).at(0.0), 0.0)
