"""Rotor speeds at a given throttle: motors, wake of upper rotors and sagging battery together."""

import math
from collections.abc import Callable
from dataclasses import dataclass

from scipy.optimize import brentq

from refledge.errors import FlightError
from refledge.flight import coaxial, power
from refledge.flight.other_power import other_power
from refledge.flight.rotor import RotorModel
from refledge.flight.shafts import Shaft
from refledge.model.brief import Brief
from refledge.model.layout import Layout

MOST_TIP_MACH = 0.6
"""Tip Mach number beyond which thin blades lose lift and howl: from memory, typical."""


@dataclass(frozen=True)
class Limits:
    """Currents not to be exceeded, A; motor and controller each, battery in all; tip speed."""

    motor: float
    controller: float
    battery: float
    tip: float = float("inf")
    """m/s, greatest speed of a propeller's tip."""


def shafts_at(
    brief: Brief, layout: Layout, rotor: RotorModel, rho: float, throttle: float, charge: float
) -> tuple[tuple[Shaft, ...], float]:
    """Every rotor's shaft and the battery's voltage, V, with all motors at one ``throttle``."""
    if not 0 < throttle <= 1:
        raise FlightError(f"throttle {throttle:g} is not above 0 and at most 1")
    at_rest, others = power.open_voltage(brief.battery, charge), other_power(brief)

    def lacking(voltage: float) -> float:
        one = _one_arm(brief, layout, rotor, rho, throttle * voltage)
        drawn = throttle * layout.n_arms * sum(_current(brief, shaft) for shaft in one)
        drawn += others / voltage
        return voltage - at_rest + brief.battery.resistance * drawn

    # a constant power has a second root below sqrt(R P), where the sag falls as the voltage rises
    low = max(1e-3 * at_rest, math.sqrt(brief.battery.resistance * others))
    if lacking(low) > 0:
        raise FlightError(f"the battery cannot give {others:.0f} W beside the motors")
    voltage = float(brentq(lacking, low, at_rest, xtol=1e-12))
    return _one_arm(brief, layout, rotor, rho, throttle * voltage) * layout.n_arms, voltage


def most_throttle(
    brief: Brief, layout: Layout, rotor: RotorModel, rho: float, limits: Limits
) -> tuple[float, str]:
    """The greatest throttle within ``limits`` on a full pack, and what stops it there."""
    others = other_power(brief)

    def loads(throttle: float) -> dict[str, float]:
        shafts, voltage = shafts_at(brief, layout, rotor, rho, throttle, 1.0)
        currents = [_current(brief, shaft) for shaft in shafts]
        return {
            "motor": max(currents) / limits.motor,
            "controller": max(currents) / limits.controller,
            "battery": (throttle * sum(currents) + others / voltage) / limits.battery,
            "tip speed": max(s.speed for s in shafts) * rotor.diameter / 2 / limits.tip,
        }

    def excess(throttle: float) -> float:
        return max(loads(throttle).values()) - 1

    if excess(1.0) <= 0:
        return 1.0, "voltage"
    if excess(0.01) > 0:
        raise FlightError("the current limits do not even let the motors idle; check their units")
    throttle = float(brentq(excess, 0.01, 1.0, xtol=1e-9))
    found = loads(throttle)
    return throttle, max(found, key=lambda name: found[name])


def _current(brief: Brief, shaft: Shaft) -> float:
    return power.motor_current(brief.motor, shaft.torque)


def _one_arm(
    brief: Brief, layout: Layout, rotor: RotorModel, rho: float, made: float
) -> tuple[Shaft, ...]:
    """The rotors of one arm, with ``made``, V, before each controller's resistance."""
    speed = _speed_at(brief, made, lambda omega: rotor.torque(omega, rho))
    upper = Shaft(rotor.thrust(speed, rho), rotor.torque(speed, rho), speed)
    if not layout.paired:
        return (upper,)

    def torque(omega: float) -> float:
        thrust = coaxial.lower_thrust(rotor, rho, upper.thrust, omega)
        return coaxial.lower_torque(rotor, rho, omega, upper.thrust, thrust)

    speed = _speed_at(brief, made, torque)
    thrust = coaxial.lower_thrust(rotor, rho, upper.thrust, speed)
    return upper, Shaft(thrust, torque(speed), speed)


def _speed_at(brief: Brief, made: float, torque: Callable[[float], float]) -> float:
    """Speed, rad/s, at which motor and rotor balance; 0 where the motor cannot start."""
    motor, controller = brief.motor, brief.speed_controller

    def lacking(speed: float) -> float:
        current = power.motor_current(motor, torque(speed))
        return power.controller_voltage(motor, controller, current, speed) - made

    if lacking(0.0) >= 0:
        return 0.0
    fast = motor.Kv * made
    while lacking(fast) < 0:  # a lower rotor may be driven by the wake
        fast *= 1.1
    return float(brentq(lacking, 0.0, fast, xtol=1e-10))
