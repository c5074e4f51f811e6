"""A motor's constants from its own thrust-stand run, with uncertainty, or why the run is no good.

The run's propeller is fitted along as unknown powers of speed, so any propeller will do. Model and
priors are those of ``stand_fit`` in its simple form: the brief's figures stand as observations.
"""

from dataclasses import fields

import numpy as np

from refledge.errors import AnalysisError, FlightError
from refledge.flight.stand_fit import PRIOR, Known, StandFit, StandRows, fit_stand, misfit
from refledge.model.items import FittedMotor, Motor, SpeedController
from refledge.model.rotor_tables import ThrustTable
from refledge.units import show

LEAST_ROWS = 6
"""Kv, R, I0 and two numbers each for thrust and power, less the priors (a choice)."""
FULL = 0.995
"""Throttle from which the controller is taken to be fully open (a choice)."""
MOST_SCATTER = 0.10
"""Robust relative scatter of thrust and power about the fit; beyond it the run is refused: twice a
hobby stand's own spread (a choice)."""
FAR = 4.0
"""Prior spreads between fitted constant and brief beyond which one of them is wrong (a choice)."""
_NAMES = {"Kv": "Kv", "R": "resistance", "I0": "no-load current"}
_DIAMETER = 0.25  # m: only scales the unknown coefficients of the run's propeller


def fit_motor(motor: Motor, controller: SpeedController, run: ThrustTable) -> FittedMotor:
    """``motor`` with the constants that its ``run`` shows.

    Air density and propeller only scale the propeller's own unknowns, so neither is asked for.
    Raises FlightError, in words for the user, where the run cannot teach.
    """
    _refuse_run(motor, run)
    rows, known = _rows(run), _known(motor, controller, run)
    try:
        found = fit_stand(rows, known, simple=True)
    except AnalysisError as error:
        raise FlightError(f"a run that cannot be fitted ({error})") from error
    scatter = misfit(found, rows)
    if scatter > MOST_SCATTER:
        raise FlightError(
            f"a run whose rows scatter by {scatter:.0%} about any motor and propeller; at most "
            f"{MOST_SCATTER:.0%} can be used: let each row settle, check columns and units"
        )
    _refuse_far(found, known)
    return _fitted(motor, controller, found, rows, scatter)


def _refuse_run(motor: Motor, run: ThrustTable) -> None:
    if len(run.speed) < LEAST_ROWS:
        raise FlightError(f"{len(run.speed)} rows; at least {LEAST_ROWS} are needed")
    if motor.no_load_current <= 0:
        raise FlightError("no no-load current to start from: state motor.no_load_current")
    if np.any(run.speed <= 0) or np.any(run.thrust <= 0) or np.any(run.electrical_power <= 0):
        raise FlightError("a row without speed, thrust or power: leave it out")
    fastest = np.nanmax(run.speed / (motor.Kv * run.voltage)) if _has_voltage(run) else 0.0
    if fastest > 1.0 + FAR * PRIOR["Kv"]:
        raise FlightError(
            f"a speed of {fastest:.1f} times Kv times voltage, which no motor turns at: check Kv, "
            "and the number of magnet poles that the stand's tachometer counts with"
        )


def _has_voltage(run: ThrustTable) -> bool:
    return bool(np.any(np.isfinite(run.voltage)))


def _rows(run: ThrustTable) -> StandRows:
    none = np.zeros(len(run.speed), dtype=np.int64)
    throttle = run.throttle if len(run.throttle) else np.zeros(len(none))
    return StandRows(
        motor=none,
        propeller=none,
        speed=run.speed,
        thrust=run.thrust,
        power=run.electrical_power,
        voltage=np.nan_to_num(run.voltage, nan=0.0),  # unused but at full throttle
        full=np.asarray((throttle >= FULL) & np.isfinite(run.voltage)),
        torque=run.torque,
    )


def _known(motor: Motor, controller: SpeedController, run: ThrustTable) -> Known:
    one = np.ones(1)
    return Known(
        Kv=motor.Kv * one,
        resistance=(motor.resistance + controller.resistance) * one,
        idle=motor.no_load_current * one,
        diameter=_DIAMETER * one,
        rho=1.2,
        reference=float(np.exp(np.mean(np.log(run.speed)))),
    )


def _refuse_far(found: StandFit, known: Known) -> None:
    """A constant far off the brief's means another motor, a wrong column or a wrong brief."""
    at = found.motor(0)
    told = {"Kv": known.Kv[0], "R": known.resistance[0], "I0": known.idle[0]}
    for name, value in told.items():
        ratio = at[name] / float(value)
        if abs(np.log(ratio)) > FAR * PRIOR[name]:
            raise FlightError(
                f"a run that makes the {_NAMES[name]} {ratio:.2f} times the brief's: another "
                "motor, a wrong column or unit, or a wrong figure in the brief"
            )


def _fitted(
    motor: Motor,
    controller: SpeedController,
    found: StandFit,
    rows: StandRows,
    scatter: float,
) -> FittedMotor:
    at = found.motor(0)
    winding = at["R"] - controller.resistance
    if winding <= 0:
        raise FlightError(
            f"a run with {1e3 * at['R']:.1f} mohm of motor and controller together, less than "
            "the controller's own resistance in the brief: correct speed_controller.resistance"
        )
    same = {each.name: getattr(motor, each.name) for each in fields(Motor)}
    return FittedMotor(
        **same | {"Kv": at["Kv"], "resistance": winding, "no_load_current": at["I0"]},
        given=motor,
        spread_Kv=found.spread("Kv", 0),
        spread_resistance=found.spread("R", 0) * at["R"] / winding,
        spread_no_load_current=found.spread("I0", 0),
        rows=len(rows.speed),
        full_rows=int(np.count_nonzero(rows.full)),
        torque=bool(len(rows.torque)),
        scatter=scatter,
    )


def fit_words(motor: Motor) -> str:
    """What a fitted motor's run taught, in words; "" for a motor as the brief has it."""
    if not isinstance(motor, FittedMotor):
        return ""
    given = motor.given
    constants = (
        ("Kv", motor.Kv, motor.spread_Kv, given.Kv, "rad/s/V", "rpm/V"),
        ("resistance", motor.resistance, motor.spread_resistance, given.resistance, "ohm", "mohm"),
        ("no-load current", motor.no_load_current, motor.spread_no_load_current,
         given.no_load_current, "A", "A"),
    )  # fmt: skip
    told = "; ".join(
        f"{name} {show(value, unit, shown)} ± {show(value * spread, unit, shown, 2)} "
        f"(the brief: {show(was, unit, shown)})"
        for name, value, spread, was, unit, shown in constants
    )
    torque = "torque measured" if motor.torque else "torque not measured"
    kv = "" if motor.full_rows else (
        " No row is at full throttle with its voltage, so Kv is hardly more than the brief's."
    )  # fmt: skip
    return (
        f"{motor.name}: constants fitted to {motor.thrust_table} ({motor.rows} rows, scatter "
        f"{motor.scatter:.1%}, {torque}): {told}. After ±: one standard uncertainty.{kv}"
    )


def known_spreads(motor: Motor) -> dict[str, float]:
    """Relative standard uncertainty of each constant that a run taught, by ``bands``' names."""
    if not isinstance(motor, FittedMotor):
        return {}
    return {
        "Kv": motor.spread_Kv,
        "motor resistance": motor.spread_resistance,
        "no-load current": motor.spread_no_load_current,
    }
