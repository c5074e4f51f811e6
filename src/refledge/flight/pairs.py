"""Coaxial pairs beyond level hover: equal throttle, spacing, and what flat rotors would save."""

import math
from dataclasses import dataclass

from scipy.optimize import brentq

from refledge.errors import FlightError
from refledge.flight import coaxial, power
from refledge.flight.rotor import RotorModel
from refledge.flight.shafts import Shaft, alone, below
from refledge.model.items import Motor, SpeedController

FAR = coaxial.ideal_pair_power(
    1 / (1 + coaxial.BALANCED_THRUST_SHARE),
    coaxial.BALANCED_THRUST_SHARE / (1 + coaxial.BALANCED_THRUST_SHARE),
    1.0,
    1.0,
) / (2 * 0.5 * coaxial.induced_velocity(0.5, 1.0, 1.0))
"""Ideal power over two rotors alone with the lower in the fully contracted wake, 1.2810."""
NEAR = math.sqrt(2.0)
"""The same with both rotors in one plane, 1.4142."""


@dataclass(frozen=True)
class Pair:
    """Both rotors of one arm."""

    upper: Shaft
    lower: Shaft

    @property
    def thrust(self) -> float:
        """N."""
        return self.upper.thrust + self.lower.thrust

    @property
    def power(self) -> float:
        """W, on both shafts."""
        return self.upper.power + self.lower.power

    @property
    def yaw(self) -> float:
        """N m, lower over upper torque left unbalanced."""
        return self.lower.torque - self.upper.torque


@dataclass(frozen=True)
class Flat:
    """A pair against flat rotors with the same total thrust: shaft power, W."""

    pair: float
    same_diameter: float
    """Two rotors of the pair's diameter side by side."""
    larger_diameter: float
    """Two rotors ``ratio`` times as large."""
    ratio: float


def equal_torque(rotor: RotorModel, rho: float, total: float) -> Pair:
    """The pair at ``total`` thrust, N, that does not yaw."""
    upper, lower = coaxial.balanced_split(rotor, rho, total)
    return Pair(alone(rotor, rho, upper), below(rotor, rho, upper, lower))


def equal_throttle(
    rotor: RotorModel, rho: float, total: float, motor: Motor, controller: SpeedController
) -> Pair:
    """The pair at ``total`` thrust, N, with both motors at one throttle: it yaws unless another
    pair on the aircraft opposes it."""
    if total <= 0:
        raise FlightError(f"a pair of rotors cannot pull down: {total:.2f} N asked of it")

    def made(shaft: Shaft) -> float:
        current = power.motor_current(motor, shaft.torque)
        return power.controller_voltage(motor, controller, current, shaft.speed)

    def at(share: float) -> Pair:
        upper = share * total
        return Pair(alone(rotor, rho, upper), below(rotor, rho, upper, total - upper))

    def imbalance(share: float) -> float:
        pair = at(share)
        return made(pair.upper) - made(pair.lower)

    try:
        return at(float(brentq(imbalance, 0.3, 0.95, xtol=1e-10)))
    except ValueError as error:
        raise FlightError("no split of thrust gives a pair of rotors one throttle") from error


def spacing_factor(spacing: float, radius: float) -> float:
    """Ideal power of a pair over two rotors alone, for discs ``spacing`` apart, m.

    Between the two limits that momentum theory gives exactly, one plane (1.4142) and far below
    (1.2810, equal torque), the axial velocity of a rotor's slipstream is interpolated: on the axis
    of a vortex cylinder it grows as 1 + s, s = zeta / sqrt(1 + zeta^2), zeta = spacing over radius
    (Biot and Savart; McCormick, Aerodynamics of V/STOL Flight, from memory). Interpolating the
    power by the same s is an assumption; measured pairs show little change beyond a fifth of the
    radius (from memory), so take 3 % as its spread.
    """
    if spacing < 0 or radius <= 0:
        raise FlightError("the spacing of a pair cannot be negative, nor its radius 0")
    zeta = spacing / radius
    return NEAR + (FAR - NEAR) * zeta / math.hypot(1.0, zeta)


def closer_pair_power(rotor: RotorModel, rho: float, pair: Pair, spacing: float) -> float:
    """W of shaft power with the discs only ``spacing``, m, apart: the ideal part grows."""
    half = pair.thrust / 2
    ideal = pair.thrust * coaxial.induced_velocity(half, rotor.area, rho)
    return pair.power + (spacing_factor(spacing, rotor.diameter / 2) - FAR) * ideal


def against_flat(rotor: RotorModel, rho: float, total: float, ratio: float) -> Flat:
    """The gap to flat rotors; larger ones have the same coefficients at the same tip speed."""
    pair = equal_torque(rotor, rho, total)
    same = 2 * alone(rotor, rho, total / 2).power
    return Flat(pair.power, same, same_shape_power(rotor, rho, total / 2, ratio) * 2, ratio)


def same_shape_power(rotor: RotorModel, rho: float, thrust: float, ratio: float) -> float:
    """W of a rotor ``ratio`` times as large at ``thrust``, N.

    At one tip speed T goes as D^2 and P as D^2, so it works as the small one does at T / ratio^2.
    """
    return ratio**2 * alone(rotor, rho, thrust / ratio**2).power


def free_share(ratio: float) -> float:
    """Ideal flat power over pair power when flat rotors are ``ratio`` times as large (equal total
    thrust): 1 / (1.2810 ratio)."""
    return 1 / (FAR * ratio)
