"""Two rotors on one axis: momentum theory with the lower rotor in the upper's contracted wake.

Follows the model of Leishman, Principles of Helicopter Aerodynamics (section on coaxial rotors in
hover): the upper rotor works as if alone; its slipstream has contracted to half the disc area at
twice the induced velocity where it meets the lower rotor. docs/flight.md derives the closed form.
"""

import math

from scipy.optimize import brentq

from refledge.errors import FlightError
from refledge.flight.rotor import TURN, RotorModel

BALANCED_THRUST_SHARE = float(brentq(lambda t: t * (1 + t) ** 2 - 2, 0.1, 1.0))
"""Lower over upper thrust at which the ideal powers, and so the torques at one speed, are equal."""
BALANCED_THRUST_RATIO = 1 / BALANCED_THRUST_SHARE
"""Upper over lower thrust at balanced torque, 1.4376."""


def inflow_factor(share: float) -> float:
    """Mean inflow through the lower disc over the upper's induced velocity, for lower thrust over
    upper thrust ``share`` >= 0.

    With s that ratio and t the share, momentum and energy give t s^2 + s = (1 + t)^2.
    """
    square = (1 + share) ** 2
    return 2 * square / (1 + math.sqrt(1 + 4 * share * square))


def induced_velocity(thrust: float, area: float, rho: float) -> float:
    """m/s, of a rotor alone in hover: sqrt(T / (2 rho A)); 0 where it does not pull."""
    return math.sqrt(max(thrust, 0.0) / (2 * rho * area))


def lower_inflow(upper: float, lower: float, area: float, rho: float) -> float:
    """Mean inflow through the lower disc, m/s, wake of the upper included.

    ``upper`` and ``lower`` are thrusts, N. A lower rotor that pulls down (``lower`` < 0) is taken
    as driven by the upper's wake alone.
    """
    if upper <= 0:
        return induced_velocity(lower, area, rho)
    return induced_velocity(upper, area, rho) * inflow_factor(max(lower, 0.0) / upper)


def ideal_pair_power(upper: float, lower: float, area: float, rho: float) -> float:
    """Ideal power of the pair, W, at thrusts ``upper`` and ``lower``, N."""
    of_upper = upper * induced_velocity(upper, area, rho)
    return of_upper + lower * lower_inflow(upper, lower, area, rho)


def coplanar_power(upper: float, lower: float, area: float, rho: float) -> float:
    """Ideal power, W, of two rotors in one plane that share one disc: the other limit."""
    total = upper + lower
    return total * induced_velocity(total, area, rho)


def _thrust_at(rotor: RotorModel, rho: float, speed: float, inflow: float) -> float:
    """Thrust, N, at ``speed``, rad/s, when the mean inflow is ``inflow``, m/s.

    Blade element, linear in the inflow beyond the rotor's own: CT falls by ``inflow_slope`` times
    the extra inflow ratio.
    """
    alone = rotor.thrust(speed, rho)
    extra = inflow - induced_velocity(alone, rotor.area, rho)
    return alone - rotor.thrust_per_inflow(speed, rho) * extra


def lower_speed(rotor: RotorModel, rho: float, upper: float, lower: float) -> float:
    """rad/s of the lower rotor for thrust ``lower``, N, under an upper with ``upper``, N."""
    alone = rotor.speed_for(lower, rho)
    inflow = lower_inflow(upper, lower, rotor.area, rho)
    if inflow == 0:
        return 0.0

    def lacking(speed: float) -> float:  # per unit of speed: rises steadily with it
        return (_thrust_at(rotor, rho, speed, inflow) - lower) / speed

    slow = 1e-3 * TURN * inflow / rotor.diameter
    fast = max(alone, TURN * inflow / rotor.diameter)
    while lacking(fast) < 0:
        fast *= 1.5
    return float(brentq(lacking, slow, fast))


def lower_thrust(rotor: RotorModel, rho: float, upper: float, speed: float) -> float:
    """Thrust, N, of the lower rotor at ``speed``, rad/s; negative where the wake drives it."""

    def surplus(thrust: float) -> float:
        inflow = lower_inflow(upper, thrust, rotor.area, rho)
        return thrust - _thrust_at(rotor, rho, speed, inflow)

    if surplus(0.0) > 0:
        return _thrust_at(rotor, rho, speed, lower_inflow(upper, 0.0, rotor.area, rho))
    alone = rotor.thrust(speed, rho)
    return float(brentq(surplus, 0.0, alone * (1 + 1e-9))) if alone > 0 else 0.0


def lower_torque(rotor: RotorModel, rho: float, speed: float, upper: float, lower: float) -> float:
    """Shaft torque, N m, of the lower rotor at ``speed``, rad/s; ``upper``, ``lower`` thrusts, N.

    Power is what the rotor alone takes at this speed, with its ideal power T v replaced by that
    at the thrust and inflow it really has; profile and other losses stay as at this speed.
    """
    if speed <= 0:
        return 0.0
    alone = rotor.thrust(speed, rho)
    inflow = lower_inflow(upper, lower, rotor.area, rho)
    change = lower * inflow - alone * induced_velocity(alone, rotor.area, rho)
    return rotor.torque(speed, rho) + change / speed


def balanced_split(rotor: RotorModel, rho: float, total: float) -> tuple[float, float]:
    """Upper and lower thrust, N, that sum to ``total`` with equal torques: level hover, no yaw."""
    if total <= 0:
        raise FlightError(f"a pair of rotors cannot pull down: {total:.2f} N asked of it")

    def imbalance(share: float) -> float:
        upper, lower = share * total, (1 - share) * total
        speed = lower_speed(rotor, rho, upper, lower)
        of_upper = rotor.torque(rotor.speed_for(upper, rho), rho)
        return of_upper - lower_torque(rotor, rho, speed, upper, lower)

    try:
        share = float(brentq(imbalance, 0.3, 0.95, xtol=1e-10))
    except ValueError as error:
        raise FlightError("no split of thrust balances the torque of a pair of rotors") from error
    return share * total, (1 - share) * total
