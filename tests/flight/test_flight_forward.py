"""Forward flight: limits of momentum theory, energy, cruise optima, what is refused."""

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from refledge.errors import FlightError
from refledge.flight.air import GRAVITY, site_density
from refledge.flight.along import (
    Craft,
    best_endurance,
    best_range,
    craft,
    fastest_climb,
    flight_point,
    strongest_wind,
    wind_hold,
)
from refledge.flight.forward import Stream, induced_in, rotor_in, stream_at, wake_overlap
from refledge.flight.operating import hover
from refledge.flight.rotor import RotorModel
from refledge.model.brief import Brief
from refledge.model.layout import Layout

MASS = 3.0
AREA, RHO, THRUST = 0.06, 1.2, 6.0
HOVER = math.sqrt(THRUST / (2 * RHO * AREA))


@pytest.fixture(scope="module")
def six(brief: Brief, layout_of: Callable[[str], Layout], rotor: RotorModel) -> Craft:
    return craft(brief, layout_of("six-x"), rotor, MASS)


@given(st.floats(0.0, 30.0), st.floats(-2.0, 20.0))
def test_induced_velocity_keeps_momentum(edgewise: float, axial: float) -> None:
    v = induced_in(THRUST, AREA, RHO, Stream(axial, edgewise))
    through = math.hypot(edgewise, axial + v)
    assert 2 * RHO * AREA * v * through == pytest.approx(THRUST, rel=1e-9)


def test_climb_follows_froude_and_fast_flight_a_wing() -> None:
    """v = -V/2 + sqrt(V^2/4 + v_h^2) in climb; T/(2 rho A V) when fast (Glauert)."""
    climb = 5.0
    exact = -climb / 2 + math.sqrt(climb**2 / 4 + HOVER**2)
    assert induced_in(THRUST, AREA, RHO, Stream(climb, 0.0)) == pytest.approx(exact, rel=1e-9)
    wing = THRUST / (2 * RHO * AREA * 60.0)
    assert induced_in(THRUST, AREA, RHO, Stream(0.0, 60.0)) == pytest.approx(wing, rel=3e-3)


@pytest.mark.parametrize("kind", ["six-x", "three-pairs"])
def test_at_rest_it_is_hover(
    kind: str, brief: Brief, layout_of: Callable[[str], Layout], rotor: RotorModel
) -> None:
    """Pairs: one speed and torque for both leaves out that the lower rotor turns faster, which
    costs it profile power: 1.0 % here, so half as much again is allowed, on one side."""
    layout = layout_of(kind)
    still = flight_point(craft(brief, layout, rotor, MASS), 0.0)
    full = hover(brief, layout, rotor, MASS)
    if kind == "six-x":
        assert still.power == pytest.approx(full.power, rel=1e-6)
    else:
        assert 0.985 * full.power < still.power < full.power
    assert still.thrust == pytest.approx(MASS * GRAVITY)


def test_power_falls_then_rises_with_speed(six: Craft) -> None:
    watts = [flight_point(six, float(v)).power for v in (0, 4, 8, 12, 16, 20)]
    assert watts[2] < 0.9 * watts[0]
    assert watts[5] > watts[3]


def test_cruise_speeds_are_the_optima(six: Craft) -> None:
    long, far = best_endurance(six), best_range(six)
    assert long.speed < far.speed
    for step in (-0.5, 0.5):
        assert flight_point(six, long.speed + step).power > long.power
        near = flight_point(six, far.speed + step)
        assert near.power / near.speed > far.power / far.speed
    assert far.range == pytest.approx(far.endurance * far.speed)
    assert far.range > long.range


def test_power_is_induced_profile_parasite_and_climb(six: Craft) -> None:
    """Shaft power at the discs: T v + profile + drag times speed + weight times climb."""
    speed, climb = 10.0, 1.5
    point = flight_point(six, speed, climb)
    each = point.thrust / 6
    moving = rotor_in(six.rotor, six.rho, each, stream_at(speed, climb, point.tilt))
    drag = six.rho / 2 * speed**2 * six.plate
    along = (
        point.thrust * math.sin(point.tilt) * speed + point.thrust * math.cos(point.tilt) * climb
    )
    assert along == pytest.approx(drag * speed + MASS * GRAVITY * climb, rel=1e-9)
    profile = point.shaft_power - along - point.thrust * moving.induced
    assert 0.1 * point.shaft_power < profile < 0.5 * point.shaft_power


def test_strongest_wind_is_held_and_a_stronger_one_is_not(six: Craft) -> None:
    wind, limit = strongest_wind(six)
    assert limit
    wind_hold(six, wind - 0.01)
    with pytest.raises(FlightError):
        wind_hold(six, wind + 0.05)


def test_more_drag_holds_less_wind(six: Craft) -> None:
    draggy = replace(six, plate=2 * six.plate)
    assert strongest_wind(draggy)[0] < strongest_wind(six)[0]
    assert best_range(draggy).range < best_range(six).range


def test_climb_ends_where_the_battery_does(six: Craft) -> None:
    climb, limit = fastest_climb(six)
    assert limit == "battery voltage" or "current" in limit
    assert flight_point(six, 0.0, climb).power > flight_point(six, 0.0, climb / 2).power


def test_steep_descent_is_refused_unless_it_moves_out_of_its_wake(six: Craft) -> None:
    rho = site_density(six.brief.mission)
    induced = math.sqrt(MASS * GRAVITY / 6 / (2 * rho * six.rotor.area))
    assert flight_point(six, 0.0, -0.4 * induced).power < flight_point(six, 0.0).power
    with pytest.raises(FlightError, match="vortex-ring"):
        flight_point(six, 0.0, -0.6 * induced)
    assert flight_point(six, 1.2 * induced, -0.6 * induced).power > 0


def test_too_fast_for_the_model_is_refused(six: Craft) -> None:
    with pytest.raises(FlightError, match="advance ratio"):
        rotor_in(six.rotor, six.rho, 5.0, Stream(0.0, 45.0))


def test_wake_leaves_the_lower_rotor_with_speed() -> None:
    overlap = [wake_overlap(Stream(0.0, v), 5.0) for v in (0.0, 5.0, 20.0)]
    assert overlap[0] == 1.0
    assert np.all(np.diff(overlap) < 0)
    assert overlap[1] == pytest.approx(1 / math.sqrt(2))
