"""Measured tables of rotors, as read from files that a brief names."""

from dataclasses import dataclass, field

import numpy as np

from refledge.typed import Floats


def _none() -> Floats:
    return np.empty(0)


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
    torque: Floats = field(default_factory=_none)
    """(n,), N m, on the shaft; (0,) where the stand does not measure it."""
    throttle: Floats = field(default_factory=_none)
    """(n,), 0 to 1, as the stand set it; (0,) where it does not say."""
    lines: tuple[int, ...] = ()
    """Line of each row in its file; () where it comes from none."""
