"""Rotor models against UIUC measurements, ideal hover and scaling laws.

Figures: UIUC Propeller Database (Brandt, Deters, Ananda, Dantsker, Selig; Brandt and Selig, AIAA
2011-1255), static runs at rho = 1.225 kg/m3; thrust, power, torque and figure of merit as evaluated
from them independently (check values C4.2). Ideal hover: check value C4.4.
"""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from refledge.errors import FlightError
from refledge.flight import power
from refledge.flight.rotor import RotorModel, figure_of_merit, ideal_hover_power
from refledge.flight.rotor_sources import (
    ESTIMATE_SPREAD,
    rotor_estimate,
    rotor_from_coefficients,
    rotor_from_thrust_table,
)
from refledge.model.brief import Brief
from refledge.model.items import Propeller
from refledge.model.rotor_tables import CoefficientTable, ThrustTable

RPM = 2 * math.pi / 60
RHO = 1.225


@pytest.mark.parametrize(
    ("inches", "rpm", "CT", "CP", "T", "P", "Q", "FM"),
    [
        (10, 6528, 0.1299, 0.0531, 7.840, 88.570, 0.12956, 0.7035),
        (10, 4029, 0.1158, 0.0466, 2.662, 18.274, 0.04331, 0.6747),
        (11, 6021, 0.1259, 0.0493, 9.465, 103.912, 0.16480, 0.7230),
    ],
)
def test_measured_points(
    propeller: Propeller,
    inches: float,
    rpm: float,
    CT: float,
    CP: float,
    T: float,
    P: float,
    Q: float,
    FM: float,
) -> None:
    table = CoefficientTable(
        np.array([rpm - 500, rpm, rpm + 500]),
        np.array([0.9 * CT, CT, 1.1 * CT]),
        np.array([0.9 * CP, CP, 1.1 * CP]),
        "UIUC",
    )
    rotor = rotor_from_coefficients(replace(propeller, diameter=inches * 0.0254), table)
    speed = rpm * RPM
    assert rotor.thrust(speed, RHO) == pytest.approx(T, abs=5e-4)  # the digits given
    assert rotor.power(speed, RHO) == pytest.approx(P, abs=5e-4)
    assert rotor.torque(speed, RHO) == pytest.approx(Q, abs=5e-6)
    assert figure_of_merit(rotor.CT(speed), rotor.CP(speed)) == pytest.approx(FM, abs=5e-5)
    assert rotor.torque_ratio(speed) == pytest.approx(Q / T, rel=4e-4)  # Q, T as rounded
    assert rotor.speed_for(rotor.thrust(speed, RHO), RHO) == pytest.approx(speed, rel=1e-9)


def test_interpolation_between_rows_is_close_to_the_rows_left_out(rotor: RotorModel) -> None:
    # Rows of the same run that the fixture leaves out; the file prints four decimals and
    # neighbouring rows scatter by 0.0005 from a smooth line.
    for rpm, CT, CP in ((2875, 0.1059, 0.0407), (3994, 0.1128, 0.0432), (5710, 0.1249, 0.0486)):
        assert rotor.CT(rpm * RPM) == pytest.approx(CT, abs=8e-4)
        assert rotor.CP(rpm * RPM) == pytest.approx(CP, abs=8e-4)


@given(st.floats(min_value=150.0, max_value=700.0), st.floats(min_value=1.0, max_value=60.0))
def test_coefficients_rise_with_speed_as_the_rows_do(
    rotor: RotorModel, speed: float, step: float
) -> None:
    assert rotor.CT(speed) <= rotor.CT(speed + step)
    assert rotor.CP(speed) <= rotor.CP(speed + step)


def test_ends_hold_and_spread_widens(rotor: RotorModel) -> None:
    assert rotor.CT(50.0) == rotor.CT_curve.values[0] == 0.0986
    assert rotor.CP(900.0) == rotor.CP_curve.values[-1] == 0.0493
    assert rotor.spread_at(400.0) == rotor.spread
    assert rotor.spread < rotor.spread_at(700.0) < rotor.spread_at(900.0)
    assert rotor.spread_at(150.0) < rotor.spread_at(100.0)


@given(st.floats(min_value=0.05, max_value=30.0), st.floats(min_value=0.7, max_value=1.4))
def test_speed_for_inverts_thrust(rotor: RotorModel, thrust: float, rho: float) -> None:
    assert rotor.thrust(rotor.speed_for(thrust, rho), rho) == pytest.approx(thrust, rel=1e-9)


def test_ideal_hover_of_a_four_rotor_of_1500_g() -> None:
    thrust = 1.5 * 9.80665 / 4
    diameter = 10 * 0.0254
    assert thrust == pytest.approx(3.6775, abs=5e-5)
    each = ideal_hover_power(thrust, diameter, RHO)
    assert each == pytest.approx(20.0155, abs=5e-5)
    assert each / thrust == pytest.approx(5.4427, abs=5e-5)
    assert 4 * each == pytest.approx(80.062, abs=5e-4)


def test_figure_of_merit_is_ideal_power_over_shaft_power(rotor: RotorModel) -> None:
    thrust, shaft = rotor.thrust(450.0, RHO), rotor.power(450.0, RHO)
    ideal = ideal_hover_power(thrust, rotor.diameter, RHO)
    assert figure_of_merit(rotor.CT(450.0), rotor.CP(450.0)) == pytest.approx(ideal / shaft)


@given(st.floats(min_value=0.3, max_value=3.0))
def test_scaling_laws_at_constant_coefficients(propeller: Propeller, factor: float) -> None:
    one = rotor_estimate(propeller)
    faster = factor * 300.0
    assert one.thrust(faster, RHO) == pytest.approx(factor**2 * one.thrust(300.0, RHO))
    assert one.torque(faster, RHO) == pytest.approx(factor**2 * one.torque(300.0, RHO))
    assert one.power(faster, RHO) == pytest.approx(factor**3 * one.power(300.0, RHO))
    scaled = replace(
        propeller, diameter=factor * propeller.diameter, pitch=factor * propeller.pitch
    )
    larger = rotor_estimate(scaled)
    assert larger.thrust(300.0, RHO) == pytest.approx(factor**4 * one.thrust(300.0, RHO))
    assert larger.power(300.0, RHO) == pytest.approx(factor**5 * one.power(300.0, RHO))


@pytest.mark.parametrize(
    ("inches", "CT_low", "CT_high", "CP_low", "CP_high"),
    [(10, 0.1059, 0.1299, 0.0431, 0.0531), (11, 0.0986, 0.1259, 0.0392, 0.0493)],
)
def test_estimate_covers_the_propellers_that_it_was_set_by(
    propeller: Propeller,
    inches: float,
    CT_low: float,
    CT_high: float,
    CP_low: float,
    CP_high: float,
) -> None:
    """Calibration, not validation: first and last row of both static runs lie inside the spread."""
    rotor = rotor_estimate(replace(propeller, diameter=inches * 0.0254))
    for CT, CP in ((CT_low, CP_low), (CT_high, CP_high)):
        assert abs(rotor.CT(1.0) / CT - 1) < ESTIMATE_SPREAD
        assert abs(rotor.CP(1.0) / CP - 1) < ESTIMATE_SPREAD
    assert "estimate" in rotor.method


def test_estimate_rises_with_pitch_and_blades(propeller: Propeller) -> None:
    base = rotor_estimate(propeller).CT(1.0)
    assert rotor_estimate(replace(propeller, pitch=1.5 * propeller.pitch)).CT(1.0) > base
    assert rotor_estimate(replace(propeller, blades=3)).CT(1.0) > base


def test_thrust_stand_run_gives_the_rotor_back(
    brief: Brief, propeller: Propeller, rotor: RotorModel
) -> None:
    motor, controller = brief.motor, brief.speed_controller
    speed = rotor.CT_curve.knots
    torque = [rotor.torque(each, 1.18) for each in speed]
    current = [power.motor_current(motor, each) for each in torque]
    watts = [
        amps * power.controller_voltage(motor, controller, amps, each)
        for amps, each in zip(current, speed, strict=True)
    ]
    unknown = np.full(len(speed), np.nan)
    table = ThrustTable(
        np.array(speed),
        np.array([rotor.thrust(each, 1.18) for each in speed]),
        np.array(watts),
        unknown,
        unknown,
        "stand",
    )
    again = rotor_from_thrust_table(propeller, table, motor, controller, 1.18)
    assert again.CT_curve.values == pytest.approx(rotor.CT_curve.values, rel=1e-12)
    assert again.CP_curve.values == pytest.approx(rotor.CP_curve.values, rel=1e-9)
    assert again.spread > rotor.spread


def _flawed(rpm: list[float], CT: list[float], CP: list[float]) -> CoefficientTable:
    return CoefficientTable(np.array(rpm), np.array(CT), np.array(CP), "made up")


@pytest.mark.parametrize(
    ("table", "says"),
    [
        (_flawed([3000, 4000], [0.12, 0.12], [0.05, 0.03]), "figure of merit"),
        (_flawed([3000, 4000], [0.12, -0.01], [0.05, 0.05]), "positive"),
        (_flawed([4000, 3000], [0.12, 0.12], [0.05, 0.05]), "rise"),
    ],
)
def test_refuses_impossible_tables(
    propeller: Propeller, table: CoefficientTable, says: str
) -> None:
    with pytest.raises(FlightError, match=says):
        rotor_from_coefficients(propeller, table)


def test_refuses_a_stand_run_without_speed(brief: Brief, propeller: Propeller) -> None:
    row = np.array([0.0])
    table = ThrustTable(row, row + 1, row + 9, row, row, "stand")
    with pytest.raises(FlightError, match="no rotor speed"):
        rotor_from_thrust_table(propeller, table, brief.motor, brief.speed_controller, RHO)


def test_refuses_negative_thrust(rotor: RotorModel) -> None:
    with pytest.raises(FlightError, match="pull down"):
        rotor.speed_for(-1.0, RHO)
