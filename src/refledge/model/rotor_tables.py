"""Measured tables of rotors, as read from files that a brief names."""

from dataclasses import dataclass

from refledge.typed import Floats


@dataclass(frozen=True, eq=False)
class CoefficientTable:
    """Static propeller coefficients: T = CT rho n^2 D^4, P = CP rho n^3 D^5, n in rev/s."""

    rpm: Floats
    """(n,), rev/min, rising."""
    CT: Floats
    """(n,), 1."""
    CP: Floats
    """(n,), 1."""
    source: str


@dataclass(frozen=True, eq=False)
class ThrustTable:
    """A thrust-stand run of one motor with its propeller, in rising speed."""

    speed: Floats
    """(n,), rad/s."""
    thrust: Floats
    """(n,), N."""
    electrical_power: Floats
    """(n,), W, into the speed controller."""
    current: Floats
    """(n,), A, into the speed controller; not a number where the run gave power only."""
    voltage: Floats
    """(n,), V, at the speed controller; not a number where the run gave power only."""
    source: str
