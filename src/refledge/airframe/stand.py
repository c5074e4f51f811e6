"""Motors that name a thrust-stand run, with the constants that the run shows."""

from dataclasses import replace
from functools import lru_cache
from pathlib import Path

from refledge.errors import FlightError, InputError, Problem
from refledge.flight.motor_fit import fit_motor
from refledge.inputs.files import read_text
from refledge.inputs.tables import read_thrust_table
from refledge.model.brief import Brief
from refledge.model.items import FittedMotor, Motor, SpeedController

FIELD = "motor.thrust_table"


def with_fitted_motor(brief: Brief) -> Brief:
    """``brief`` as it flies: its motor fitted to the run that it names, where it names one.

    Raises InputError where the run cannot be used.
    """
    motor = fitted_motor(brief.motor, brief)
    return brief if motor is brief.motor else replace(brief, motor=motor)


def fitted_motor(motor: Motor, brief: Brief) -> Motor:
    """``motor`` fitted to the run that it names beside ``brief``, or as it is."""
    if not motor.thrust_table or isinstance(motor, FittedMotor):
        return motor
    path = Path(brief.folder) / motor.thrust_table
    return _fitted(motor, brief.speed_controller, path, read_text(path, "a thrust-stand run"))


@lru_cache(maxsize=32)
def _fitted(motor: Motor, controller: SpeedController, path: Path, _text: str) -> Motor:
    """Kept by the file's contents: an edit of another number does not fit anew."""
    try:
        return fit_motor(motor, controller, read_thrust_table(path))
    except FlightError as error:
        raise InputError(
            Problem(
                path.name,
                FIELD,
                str(error),
                "a steady run of this motor with any propeller, from low to full throttle",
                f"measure again, or strike {FIELD} out to use the brief's own figures",
            )
        ) from error
