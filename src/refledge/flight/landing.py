"""Time left to land after one rotor has stopped."""

from dataclasses import dataclass, replace

import numpy as np

from refledge.errors import FlightError
from refledge.flight import power
from refledge.flight.air import site_density
from refledge.flight.lost import RotorLost, trim_without
from refledge.flight.other_power import other_power
from refledge.flight.rotor import RotorModel
from refledge.flight.shafts import shafts_for
from refledge.model.brief import Brief
from refledge.model.flight import OperatingPoint
from refledge.model.layout import Layout


@dataclass(frozen=True, eq=False)
class Landing:
    """Level flight on the remaining rotors."""

    trim: RotorLost
    power: float  # W, at the battery's plug
    throttle: float  # of the hardest worked motor, at the charge of the loss
    seconds: float  # until the usable charge or the voltage is gone


def time_to_land(
    brief: Brief,
    layout: Layout,
    rotor: RotorModel,
    hover: OperatingPoint,
    lost: int,
    charge: float = 0.5,
) -> Landing:
    """After ``lost`` stops in ``hover`` at state of ``charge``.

    Raises FlightError where level flight cannot be held, or not with these motors and this pack.
    """
    trim = trim_without(layout, hover, lost)
    if not trim.possible:
        raise FlightError(f"without rotor {lost + 1} the others cannot hold {layout.kind} level")
    shafts = shafts_for(layout, rotor, site_density(brief.mission), trim.thrust)
    turning = [shaft for number, shaft in enumerate(shafts) if number != lost]
    motor, controller = brief.motor, brief.speed_controller
    currents = [power.motor_current(motor, shaft.torque) for shaft in turning]
    made = [
        power.controller_voltage(motor, controller, current, shaft.speed)
        for current, shaft in zip(currents, turning, strict=True)
    ]
    watts = float(np.dot(made, currents)) + other_power(brief)
    throttle = max(made) / power.draw(brief.battery, watts, charge).voltage
    if throttle > 1 or max(currents) > min(motor.max_current, controller.max_current):
        raise FlightError(
            f"without rotor {lost + 1} a motor would need {throttle:.0%} throttle and "
            f"{max(currents):.1f} A: more than it has"
        )
    whole, _ = power.endurance(brief.battery, watts, max(made))
    flown, _ = power.endurance(replace(brief.battery, usable=1 - charge), watts, max(made))
    return Landing(trim, watts, throttle, max(0.0, whole - flown))
