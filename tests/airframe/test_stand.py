"""A motor's stand run in a brief: it flies with what the run shows, the brief stays as given."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import brentq

from refledge import study as studies
from refledge.airframe.findings import notes_for
from refledge.airframe.layout_choice import first_layout
from refledge.airframe.stand import with_fitted_motor
from refledge.airframe.task import Task
from refledge.airframe.task_making import make_task, rotor_model
from refledge.choosing.candidates import gather
from refledge.choosing.choosing import chosen_brief
from refledge.choosing.stand import odd_rows_of
from refledge.errors import InputError
from refledge.flight import power
from refledge.flight.air import GRAVITY, site_density
from refledge.inputs.also import Also, read_also
from refledge.inputs.brief import parse_brief, read_brief
from refledge.inputs.fasteners import hardware
from refledge.interfaces.given import given_files
from refledge.live import evaluate as live
from refledge.model.brief import Brief
from refledge.model.items import FittedMotor

LAKE = Path(__file__).parents[1] / "briefs" / "lake-sampler"
WRONG = {"Kv": 0.96, "resistance": 1.3, "no_load_current": 1.4}
"""Figures of the brief over those of the motor on the stand."""
VOLTS = 15.2


def made(brief: Brief, speed: float) -> tuple[float, float]:
    """Volts that the controller makes and amperes of the brief's motor at ``speed``, rad/s."""
    torque = rotor_model(brief).torque(speed, site_density(brief.mission))
    current = power.motor_current(brief.motor, torque)
    return power.controller_voltage(brief.motor, brief.speed_controller, current, speed), current


def run_text(brief: Brief) -> str:
    """A noiseless run of the brief's own motor and propeller, up to full throttle."""
    rotor, rho = rotor_model(brief), site_density(brief.mission)
    fastest = float(brentq(lambda speed: made(brief, speed)[0] - VOLTS, 100.0, 1500.0))
    lines = ["rpm,thrust (gf),voltage (V),power (W),torque (N*m),throttle (%)"]
    for speed in np.linspace(150.0, fastest, 12).tolist():
        volts, current = made(brief, speed)
        thrust = 1e3 * rotor.thrust(speed, rho) / GRAVITY
        lines.append(
            f"{speed * 30 / np.pi:.1f},{thrust:.2f},{VOLTS},{volts * current:.3f},"
            f"{rotor.torque(speed, rho):.5f},{min(100.0, 100 * volts / VOLTS):.1f}"
        )
    return "\n".join(lines) + "\n"


@pytest.fixture(scope="module")
def true() -> Brief:
    return read_brief(LAKE / "brief.toml")


@pytest.fixture(scope="module")
def named(true: Brief, tmp_path_factory: pytest.TempPathFactory) -> Brief:
    """The lake team's brief with a wrong motor and the run that shows the right one."""
    folder = tmp_path_factory.mktemp("stand")
    for file in LAKE.glob("*.csv"):
        (folder / file.name).write_bytes(file.read_bytes())
    (folder / "run.csv").write_text(run_text(true))
    off = {name: factor * getattr(true.motor, name) for name, factor in WRONG.items()}
    motor = replace(true.motor, thrust_table="run.csv", **off)
    return replace(true, motor=motor, folder=str(folder))


class Caught(Exception):  # noqa: N818 - carries the task that the sizing was given
    """Ends a design where sizing would start."""

    def __init__(self, task: Task) -> None:
        self.task = task


def stop(task: Task) -> None:
    raise Caught(task)


def test_design_sizes_with_the_fitted_motor(
    true: Brief, named: Brief, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Hover time and full thrust within 1 % of the true motor's; the wrong figures miss by more."""
    monkeypatch.setattr(studies, "search", stop)
    with pytest.raises(Caught) as caught:
        studies.design(named)
    task = caught.value.task
    assert isinstance(task.brief.motor, FittedMotor)
    assert task.brief.motor.given == named.motor
    right, wrong = (
        make_task(each, task.kind, task.rotor, task.all_up_mass, {}) for each in (true, named)
    )
    off = [abs(each.hover.endurance / right.hover.endurance - 1) for each in (task, wrong)]
    assert off[0] < 0.01 < off[1]
    off = [abs(each.full.total_thrust / right.full.total_thrust - 1) for each in (task, wrong)]
    assert off[0] < 0.01 < off[1]
    told = notes_for(task, first_layout(task.brief, task.kind, hardware()), {})
    assert any("constants fitted to run.csv" in note for note in told)


def test_it_is_fitted_once(named: Brief) -> None:
    once = with_fitted_motor(named)
    assert with_fitted_motor(once) is once
    assert with_fitted_motor(named).motor is once.motor
    plain = replace(named, motor=replace(named.motor, thrust_table=""))
    assert with_fitted_motor(plain) is plain


def test_a_bad_run_is_one_clear_message(named: Brief, monkeypatch: pytest.MonkeyPatch) -> None:
    """The propeller's own figures stay usable: only the motor's line need be struck out."""
    slow = replace(named, motor=replace(named.motor, Kv=0.1 * named.motor.Kv))
    monkeypatch.setattr(studies, "search", stop)
    for use in (studies.design, lambda brief: gather(brief, Also())):
        with pytest.raises(InputError) as said:
            use(slow)  # type: ignore[operator]
        (problem,) = said.value.problems
        assert (problem.where, problem.field) == ("run.csv", "motor.thrust_table")
        assert "magnet poles" in problem.given
        assert "strike motor.thrust_table out" in problem.next_step


def test_the_bench_of_numbers_flies_with_it_too(
    named: Brief, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An edit in the page is computed with the fitted motor, as design does."""
    seen: list[Brief] = []

    def rotor(brief: Brief) -> None:
        seen.append(brief)
        raise Caught(brief)  # type: ignore[arg-type]

    class Last:
        brief = None

    monkeypatch.setattr(live, "rotor_model", rotor)
    with pytest.raises(Caught):
        live.evaluate(Last(), None, named, {})  # type: ignore[arg-type]
    assert isinstance(seen[0].motor, FittedMotor)


def test_a_brief_that_names_no_file_is_told_its_line(named: Brief) -> None:
    text = (LAKE / "brief.toml").read_text(encoding="utf-8")
    text = text.replace("[motor]\n", '[motor]\nthrust_table = "nowhere.csv"\n')
    with pytest.raises(InputError) as said:
        parse_brief(text, "brief.toml", named.folder)
    assert "motor.thrust_table" in str(said.value)


def test_the_build_carries_the_run_and_the_brief_as_given(named: Brief, tmp_path: Path) -> None:
    files = given_files(named)
    for name, data in files.items():
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_bytes(data)
    again = read_brief(tmp_path / "brief.toml")
    assert again.motor.thrust_table == "given/motor_thrust_table.csv"
    assert replace(again.motor, thrust_table="run.csv") == named.motor
    assert with_fitted_motor(again).motor.Kv == with_fitted_motor(named).motor.Kv


def test_layouts_try_fitted_motors_and_choose_writes_them_as_given(
    named: Brief, tmp_path: Path
) -> None:
    (tmp_path / "run.csv").write_text((Path(named.folder) / "run.csv").read_text())
    (tmp_path / "also.toml").write_text(
        '[[motor]]\nname = "other"\nmass = "80 g"\nKv = "560 rpm/V"\nresistance = "90 mohm"\n'
        'no_load_current = "0.6 A"\nmax_current = "20 A"\ndiameter = "28 mm"\nheight = "30 mm"\n'
        'holes = "M3 16x19"\nthrust_table = "run.csv"\n'
    )
    candidates = gather(named, read_also(tmp_path / "also.toml"))
    own, other = candidates.motors
    assert isinstance(own, FittedMotor)
    assert isinstance(other, FittedMotor)
    assert candidates.grid.motors.Kv.tolist() == [own.Kv, other.Kv]
    text = (LAKE / "brief.toml").read_text(encoding="utf-8")
    target = tmp_path / "deep" / "chosen.toml"
    target.parent.mkdir()
    for number, motor in ((0, own), (1, other)):
        made = chosen_brief(text, candidates, number, target)
        target.write_text(made.text, encoding="utf-8")
        found = read_brief(target)
        assert (target.parent / found.motor.thrust_table).read_text() == run_text_of(named)
        if number:
            assert found.motor.Kv == motor.given.Kv


def run_text_of(brief: Brief) -> str:
    return (Path(brief.folder) / "run.csv").read_text()


def test_odd_rows_of_the_motors_run_are_told(named: Brief, tmp_path: Path) -> None:
    assert odd_rows_of(named) == ()
    lines = run_text_of(named).splitlines()
    cells = lines[6].split(",")
    lines[6] = ",".join([cells[0], f"{0.7 * float(cells[1]):.2f}", *cells[2:]])
    (tmp_path / "run.csv").write_text("\n".join(lines) + "\n")
    (told,) = odd_rows_of(replace(named, folder=str(tmp_path), propeller=named.propeller))
    assert told.startswith("run.csv, line 7: thrust -31%")
