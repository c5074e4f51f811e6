"""Motor and battery as they are on the day: warm windings, cold cells, old packs, idle losses.

Each function returns the same item with its figures changed, so that every other formula of
``flight`` works on it unaltered.
"""

import math
from dataclasses import dataclass, replace

from refledge.errors import FlightError
from refledge.model.items import Battery, Motor

COPPER = 3.93e-3  # 1/K at 293.15 K: resistance of copper, IEC 60028
ROOM = 293.15  # K
CELL_REFERENCE = 298.15  # K, where packs' resistances are quoted
CELL_BARRIER = {"LiPo": 2600.0, "Li-ion": 3000.0}
"""K; resistance goes as exp(B/T): it doubles from 25 degC down to about 3 degC. From memory,
typical; spread 25 %."""
COLD_CAPACITY = 0.006
"""1/K of capacity lost below 25 degC: from memory, typical; spread 40 %."""
FADE = 0.2  # of capacity lost at end of life: common practice in cell data sheets
GROWTH = 1.0  # of resistance gained at end of life: common practice in cell data sheets


@dataclass(frozen=True)
class IdleLoss:
    """No-load current that depends on speed: ``current`` at ``speed``, ``slope`` of it with it.

    I0(omega) = current (1 + slope (omega/speed - 1)); slope 0 is the three-constant model, 1 a loss
    torque proportional to speed (eddy currents, windage).
    """

    current: float  # A
    speed: float  # rad/s
    slope: float

    def at(self, omega: float) -> float:
        """A."""
        return max(0.0, self.current * (1 + self.slope * (omega / self.speed - 1)))


def running_motor(motor: Motor, omega: float, loss: IdleLoss) -> Motor:
    """The motor with its no-load current at ``omega``, rad/s."""
    return replace(motor, no_load_current=loss.at(omega))


def warm_motor(motor: Motor, temperature: float) -> Motor:
    """The motor with its windings at ``temperature``, K, instead of 20 degC."""
    return replace(motor, resistance=motor.resistance * (1 + COPPER * (temperature - ROOM)))


def worn_battery(
    battery: Battery, temperature: float = CELL_REFERENCE, age: float = 0.0
) -> Battery:
    """The pack at cell ``temperature``, K, and ``age`` from 0 (new) to 1 (end of life)."""
    if not 0 <= age <= 1:
        raise FlightError(f"age {age:g} of the battery is not between 0 (new) and 1 (end of life)")
    if temperature < 253.15:
        raise FlightError(
            f"cells at {temperature - 273.15:.0f} degC: under -20 degC no figure here holds; warm "
            "the pack before flight"
        )
    barrier = CELL_BARRIER[battery.chemistry]
    cold = math.exp(barrier * (1 / temperature - 1 / CELL_REFERENCE))
    capacity = 1 - COLD_CAPACITY * max(0.0, CELL_REFERENCE - temperature)
    return replace(
        battery,
        resistance=battery.resistance * cold * (1 + GROWTH * age),
        capacity=battery.capacity * capacity * (1 - FADE * age),
    )


def winding_temperature(
    motor: Motor, current: float, omega: float, air: float, cooling: float
) -> float:
    """K of a motor's windings in steady running at ``current``, A, and ``omega``, rad/s.

    Heat is I^2 R(T) + I0 omega/Kv; ``cooling``, W/K, is what it sheds per kelvin above the ``air``,
    K. Raises FlightError where copper's rising resistance runs away.
    """
    cold = current**2 * motor.resistance
    idle = motor.no_load_current * omega / motor.Kv
    net = cooling - cold * COPPER
    if net <= 0:
        raise FlightError(
            f"{current:.1f} A heats the motor without end at a cooling of {cooling:.2f} W/K"
        )
    return air + (cold * (1 + COPPER * (air - ROOM)) + idle) / net


def motor_cooling(motor: Motor) -> float:
    """W/K, an estimate: 60 W/(m2 K) in the propeller's wash over the can (from memory, typical of
    forced air at some 10 m/s; spread a factor of 2)."""
    return 60.0 * math.pi * motor.diameter * (motor.height + motor.diameter / 4)
