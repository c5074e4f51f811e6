"""One rotor in hover: thrust and torque from its coefficients.

T = CT rho n^2 D^4, P = CP rho n^3 D^5, Q = P / (2 pi n), n in rev/s (propeller convention, Brandt
and Selig, Propeller performance data at low Reynolds numbers, AIAA 2011-1255).
"""

import math
from dataclasses import dataclass

from scipy.optimize import brentq

from refledge.errors import FlightError
from refledge.flight.curve import Curve

TURN = 2 * math.pi
LIFT_SLOPE = 5.7  # 1/rad, aerofoil lift slope: from memory, typical of thin sections
SOLIDITY_PER_BLADE = 0.054
# Blade area over disc area, area-weighted, of the two blade geometries measured for the UIUC
# Propeller Database (Brandt et al.): 10x4.7 0.0535, 11x4.7 0.0541. A guess for other propellers.
SPEED_TREND = 0.2
# d ln CT / d ln n over the static runs of the same two propellers: 0.20 and 0.19.


@dataclass(frozen=True)
class RotorModel:
    """Static coefficients of one propeller against its speed."""

    diameter: float  # m
    blades: int
    CT_curve: Curve
    """CT against rad/s."""
    CP_curve: Curve
    method: str
    """Where the coefficients come from: measured thrust table, coefficients, estimate."""
    spread: float
    """Relative standard uncertainty of thrust at a given speed, inside the table (1)."""

    @property
    def area(self) -> float:
        """Disc area, m2."""
        return math.pi * self.diameter**2 / 4

    @property
    def inflow_slope(self) -> float:
        """Loss of CT per unit of extra inflow ratio v/(Omega R): blade element with uniform inflow.

        dCT_h/dlambda = -sigma a/4 (Leishman, Principles of Helicopter Aerodynamics, blade element
        theory, untapered blade), and CT = CT_h pi^3/4 in the propeller convention.
        """
        return math.pi**3 / 16 * self.blades * SOLIDITY_PER_BLADE * LIFT_SLOPE

    def CT(self, speed: float) -> float:
        """Thrust coefficient at ``speed``, rad/s."""
        return self.CT_curve(speed)

    def CP(self, speed: float) -> float:
        """Power coefficient at ``speed``, rad/s."""
        return self.CP_curve(speed)

    def thrust_per_inflow(self, speed: float, rho: float) -> float:
        """Thrust lost per m/s of inflow beyond the rotor's own, N s/m, at ``speed``, rad/s."""
        return rho * speed / TURN * self.diameter**3 * self.inflow_slope / math.pi

    def spread_at(self, speed: float) -> float:
        """Relative spread at ``speed``, rad/s: wider outside the table, where end values hold."""
        low, high = self.CT_curve.knots[0], self.CT_curve.knots[-1]
        if len(self.CT_curve.knots) == 1 or low <= speed <= high:
            return self.spread
        edge = low if speed < low else high
        return math.hypot(self.spread, SPEED_TREND * math.log(speed / edge))

    def thrust(self, speed: float, rho: float) -> float:
        """N, at ``speed``, rad/s, in air of density ``rho``, kg/m3."""
        return self.CT(speed) * rho * (speed / TURN) ** 2 * self.diameter**4

    def power(self, speed: float, rho: float) -> float:
        """Shaft power, W."""
        return self.CP(speed) * rho * (speed / TURN) ** 3 * self.diameter**5

    def torque(self, speed: float, rho: float) -> float:
        """N m, on the shaft."""
        return self.CP(speed) * rho * (speed / TURN) ** 2 * self.diameter**5 / TURN

    def torque_ratio(self, speed: float) -> float:
        """Torque over thrust, m."""
        return self.CP(speed) * self.diameter / (TURN * self.CT(speed))

    def speed_for(self, thrust: float, rho: float) -> float:
        """rad/s that gives ``thrust``, N, alone in still air of density ``rho``, kg/m3."""
        if thrust < 0:
            raise FlightError(f"a rotor cannot pull down: {thrust:.2f} N asked of it")
        if thrust == 0:
            return 0.0
        unit = TURN * math.sqrt(thrust / (rho * self.diameter**4))
        slow = unit / math.sqrt(max(self.CT_curve.values)) * (1 - 1e-9)
        fast = unit / math.sqrt(min(self.CT_curve.values)) * (1 + 1e-9)
        return float(brentq(lambda speed: self.thrust(speed, rho) - thrust, slow, fast))


def ideal_hover_power(thrust: float, diameter: float, rho: float) -> float:
    """W, least power for ``thrust``, N: T^1.5 / sqrt(2 rho A) (Froude's momentum theory)."""
    return float(thrust**1.5 / math.sqrt(2 * rho * math.pi * diameter**2 / 4))


def figure_of_merit(CT: float, CP: float) -> float:
    """Ideal hover power over shaft power: sqrt(2/pi) CT^1.5 / CP."""
    return float(math.sqrt(2 / math.pi) * CT**1.5 / CP)
