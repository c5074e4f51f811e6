"""Operating points: what the rotors, motors and battery do at a given thrust."""

from dataclasses import dataclass

from refledge.typed import Floats


@dataclass(frozen=True)
class RotorState:
    """One rotor with its motor at one thrust."""

    thrust: float  # N
    torque: float  # N m
    speed: float  # rad/s
    shaft_power: float  # W
    current: float  # A, motor
    voltage: float  # V, at the motor
    throttle: float  # motor voltage over battery voltage under load
    electrical_power: float  # W, at the battery


@dataclass(frozen=True, eq=False)
class OperatingPoint:
    """The whole aircraft at one total thrust."""

    name: str
    total_thrust: float  # N
    rotors: tuple[RotorState, ...]
    battery_voltage: float  # V, under load
    battery_current: float  # A
    power: float  # W, drawn from the battery
    limited_by: str
    """What stops it from giving more: battery, controller, motor, voltage; "" where nothing."""
    endurance: float  # s, at this point until the usable charge is gone; 0 where not meant
    method: str
    """Where the rotor's figures come from: measured table, coefficients, estimate."""


@dataclass(frozen=True, eq=False)
class SpeedRange:
    """Rotor speed over the throttle range used, for comparison with modes."""

    throttle: Floats  # (k,)
    speed: Floats  # (k,), rad/s
    hover_speeds: tuple[float, ...]  # rad/s: one, or upper and lower of a pair
    full_speed: float  # rad/s
    idle_speed: float  # rad/s
    blades: int
