"""Motor, speed controller and battery: from torque and speed on the shaft to current in the pack.

Motor: I = Q Kv + I0, V = I R + omega/Kv, with Kv in rad/s/V so that torque per ampere is 1/Kv (the
usual three-constant model; Drela, First-order DC electric motor model, MIT 2007, from memory). The
controller is an ideal converter with its on-resistance in series; throttle is its duty: what it
puts before that resistance, over the battery's voltage under load.
"""

import math
from dataclasses import dataclass

import numpy as np

from refledge.errors import FlightError
from refledge.model.items import Battery, Motor, SpeedController
from refledge.typed import Floats

_CHARGE = np.array([0.0, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0])
_CELL_VOLTS: dict[str, Floats] = {  # at rest, V per cell; from memory, typical; spread 0.03 V
    "LiPo": np.array([3.27, 3.61, 3.69, 3.73, 3.77, 3.80, 3.84, 3.87, 3.95, 4.02, 4.11, 4.20]),
    "Li-ion": np.array([2.90, 3.20, 3.35, 3.49, 3.57, 3.63, 3.70, 3.80, 3.90, 4.00, 4.08, 4.19]),
}
CELL_FLOOR = {"LiPo": 3.3, "Li-ion": 2.8}  # V per cell under load; common practice, no source


@dataclass(frozen=True)
class Drawn:
    """What the pack gives at one moment."""

    voltage: float  # V, under load
    current: float  # A


def motor_current(motor: Motor, torque: float) -> float:
    """A, for ``torque``, N m, on the shaft."""
    return torque * motor.Kv + motor.no_load_current


def motor_torque(motor: Motor, current: float) -> float:
    """N m, on the shaft at ``current``, A."""
    return (current - motor.no_load_current) / motor.Kv


def motor_voltage(motor: Motor, current: float, speed: float) -> float:
    """V at the motor, at ``current``, A, and ``speed``, rad/s."""
    return current * motor.resistance + speed / motor.Kv


def controller_voltage(
    motor: Motor, controller: SpeedController, current: float, speed: float
) -> float:
    """V that the controller must make before its own resistance: throttle times battery voltage."""
    return motor_voltage(motor, current, speed) + current * controller.resistance


def current_from_power(
    motor: Motor, controller: SpeedController, power: float, speed: float
) -> float:
    """Motor current, A, when the controller takes ``power``, W, at ``speed``, rad/s.

    Positive root of P = I^2 (R + R_controller) + I omega/Kv.
    """
    resistance = motor.resistance + controller.resistance
    back = speed / motor.Kv
    return (math.sqrt(back**2 + 4 * resistance * power) - back) / (2 * resistance)


def open_voltage(battery: Battery, charge: float) -> float:
    """Pack voltage at rest, V, at state of ``charge`` 0..1."""
    cell = np.interp(charge, _CHARGE, _CELL_VOLTS[battery.chemistry])
    return battery.cells * float(cell)


def cell_voltages(chemistry: str) -> tuple[Floats, Floats]:
    """State of charge and rest voltage of a cell, V, (n,) each, both rising."""
    return _CHARGE, _CELL_VOLTS[chemistry]


def draw(battery: Battery, power: float, charge: float) -> Drawn:
    """Voltage and current when ``power``, W, is drawn at state of ``charge``.

    Upper root of V = V0 - R P / V: the pack sags by its resistance.
    """
    at_rest = open_voltage(battery, charge)
    inside = at_rest**2 - 4 * battery.resistance * power
    if inside < 0:
        most = at_rest**2 / (4 * battery.resistance)
        raise FlightError(
            f"the battery cannot give {power:.0f} W: at {at_rest:.1f} V its resistance allows "
            f"{most:.0f} W at most; take a larger or fresher pack"
        )
    voltage = (at_rest + math.sqrt(inside)) / 2
    return Drawn(voltage, power / voltage)


def endurance(battery: Battery, power: float, least_voltage: float = 0.0) -> tuple[float, bool]:
    """Seconds at constant ``power``, W, and whether low voltage ends it before the usable charge.

    t = C integral of V(z)/P dz over the state of charge z from full to 1 - usable, V with sag; it
    ends earlier where V falls to ``least_voltage``, V, or to the cell's floor.
    """
    charge = np.linspace(1.0, 1.0 - battery.usable, 401)
    at_rest = battery.cells * np.interp(charge, _CHARGE, _CELL_VOLTS[battery.chemistry])
    inside = at_rest**2 - 4 * battery.resistance * power
    voltage = (at_rest + np.sqrt(np.maximum(inside, 0.0))) / 2
    floor = max(least_voltage, battery.cells * CELL_FLOOR[battery.chemistry])
    usable = np.logical_and.accumulate((inside >= 0) & (voltage >= floor))
    n_usable = int(np.count_nonzero(usable))
    charge, voltage = charge[:n_usable], voltage[:n_usable]
    volts_over_charge = float(np.trapezoid(voltage[::-1], charge[::-1]))
    return battery.capacity * volts_over_charge / power, n_usable < len(usable)
