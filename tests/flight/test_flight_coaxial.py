"""Coaxial pairs against momentum theory, evaluated independently (check value C4.1).

The model is that of Leishman, Principles of Helicopter Aerodynamics, section 2.15 (recalled): the
expected values below are closed forms of it, derived outside this code.
"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import fsolve

from refledge.errors import FlightError
from refledge.flight import coaxial
from refledge.flight.rotor import RotorModel
from refledge.typed import Floats

RHO = 1.2
AREA = 0.06
UNIT = 2 * RHO * AREA  # thrust at which a rotor alone induces 1 m/s


def _alone(thrust: float) -> float:
    return thrust * coaxial.induced_velocity(thrust, AREA, RHO)


def test_coplanar_equal_thrust() -> None:
    factor = coaxial.coplanar_power(UNIT, UNIT, AREA, RHO) / (2 * _alone(UNIT))
    assert factor == pytest.approx(math.sqrt(2), rel=1e-12)


def test_contracted_wake_equal_thrust() -> None:
    lower_own = coaxial.lower_inflow(UNIT, UNIT, AREA, RHO) - 1.0
    assert lower_own == pytest.approx((math.sqrt(17) - 3) / 2, rel=1e-12)
    factor = coaxial.ideal_pair_power(UNIT, UNIT, AREA, RHO) / (2 * _alone(UNIT))
    assert factor == pytest.approx(1.280776, abs=5e-7)
    assert UNIT * (1 + lower_own) / _alone(UNIT) == pytest.approx(1.561553, abs=5e-7)


def test_contracted_wake_balanced_torque() -> None:
    lower = UNIT * coaxial.BALANCED_THRUST_SHARE
    assert coaxial.lower_inflow(UNIT, lower, AREA, RHO) - 1 == pytest.approx(0.437565, abs=5e-7)
    assert pytest.approx(1.437565, abs=5e-7) == coaxial.BALANCED_THRUST_RATIO
    power = coaxial.ideal_pair_power(UNIT, lower, AREA, RHO)
    assert power / (_alone(UNIT) + _alone(lower)) == pytest.approx(1.265683, abs=5e-7)
    assert power / (2 * _alone((UNIT + lower) / 2)) == pytest.approx(1.281008, abs=5e-7)


@given(st.floats(min_value=0.01, max_value=20.0))
def test_closed_form_solves_momentum_and_energy(share: float) -> None:
    """The two balances behind the closed form, solved as they stand for own inflow x and far wake
    w, in units of the upper's induced velocity: t + 1 = (1 + x) w / 2, and
    2 t (1 + x) = (1 + x) w^2 / 2 - 2."""

    def balances(unknown: Floats, /) -> tuple[float, float]:
        x, w = unknown.tolist()
        momentum = (1 + x) * w / 2 - share - 1
        energy = (1 + x) * w**2 / 2 - 2 - 2 * share * (1 + x)
        return momentum, energy

    own, wake = fsolve(balances, (0.5 * math.sqrt(share), 2.0 + math.sqrt(share)), xtol=1e-13)
    assert wake > 0
    assert coaxial.inflow_factor(share) == pytest.approx(1 + own, rel=1e-8)


def test_limits_of_the_closed_form() -> None:
    assert coaxial.inflow_factor(0.0) == 1.0  # the wake alone
    # Upper thrust vanishing: the lower rotor is alone.
    assert coaxial.lower_inflow(1e-9, UNIT, AREA, RHO) == pytest.approx(1.0, rel=1e-3)
    assert coaxial.lower_inflow(0.0, UNIT, AREA, RHO) == 1.0


def test_without_an_upper_rotor_the_lower_is_a_rotor_alone(rotor: RotorModel) -> None:
    speed = coaxial.lower_speed(rotor, RHO, 0.0, 5.0)
    assert speed == pytest.approx(rotor.speed_for(5.0, RHO), rel=1e-9)
    torque = coaxial.lower_torque(rotor, RHO, speed, 0.0, 5.0)
    assert torque == pytest.approx(rotor.torque(speed, RHO), rel=1e-9)


thrusts = st.floats(min_value=0.5, max_value=15.0)


@given(thrusts, thrusts)
def test_speed_and_thrust_invert_each_other(rotor: RotorModel, upper: float, lower: float) -> None:
    speed = coaxial.lower_speed(rotor, RHO, upper, lower)
    assert coaxial.lower_thrust(rotor, RHO, upper, speed) == pytest.approx(lower, rel=1e-8)


@given(thrusts, thrusts, st.floats(min_value=0.2, max_value=5.0))
def test_wake_costs_speed_and_power(
    rotor: RotorModel, upper: float, lower: float, more: float
) -> None:
    speed = coaxial.lower_speed(rotor, RHO, upper, lower)
    power = speed * coaxial.lower_torque(rotor, RHO, speed, upper, lower)
    assert speed > rotor.speed_for(lower, RHO)
    assert power > rotor.power(rotor.speed_for(lower, RHO), RHO)
    harder = coaxial.lower_speed(rotor, RHO, upper + more, lower)
    assert harder > speed
    assert coaxial.lower_speed(rotor, RHO, upper, lower + more) > speed
    assert harder * coaxial.lower_torque(rotor, RHO, harder, upper + more, lower) > power


@given(st.floats(min_value=1.0, max_value=30.0))
def test_balanced_split_balances_torque(rotor: RotorModel, total: float) -> None:
    upper, lower = coaxial.balanced_split(rotor, RHO, total)
    assert upper + lower == pytest.approx(total, rel=1e-12)
    speed = coaxial.lower_speed(rotor, RHO, upper, lower)
    of_lower = coaxial.lower_torque(rotor, RHO, speed, upper, lower)
    of_upper = rotor.torque(rotor.speed_for(upper, RHO), RHO)
    assert of_lower == pytest.approx(of_upper, rel=1e-7)
    # A real rotor has profile losses besides: the split stays near that of ideal rotors.
    assert upper / lower == pytest.approx(coaxial.BALANCED_THRUST_RATIO, rel=0.05)


def test_pair_costs_between_its_induced_and_its_profile_factor(rotor: RotorModel) -> None:
    """Shaft power over that of two rotors alone with the same total: ideal power grows by the
    induced factor; the rest grows with speed cubed, and the lower rotor turns the fastest."""
    upper, lower = coaxial.balanced_split(rotor, RHO, 10.0)
    fast = coaxial.lower_speed(rotor, RHO, upper, lower)
    slow = rotor.speed_for(upper, RHO)
    one = rotor.speed_for(5.0, RHO)
    assert one < slow < fast
    pair = rotor.power(slow, RHO) + fast * coaxial.lower_torque(rotor, RHO, fast, upper, lower)
    factor = pair / (2 * rotor.power(one, RHO))
    ideal = coaxial.ideal_pair_power(upper, lower, rotor.area, RHO)
    half = coaxial.induced_velocity(5.0, rotor.area, RHO)
    assert ideal / (10.0 * half) < factor < (fast / one) ** 3


def test_a_slow_lower_rotor_is_driven_by_the_wake(rotor: RotorModel) -> None:
    assert coaxial.lower_thrust(rotor, RHO, 8.0, 60.0) < 0
    with pytest.raises(FlightError, match="pull down"):
        coaxial.lower_speed(rotor, RHO, 8.0, -1.0)
    with pytest.raises(FlightError, match="pull down"):
        coaxial.balanced_split(rotor, RHO, 0.0)
