"""What each rotor's shaft does: speed and torque for given thrusts, pairs coupled by their wake."""

from dataclasses import dataclass

import numpy as np

from refledge.errors import FlightError
from refledge.flight import coaxial
from refledge.flight.rotor import RotorModel
from refledge.model.layout import Layout
from refledge.typed import Floats


@dataclass(frozen=True)
class Shaft:
    """One rotor in its place."""

    thrust: float  # N
    torque: float  # N m
    speed: float  # rad/s

    @property
    def power(self) -> float:
        """W."""
        return self.torque * self.speed


def alone(rotor: RotorModel, rho: float, thrust: float) -> Shaft:
    """A rotor with no other above it, at ``thrust``, N."""
    speed = rotor.speed_for(thrust, rho)
    return Shaft(thrust, rotor.torque(speed, rho), speed)


def below(rotor: RotorModel, rho: float, upper: float, thrust: float) -> Shaft:
    """The lower rotor of a pair at ``thrust``, N, under an upper rotor with thrust ``upper``, N."""
    speed = coaxial.lower_speed(rotor, rho, upper, thrust)
    return Shaft(thrust, coaxial.lower_torque(rotor, rho, speed, upper, thrust), speed)


def shafts_for(layout: Layout, rotor: RotorModel, rho: float, thrust: Floats) -> tuple[Shaft, ...]:
    """Each rotor's shaft for ``thrust`` (n_rotors,), N."""
    known: dict[tuple[float, float], Shaft] = {}
    found = []
    for number, wanted in enumerate(thrust):
        over = 0.0 if layout.upper[number] else float(thrust[number - 1])
        key = (round(over, 9), round(float(wanted), 9))
        if key not in known:
            known[key] = below(rotor, rho, *key) if over > 0 else alone(rotor, rho, key[1])
        found.append(known[key])
    return tuple(found)


def level_thrust(
    layout: Layout,
    rotor: RotorModel,
    rho: float,
    weight: float,
    centre: tuple[float, float] = (0.0, 0.0),
) -> Floats:
    """(n_rotors,), N: thrusts that hold ``weight``, N, level with the centre of mass at ``centre``.

    ``centre`` is (x, y), m. Least sum of squares among all that balance thrust, roll, pitch and
    yaw (pseudo-inverse of the allocation); pairs balance yaw each by itself.
    """
    wanted = weight * np.array([1.0, centre[1], -centre[0], 0.0])
    if not layout.paired:
        return _positive(np.linalg.pinv(layout.allocation) @ wanted, centre)
    of_arms = layout.allocation[:3, ::2]
    arms = _positive(np.linalg.pinv(of_arms) @ wanted[:3], centre)
    splits = {total: coaxial.balanced_split(rotor, rho, total) for total in set(arms.tolist())}
    return np.array([thrust for total in arms.tolist() for thrust in splits[total]])


def _positive(thrust: Floats, centre: tuple[float, float]) -> Floats:
    if np.any(thrust <= 0):
        raise FlightError(
            f"no even trim with the centre of mass at x {1e3 * centre[0]:.0f} mm, y "
            f"{1e3 * centre[1]:.0f} mm: a rotor would have to pull down to keep level; move it "
            "towards the middle of the rotors, or space the arms more evenly"
        )
    return np.round(thrust, 12)  # equal arms get equal numbers, so that each is solved once
