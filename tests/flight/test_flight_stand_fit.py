"""A synthetic motor and propeller, fitted from a noisy run, fly as the true ones do."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from refledge.errors import AnalysisError
from refledge.flight import power
from refledge.flight.air import site_density
from refledge.flight.curve import curve_through
from refledge.flight.operating import full_thrust, hover
from refledge.flight.rotor import RotorModel
from refledge.flight.stand_fit import Known, StandRows, fit_stand, fitted_items, outliers
from refledge.model.brief import Brief
from refledge.model.layout import Layout
from refledge.typed import Floats

MASS = 3.0  # kg


@pytest.fixture(scope="module", name="true_rotor")
def _true_rotor(rotor: RotorModel) -> RotorModel:
    """A synthetic rotor whose coefficients are powers of speed, as the fit assumes."""
    speed = np.linspace(100.0, 1200.0, 45)
    CT, CP = 0.115 * (speed / 400) ** 0.18, 0.045 * (speed / 400) ** 0.16
    return replace(rotor, CT_curve=curve_through(speed, CT), CP_curve=curve_through(speed, CP))


def run_of(brief: Brief, rotor: RotorModel, noise: float = 0.003) -> StandRows:
    """Runs on a fresh and a low pack, thirty throttles each."""
    random, rho = np.random.default_rng(4), site_density(brief.mission)
    motor, controller, rows = brief.motor, brief.speed_controller, []
    for volts in (12.0, 16.0):
        for throttle in np.linspace(0.25, 1.0, 30):
            speed = turning(brief, rotor, rho, throttle * volts)
            current = power.motor_current(motor, rotor.torque(speed, rho))
            made = power.controller_voltage(motor, controller, current, speed)
            rows.append((speed, rotor.thrust(speed, rho), made * current, volts, throttle == 1.0))
    speed, thrust, watts, plug, full = np.array(rows).T
    watts, thrust = (each * (1 + noise * random.standard_normal(60)) for each in (watts, thrust))
    none = np.zeros(60, dtype=np.int64)
    return StandRows(none, none, speed, thrust, watts, plug, full > 0)


def turning(brief: Brief, rotor: RotorModel, rho: float, made: float) -> float:
    low, high = 1.0, brief.motor.Kv * made
    for _ in range(60):
        middle = (low + high) / 2
        current = power.motor_current(brief.motor, rotor.torque(middle, rho))
        volts = power.controller_voltage(brief.motor, brief.speed_controller, current, middle)
        low, high = (low, middle) if volts > made else (middle, high)
    return low


def guessed(brief: Brief, rotor: RotorModel) -> Known:
    """What a maker's sheet says: Kv 4 % high, resistance and idle current a third off."""
    resistance = brief.motor.resistance + brief.speed_controller.resistance
    return Known(
        Kv=np.array([1.04 * brief.motor.Kv]),
        resistance=np.array([1.3 * resistance]),
        idle=np.array([0.7 * brief.motor.no_load_current]),
        diameter=np.array([rotor.diameter]),
        rho=site_density(brief.mission),
        reference=500.0,
    )


def test_endurance_and_thrust_are_recovered_within_one_per_cent(
    brief: Brief, layout_of: Callable[[str], Layout], true_rotor: RotorModel
) -> None:
    layout, rows = layout_of("six-x"), run_of(brief, true_rotor)
    found = fit_stand(rows, guessed(brief, true_rotor), simple=True)
    speeds: Floats = np.linspace(rows.speed.min(), rows.speed.max(), 12)
    motor, fitted = fitted_items(found, brief.motor, brief.speed_controller, 2, speeds, "synthetic")
    other = replace(brief, motor=motor)
    true = hover(brief, layout, true_rotor, MASS).endurance
    assert hover(other, layout, fitted, MASS).endurance == pytest.approx(true, rel=0.01)
    thrust = full_thrust(brief, layout, true_rotor).total_thrust
    assert full_thrust(other, layout, fitted).total_thrust == pytest.approx(thrust, rel=0.01)


def test_true_constants_lie_within_three_standard_uncertainties(
    brief: Brief, true_rotor: RotorModel
) -> None:
    found = fit_stand(run_of(brief, true_rotor), guessed(brief, true_rotor), simple=True)
    at = found.motor(0)
    assert abs(np.log(at["Kv"] / brief.motor.Kv)) < 3 * found.spread("Kv", 0)
    resistance = brief.motor.resistance + brief.speed_controller.resistance
    assert abs(np.log(at["R"] / resistance)) < 3 * found.spread("R", 0)
    assert found.spread("Kv", 0) < 0.05  # narrower than the maker's word


def test_a_slipped_row_is_reported(brief: Brief, true_rotor: RotorModel) -> None:
    rows = run_of(brief, true_rotor)
    thrust = rows.thrust.copy()
    thrust[17] *= 0.7
    found = fit_stand(replace(rows, thrust=thrust), guessed(brief, true_rotor), simple=True)
    flagged = outliers(found, replace(rows, thrust=thrust))
    assert [row for row, what in flagged if "thrust -3" in what] == [17]


def test_rows_that_do_not_turn_are_refused(brief: Brief, true_rotor: RotorModel) -> None:
    rows = run_of(brief, true_rotor)
    speed = rows.speed.copy()
    speed[0] = 0.0
    with pytest.raises(AnalysisError, match="leave them out"):
        fit_stand(replace(rows, speed=speed), guessed(brief, true_rotor), simple=True)
