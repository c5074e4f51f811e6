"""Operating points: balances of force, moment and energy; two ways to the same point; limits."""

import math
import time
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from refledge.errors import FlightError
from refledge.flight import coaxial, power
from refledge.flight.air import GRAVITY, site_density
from refledge.flight.operating import hover, speed_range, thrust_at_throttle
from refledge.flight.rotor import RotorModel, ideal_hover_power
from refledge.flight.rotor_sources import rotor_estimate
from refledge.flight.throttle import shafts_at
from refledge.model.brief import Brief
from refledge.model.flight import OperatingPoint
from refledge.model.layout import Layout

KINDS = ("four-x", "six-x", "six-plus", "eight-x", "three-pairs", "four-pairs")
MASS = 2.6
Maker = Callable[[str], Layout]


def _thrusts(point: OperatingPoint) -> np.ndarray:
    return np.array([state.thrust for state in point.rotors])


@pytest.mark.parametrize("kind", KINDS)
def test_hover_holds_the_weight_level(
    brief: Brief, rotor: RotorModel, layout_of: Maker, kind: str
) -> None:
    layout = layout_of(kind)
    point = hover(brief, layout, rotor, MASS)
    total, roll, pitch, yaw = layout.allocation @ _thrusts(point)
    assert point.total_thrust == pytest.approx(MASS * GRAVITY, rel=1e-9)
    assert total == pytest.approx(MASS * GRAVITY, rel=1e-9)
    assert (roll, pitch) == pytest.approx((0, 0), abs=1e-9)
    torque = np.array([state.torque for state in point.rotors])
    assert np.dot(layout.spin, torque) == pytest.approx(0, abs=1e-7)
    if not layout.paired:
        assert yaw == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize("kind", KINDS)
def test_battery_power_is_shaft_winding_idle_controller_and_pack(
    brief: Brief, rotor: RotorModel, layout_of: Maker, kind: str
) -> None:
    point = hover(brief, layout_of(kind), rotor, MASS)
    motor = brief.motor
    spent = 0.0
    for state in point.rotors:
        spent += state.shaft_power + state.current**2 * motor.resistance
        spent += motor.no_load_current * state.speed / motor.Kv
        spent += state.current**2 * brief.speed_controller.resistance
        assert state.shaft_power == pytest.approx(state.torque * state.speed, rel=1e-12)
    assert point.power == pytest.approx(spent, rel=1e-9)
    spent += point.battery_current**2 * brief.battery.resistance
    at_rest = power.open_voltage(brief.battery, 1 - brief.battery.usable / 2)
    assert at_rest * point.battery_current == pytest.approx(spent, rel=1e-9)


@given(st.floats(min_value=0.5, max_value=2.0))
def test_ideal_scaling_of_shaft_power_with_mass(
    brief: Brief, layout_of: Maker, factor: float
) -> None:
    rotor = rotor_estimate(brief.propeller)  # constant coefficients
    layout = layout_of("six-x")
    one, other = (hover(brief, layout, rotor, mass) for mass in (1.5, 1.5 * factor))
    ratio = other.rotors[0].shaft_power / one.rotors[0].shaft_power
    assert ratio == pytest.approx(factor**1.5, rel=1e-9)


def test_shaft_power_is_ideal_power_over_figure_of_merit(brief: Brief, layout_of: Maker) -> None:
    rotor = rotor_estimate(brief.propeller)
    state = hover(brief, layout_of("six-x"), rotor, MASS).rotors[0]
    ideal = ideal_hover_power(MASS * GRAVITY / 6, rotor.diameter, site_density(brief.mission))
    assert state.shaft_power == pytest.approx(ideal / 0.65, rel=1e-9)


@pytest.mark.parametrize("kind", ["four-x", "six-x", "eight-x"])
def test_hover_throttle_gives_hover_thrust(
    brief: Brief, rotor: RotorModel, layout_of: Maker, kind: str
) -> None:
    """Hover goes from thrust to throttle; the throttle solver goes the other way."""
    layout = layout_of(kind)
    point = hover(brief, layout, rotor, MASS)
    half = 1 - brief.battery.usable / 2
    again = thrust_at_throttle(brief, layout, rotor, point.rotors[0].throttle, half)
    assert again.total_thrust == pytest.approx(point.total_thrust, rel=1e-8)
    assert again.battery_voltage == pytest.approx(point.battery_voltage, rel=1e-8)
    assert again.power == pytest.approx(point.power, rel=1e-8)


@given(st.floats(min_value=0.08, max_value=0.6))
def test_throttle_solver_and_pair_model_agree(
    brief: Brief, rotor: RotorModel, layout_of: Maker, throttle: float
) -> None:
    point = thrust_at_throttle(brief, layout_of("three-pairs"), rotor, throttle)
    upper, lower = point.rotors[:2]
    rho = site_density(brief.mission)
    speed = coaxial.lower_speed(rotor, rho, upper.thrust, lower.thrust)
    assert lower.speed == pytest.approx(speed, rel=1e-7)
    torque = coaxial.lower_torque(rotor, rho, speed, upper.thrust, lower.thrust)
    assert lower.torque == pytest.approx(torque, rel=1e-6)
    assert (upper.throttle, lower.throttle) == pytest.approx((throttle, throttle), rel=1e-6)
    at_rest = power.open_voltage(brief.battery, 1.0)
    sag = brief.battery.resistance * point.battery_current
    assert point.battery_voltage == pytest.approx(at_rest - sag, rel=1e-7)


@given(st.floats(min_value=0.08, max_value=0.9), st.floats(min_value=0.0, max_value=60.0))
def test_flat_rotors_and_the_pack_agree(
    brief: Brief, rotor: RotorModel, layout_of: Maker, throttle: float, watts: float
) -> None:
    """V = V0 - R (I + P / V) with what is drawn beside the motors; each rotor at that throttle."""
    fed = replace(brief, payload=replace(brief.payload, drawn_power=watts))
    shafts, voltage = shafts_at(
        fed, layout_of("six-x"), rotor, site_density(brief.mission), throttle, 1.0
    )
    current = power.motor_current(brief.motor, shafts[0].torque)
    made = power.controller_voltage(brief.motor, brief.speed_controller, current, shafts[0].speed)
    assert made == pytest.approx(throttle * voltage, rel=1e-9)
    drawn = 6 * throttle * current + watts / voltage
    at_rest = power.open_voltage(brief.battery, 1.0)
    assert voltage == pytest.approx(at_rest - brief.battery.resistance * drawn, rel=1e-9)


@pytest.mark.parametrize("kind", ["four-x", "six-plus", "three-pairs"])
def test_trim_carries_an_offset_centre_of_mass(
    brief: Brief, rotor: RotorModel, layout_of: Maker, kind: str
) -> None:
    layout = layout_of(kind)
    x, y = 0.02, -0.01
    point = hover(brief, layout, rotor, MASS, centre=(x, y))
    thrust = _thrusts(point)
    lift_centre = thrust @ layout.positions[:, :2] / np.sum(thrust)
    np.testing.assert_allclose(lift_centre, (x, y), atol=1e-9)
    level = hover(brief, layout, rotor, MASS)
    assert point.power > level.power  # uneven thrust costs power


def test_trim_refuses_a_centre_of_mass_outside_the_rotors(
    brief: Brief, rotor: RotorModel, layout_of: Maker
) -> None:
    with pytest.raises(FlightError, match="centre of mass"):
        hover(brief, layout_of("six-x"), rotor, MASS, centre=(0.5, 0.0))


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"battery": {"cells": 1, "resistance": 1e-3}}, "need"),
        ({"battery": {"max_current": 5.0}}, "the battery would carry"),
        ({"motor": {"max_current": 2.0}}, "a motor would carry"),
        ({"speed_controller": {"max_current": 2.0}}, "a speed controller would carry"),
        ({"battery": {"resistance": 1.5}}, "cannot give"),
    ],
)
def test_what_cannot_hover_says_why(
    brief: Brief,
    rotor: RotorModel,
    layout_of: Maker,
    change: dict[str, dict[str, float]],
    says: str,
) -> None:
    changed = {name: replace(getattr(brief, name), **new) for name, new in change.items()}
    with pytest.raises(FlightError, match=says):
        hover(replace(brief, **changed), layout_of("six-x"), rotor, 5.0)


def test_endurance_falls_with_mass_and_is_cut_where_the_voltage_no_longer_holds(
    brief: Brief, rotor: RotorModel, layout_of: Maker
) -> None:
    layout = layout_of("six-x")
    light, heavy = (hover(brief, layout, rotor, mass) for mass in (2.0, 3.0))
    assert light.endurance > heavy.endurance > 300
    assert light.limited_by == ""
    energy = brief.battery.capacity * brief.battery.usable * 16.8
    assert light.endurance * light.power < energy  # no more than the charge at full voltage
    slow = replace(brief.motor, Kv=heavy.rotors[0].speed / 14.4)
    cut = hover(replace(brief, motor=slow), layout, rotor, 3.0)
    assert cut.limited_by == "voltage"
    assert cut.endurance < heavy.endurance


def test_pairs_take_more_power_than_as_many_flat_rotors(
    brief: Brief, rotor: RotorModel, layout_of: Maker
) -> None:
    flat, pairs = (hover(brief, layout_of(kind), rotor, MASS) for kind in ("six-x", "three-pairs"))
    assert 1.2 < pairs.power / flat.power < 1.4
    assert "momentum theory" in pairs.method
    assert "momentum theory" not in flat.method


def test_thin_air_costs_power_as_its_root(brief: Brief, layout_of: Maker) -> None:
    rotor = rotor_estimate(brief.propeller)
    high = replace(brief, mission=replace(brief.mission, altitude=3000.0))
    low_point, high_point = (hover(each, layout_of("six-x"), rotor, MASS) for each in (brief, high))
    ratio = site_density(brief.mission) / site_density(high.mission)
    powers = high_point.rotors[0].shaft_power / low_point.rotors[0].shaft_power
    assert powers == pytest.approx(math.sqrt(ratio), rel=1e-9)


def test_motors_that_do_not_start_are_named(
    brief: Brief, rotor: RotorModel, layout_of: Maker
) -> None:
    stiff = replace(brief, motor=replace(brief.motor, no_load_current=15.0))
    layout = layout_of("six-x")
    with pytest.raises(FlightError, match="no thrust"):
        thrust_at_throttle(stiff, layout, rotor, 0.05)
    full = thrust_at_throttle(brief, layout, rotor, 0.5)
    with pytest.raises(FlightError, match="do not turn at idle"):
        speed_range(stiff, layout, rotor, hover(brief, layout, rotor, MASS), full)


@pytest.mark.parametrize("kind", ["six-x", "three-pairs"])
def test_hover_is_fast_enough_for_the_mass_closure(
    brief: Brief, rotor: RotorModel, layout_of: Maker, kind: str
) -> None:
    layout = layout_of(kind)
    taken = []
    for _ in range(7):
        start = time.perf_counter()
        hover(brief, layout, rotor, MASS)
        taken.append(time.perf_counter() - start)
    assert min(taken) < 5e-3
