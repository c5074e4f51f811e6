"""A motor's constants from its stand run: recovered, honest about what it cannot know, refused."""

from dataclasses import replace

import numpy as np
import pytest

from refledge.errors import FlightError
from refledge.flight.air import site_density
from refledge.flight.bands import SPREADS, endurance_inputs
from refledge.flight.curve import curve_through
from refledge.flight.motor_fit import fit_motor, fit_words, known_spreads
from refledge.flight.rotor import RotorModel
from refledge.model.brief import Brief
from refledge.model.items import FittedMotor, Motor
from refledge.model.rotor_tables import ThrustTable
from tests.flight.test_flight_stand_fit import run_of


@pytest.fixture(scope="module")
def run(brief: Brief, rotor: RotorModel) -> ThrustTable:
    """Thirty throttles on a full pack, of the brief's true motor; torque measured."""
    speed = np.linspace(100.0, 1200.0, 45)
    CT, CP = 0.115 * (speed / 400) ** 0.18, 0.045 * (speed / 400) ** 0.16
    true = replace(rotor, CT_curve=curve_through(speed, CT), CP_curve=curve_through(speed, CP))
    rows = run_of(brief, true)
    rows = rows.where(rows.voltage > 14.0)
    rho = site_density(brief.mission)
    return ThrustTable(
        rows.speed,
        rows.thrust,
        rows.power,
        rows.power / rows.voltage,
        rows.voltage,
        "run.csv",
        torque=np.array([true.torque(each, rho) for each in rows.speed.tolist()]),
        throttle=np.linspace(0.25, 1.0, 30),
    )


@pytest.fixture(scope="module")
def guessed(brief: Brief) -> Motor:
    """The maker's sheet: Kv 4 % high, resistance and idle current a third off."""
    motor = brief.motor
    return replace(
        motor,
        Kv=1.04 * motor.Kv,
        resistance=1.3 * motor.resistance,
        no_load_current=0.7 * motor.no_load_current,
        thrust_table="run.csv",
    )


@pytest.fixture(scope="module")
def fitted(brief: Brief, guessed: Motor, run: ThrustTable) -> FittedMotor:
    return fit_motor(guessed, brief.speed_controller, run)


def test_true_constants_come_back_within_their_uncertainty(
    brief: Brief, fitted: FittedMotor, guessed: Motor
) -> None:
    true, spreads = brief.motor, known_spreads(fitted)
    assert abs(fitted.Kv / true.Kv - 1) < min(0.01, 3 * spreads["Kv"])
    assert abs(fitted.resistance / true.resistance - 1) < 3 * spreads["motor resistance"]
    assert abs(fitted.no_load_current / true.no_load_current - 1) < 3 * spreads["no-load current"]
    assert (fitted.given, fitted.mass, fitted.rows) == (guessed, guessed.mass, 30)
    assert (fitted.full_rows, fitted.torque) == (1, True)
    assert fitted.scatter < 0.01


def test_without_torque_the_run_knows_less(
    brief: Brief, guessed: Motor, run: ThrustTable, fitted: FittedMotor
) -> None:
    blind = fit_motor(guessed, brief.speed_controller, replace(run, torque=np.empty(0)))
    assert blind.spread_no_load_current > 1.5 * fitted.spread_no_load_current
    assert abs(blind.Kv / brief.motor.Kv - 1) < 3 * blind.spread_Kv


def test_without_a_row_at_full_throttle_kv_stays_the_briefs_and_it_is_said(
    brief: Brief, guessed: Motor, run: ThrustTable, fitted: FittedMotor
) -> None:
    bare = replace(run, throttle=np.empty(0), torque=np.empty(0), voltage=np.full(30, np.nan))
    found = fit_motor(guessed, brief.speed_controller, bare)
    assert found.spread_Kv > 3 * fitted.spread_Kv
    assert "hardly more than the brief's" in fit_words(found)
    assert "hardly more" not in fit_words(fitted)


def test_words_name_file_figures_and_their_uncertainty(fitted: FittedMotor, guessed: Motor) -> None:
    told = fit_words(fitted)
    assert told.startswith("outrunner: constants fitted to run.csv (30 rows, scatter 0.")
    assert "Kv 92" in told
    assert "(the brief: 957 rpm/V)" in told
    assert "torque measured" in told
    assert fit_words(guessed) == ""


def test_the_band_takes_the_fits_spreads(fitted: FittedMotor, rotor: RotorModel) -> None:
    inputs = endurance_inputs(rotor, known_spreads(fitted))
    assert inputs["Kv"] == (1.0, fitted.spread_Kv)
    assert inputs["capacity"] == (1.0, SPREADS["capacity"])
    assert known_spreads(fitted.given) == {}


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        (lambda r: _rows(r, slice(0, 5)), "5 rows; at least 6"),
        (lambda r: replace(r, speed=7 * r.speed), "magnet poles"),
        (lambda r: replace(r, thrust=0 * r.thrust), "without speed, thrust or power"),
        (lambda r: replace(r, thrust=r.thrust * np.tile([0.7, 1.4], 15)), "scatter by"),
        (lambda r: replace(r, voltage=1.6 * r.voltage), "makes the Kv 0.6"),
    ],
)
def test_a_bad_run_is_refused_in_words(
    brief: Brief, guessed: Motor, run: ThrustTable, spoil: object, said: str
) -> None:
    with pytest.raises(FlightError, match=said):
        fit_motor(guessed, brief.speed_controller, spoil(run))  # type: ignore[operator]


def _rows(run: ThrustTable, kept: slice) -> ThrustTable:
    names = ("speed", "thrust", "electrical_power", "current", "voltage", "torque", "throttle")
    return replace(run, **{name: getattr(run, name)[kept] for name in names})


def test_a_motor_without_no_load_current_has_nothing_to_start_from(
    brief: Brief, guessed: Motor, run: ThrustTable
) -> None:
    with pytest.raises(FlightError, match=r"state motor\.no_load_current"):
        fit_motor(replace(guessed, no_load_current=0.0), brief.speed_controller, run)


def test_a_controller_with_more_resistance_than_both_is_refused(
    brief: Brief, guessed: Motor, run: ThrustTable
) -> None:
    controller = replace(brief.speed_controller, resistance=0.1)
    with pytest.raises(FlightError, match=r"speed_controller\.resistance"):
        fit_motor(replace(guessed, resistance=0.02), controller, run)
