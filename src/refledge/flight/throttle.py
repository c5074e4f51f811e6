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
    if not layout.paired:
        return _alike(brief, layout, rotor, rho, throttle, at_rest)

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


def _alike(
    brief: Brief, layout: Layout, rotor: RotorModel, rho: float, throttle: float, at_rest: float
) -> tuple[tuple[Shaft, ...], float]:
    """Rotors that all do the same: one equation in their speed, the battery's sag put into it.

    V = V0 - R (I + P / V) has the upper root V = (E + sqrt(E^2 - 4 R P)) / 2 with E = V0 - R I;
    P is what is drawn beside the motors.
    """
    motor, controller, resistance = brief.motor, brief.speed_controller, brief.battery.resistance
    others = other_power(brief)

    def voltage(current: float) -> float:
        open_end = at_rest - resistance * throttle * layout.n_arms * current
        inside = max(0.0, open_end) ** 2 - 4 * resistance * others
        return (open_end + math.sqrt(max(0.0, inside))) / 2

    def lacking(speed: float) -> float:
        current = power.motor_current(motor, rotor.torque(speed, rho))
        made = power.controller_voltage(motor, controller, current, speed)
        return made - throttle * voltage(current)

    speed = 0.0
    if lacking(0.0) < 0:  # else the motors cannot start
        fastest = motor.Kv * throttle * at_rest  # without load or loss
        speed = float(brentq(lacking, 0.0, fastest, xtol=1e-10))
    one = Shaft(rotor.thrust(speed, rho), rotor.torque(speed, rho), speed)
    found = voltage(_current(brief, one))
    if found**2 < resistance * others:  # below the least voltage at which so much can be drawn
        raise FlightError(f"the battery cannot give {others:.0f} W beside the motors")
    return (one,) * layout.n_arms, found


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
