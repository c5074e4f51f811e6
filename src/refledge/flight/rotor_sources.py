"""Rotor models from what is known: a thrust-stand run, coefficients, or diameter and pitch."""

import math

import numpy as np

from refledge.errors import FlightError
from refledge.flight.curve import curve_through
from refledge.flight.power import current_from_power, motor_torque
from refledge.flight.rotor import (
    LIFT_SLOPE,
    SOLIDITY_PER_BLADE,
    TURN,
    RotorModel,
    figure_of_merit,
)
from refledge.model.items import Motor, Propeller, SpeedController
from refledge.model.rotor_tables import CoefficientTable, ThrustTable
from refledge.typed import Floats

MEASURED_SPREAD = 0.03  # from memory, typical of repeated static runs of one propeller
STAND_SPREAD = 0.05  # from memory, typical of a hobby thrust stand
ESTIMATE_SPREAD = 0.2
# Over their speeds the two UIUC propellers that the estimate is set by stray up to 15 % from it;
# other blade shapes stray further: a fifth is a judgement, not a finding.
ESTIMATE_MERIT = 0.65  # from memory, typical; the two UIUC propellers reach 0.63 to 0.72
ZERO_LIFT = math.radians(5.0)
# Zero-lift angle below the chord that makes the blade-element estimate meet the mean measured CT
# of the UIUC 10x4.7 (4.8 degrees) and 11x4.7 (5.1 degrees).


def rotor_from_coefficients(propeller: Propeller, table: CoefficientTable) -> RotorModel:
    """The rotor as measured: ``table`` of static coefficients against rpm."""
    speed = table.rpm * TURN / 60
    method = f"measured coefficients, {table.source}"
    return _model(propeller, speed, table.CT, table.CP, method, MEASURED_SPREAD)


def rotor_from_thrust_table(
    propeller: Propeller,
    table: ThrustTable,
    motor: Motor,
    controller: SpeedController,
    rho: float,
) -> RotorModel:
    """The rotor from a thrust-stand run with this motor, in air of density ``rho``, kg/m3.

    Where the stand measures no torque it follows from electrical power, speed and the motor's Kv,
    R, I0.
    """
    if np.any(table.speed <= 0):
        raise FlightError(f"{table.source}: a row has no rotor speed; leave it out")
    turns = table.speed / TURN
    torque, how = table.torque, "torque measured"
    if not len(torque):
        torque, how = _torque(table, motor, controller), "torque by the motor's Kv, R and I0"
    CT = table.thrust / (rho * turns**2 * propeller.diameter**4)
    CP = TURN * torque / (rho * turns**2 * propeller.diameter**5)
    method = f"measured thrust table, {table.source}; {how}"
    return _model(propeller, table.speed, CT, CP, method, STAND_SPREAD)


def _torque(table: ThrustTable, motor: Motor, controller: SpeedController) -> Floats:
    """(n,), N m."""
    rows = zip(table.electrical_power, table.speed, strict=True)
    return np.array(
        [
            motor_torque(motor, current_from_power(motor, controller, watts, speed))
            for watts, speed in rows
        ]
    )


def rotor_estimate(propeller: Propeller) -> RotorModel:
    """An estimate from diameter, pitch and blade count alone, for want of measurements.

    CT by blade element with uniform inflow (Leishman, Principles of Helicopter Aerodynamics):
    lambda = sigma a/16 (sqrt(1 + 64 theta75 / (3 sigma a)) - 1), CT_h = 2 lambda^2, with
    theta75 the blade angle at three quarters of the radius from the zero-lift line; CP from an
    assumed figure of merit.
    """
    sigma_a = propeller.blades * SOLIDITY_PER_BLADE * LIFT_SLOPE
    theta = math.atan(propeller.pitch / (0.75 * math.pi * propeller.diameter)) + ZERO_LIFT
    inflow = sigma_a / 16 * (math.sqrt(1 + 64 * theta / (3 * sigma_a)) - 1)
    CT = math.pi**3 / 4 * 2 * inflow**2
    CP = math.sqrt(2 / math.pi) * CT**1.5 / ESTIMATE_MERIT
    method = "estimate from diameter and pitch, not measured"
    one = np.ones(1)
    return _model(propeller, one, CT * one, CP * one, method, ESTIMATE_SPREAD)


def _model(
    propeller: Propeller, speed: Floats, CT: Floats, CP: Floats, method: str, spread: float
) -> RotorModel:
    _refuse_impossible(speed, CT, CP, method)
    return RotorModel(
        diameter=propeller.diameter,
        blades=propeller.blades,
        CT_curve=curve_through(speed, CT),
        CP_curve=curve_through(speed, CP),
        method=method,
        spread=spread,
    )


def _refuse_impossible(speed: Floats, CT: Floats, CP: Floats, method: str) -> None:
    if len(speed) == 0 or np.any(np.diff(speed) <= 0):
        raise FlightError(f"{method}: rotor speeds must rise from row to row")
    for at, thrust, power in zip(speed * 60 / TURN, CT, CP, strict=True):
        if not (thrust > 0 and power > 0):
            raise FlightError(
                f"{method}: at {at:.0f} rpm CT {thrust:.4f}, CP {power:.4f}; both must be positive"
            )
        merit = figure_of_merit(thrust, power)
        if merit >= 1:
            raise FlightError(
                f"{method}: at {at:.0f} rpm the figure of merit is {merit:.2f}; no rotor hovers on "
                "less than ideal power. Check units, air density, Kv and no-load current"
            )
