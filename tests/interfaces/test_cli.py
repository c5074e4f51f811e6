"""The command line: exit statuses, what goes where, no tracebacks."""

import json
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from refledge import __version__
from refledge.errors import BuildError, FlightError, WishError
from refledge.inputs.brief import parse_brief
from refledge.inputs.starter import starter_text
from refledge.interfaces import cli, designing
from refledge.model.checks import Verdict
from refledge.outputs import pictures
from refledge.outputs.build import BuildReport
from refledge.study import Study
from tests.interfaces.unplanned import no_print_plan
from tests.outputs.fake_study import check, fake_study
from tests.outputs.small import shrink_pictures

EXAMPLE = Path(__file__).parents[1] / "briefs" / "lake-sampler"
HOLDING = fake_study(checks=(check("a"), check("b", Verdict.NARROWLY)))
UNSURE = fake_study(checks=(check("a"), check("b", Verdict.UNKNOWN)))


@pytest.fixture
def run() -> Callable[..., Any]:
    return lambda *words: CliRunner().invoke(cli.app, [str(word) for word in words])


@pytest.fixture
def brief(tmp_path: Path) -> Path:
    path = tmp_path / "brief.toml"
    path.write_text(starter_text(), encoding="utf-8")
    return path


def _answers(monkeypatch: pytest.MonkeyPatch, study: Study) -> None:
    """``design`` gives ``study``, and no files are written."""
    monkeypatch.setattr(designing, "design", lambda *_, **__: study)
    no_print_plan(monkeypatch)
    monkeypatch.setattr(
        designing,
        "write_build",
        lambda _, out, *__, **___: BuildReport(out.resolve(), ("report.html",)),
    )


def _raises(monkeypatch: pytest.MonkeyPatch, error: BaseException) -> None:
    def fail(*_: object, **__: object) -> None:
        raise error

    monkeypatch.setattr(designing, "design", fail)


@pytest.mark.parametrize(("study", "status"), [(HOLDING, 0), (fake_study(), 1), (UNSURE, 1)])
def test_exit_status_says_whether_it_holds(
    run: Callable[..., Any], brief: Path, monkeypatch: pytest.MonkeyPatch, study: Study, status: int
) -> None:
    _answers(monkeypatch, study)
    assert run("design", brief, "--out", brief.parent / "b").exit_code == status


def test_closing_words_say_what_matters(
    run: Callable[..., Any], brief: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    _answers(monkeypatch, fake_study())
    said = run("design", brief, "--out", brief.parent / "b").stdout
    for wanted in (
        "It does not hold: 1 of 7 checks fails.", "3.20 kg", "612 g", "PETG", "12.7 min",
        "First frame mode against control bandwidth (airframe): 21.3 Hz", "report.html",
    ):  # fmt: skip
        assert wanted in said


def test_json_is_alone_on_stdout(
    run: Callable[..., Any], brief: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    _answers(monkeypatch, fake_study())
    done = run("design", brief, "--out", brief.parent / "b", "--json")
    found = json.loads(done.stdout)
    assert found["verdict"] == "fails"
    assert found["checks"]["fails"] == ["first-mode"]
    assert found["all_up_mass_kg"] == 3.2
    assert done.exit_code == 1


def test_every_problem_of_a_brief_has_a_line(run: Callable[..., Any], brief: Path) -> None:
    text = brief.read_text(encoding="utf-8").replace("[printer]", "[pinter]")
    brief.write_text('colour = "red"\n' + text, encoding="utf-8")
    done = run("design", brief, "--out", brief.parent / "b")
    lines = done.stderr.splitlines()
    assert done.exit_code == 2
    assert len(lines) >= 2
    assert all(line.startswith("brief.toml:") for line in lines)
    assert done.stdout == ""
    assert not (brief.parent / "b").exists()


def test_a_missing_brief_is_wrong_input(run: Callable[..., Any], tmp_path: Path) -> None:
    done = run("design", tmp_path / "none.toml", "--out", tmp_path / "b")
    assert done.exit_code == 2
    assert "none.toml" in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("error", [FlightError("cannot lift 9 kg"), BuildError("the disk is full")])
def test_other_errors_are_one_message(
    run: Callable[..., Any], brief: Path, monkeypatch: pytest.MonkeyPatch, error: Exception
) -> None:
    _raises(monkeypatch, error)
    done = run("design", brief, "--out", brief.parent / "b")
    assert (done.exit_code, done.stderr, done.stdout) == (1, f"{error}\n", "")


def test_wishes_that_cannot_be_met_together_are_wrong_input(
    run: Callable[..., Any], brief: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    _raises(monkeypatch, WishError("frame.feet: pads go under legs"))
    done = run("design", brief, "--out", brief.parent / "b")
    assert (done.exit_code, done.stderr) == (2, "frame.feet: pads go under legs\n")


def test_a_payload_that_meets_its_rails_is_wrong_input(
    run: Callable[..., Any], tmp_path: Path
) -> None:
    """Told before anything is sized, with what to change."""
    shutil.copytree(EXAMPLE, tmp_path / "in")
    path = tmp_path / "in" / "brief.toml"
    text = path.read_text(encoding="utf-8")
    text = text.replace("slung = true", "slung = false").replace('"1.5 m"', '"90 mm"')
    path.write_text(text + '[frame]\npayload_rail = "rails"\n', encoding="utf-8")
    done = run("design", path, "--out", tmp_path / "out")
    assert done.exit_code == 2
    assert "payload.below of at least" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_folder_of_other_files_is_refused_before_the_work(
    run: Callable[..., Any], brief: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    _raises(monkeypatch, AssertionError("the design was begun"))
    done = run("design", brief, "--out", brief.parent)
    assert done.exit_code == 1
    assert "did not write" in done.stderr


def test_stopping_is_clean(
    run: Callable[..., Any], brief: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    _raises(monkeypatch, KeyboardInterrupt())
    done = run("design", brief, "--out", brief.parent / "b")
    assert done.exit_code == 130
    assert done.stderr.startswith("Stopped.")


def test_a_fault_of_the_program_is_owned_without_a_traceback(
    monkeypatch: pytest.MonkeyPatch, brief: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    _raises(monkeypatch, ZeroDivisionError("nought"))
    monkeypatch.setattr(sys, "argv", ["refledge", "design", str(brief), "--out", "b"])
    monkeypatch.delenv("REFLEDGE_TRACEBACK", raising=False)
    with pytest.raises(SystemExit) as stop:
        cli.main()
    assert stop.value.code == 70
    assert "ZeroDivisionError: nought" in capsys.readouterr().err


def test_new_writes_a_brief_that_can_be_read(run: Callable[..., Any], tmp_path: Path) -> None:
    done = run("new", tmp_path / "mine.toml")
    assert done.exit_code == 0
    assert parse_brief((tmp_path / "mine.toml").read_text(encoding="utf-8")).title


def test_new_keeps_what_is_there_unless_forced(run: Callable[..., Any], tmp_path: Path) -> None:
    mine = tmp_path / "mine.toml"
    mine.write_text("mine")
    refused = run("new", mine)
    assert refused.exit_code == 2
    assert "--force" in refused.stderr
    assert mine.read_text() == "mine"
    assert run("new", mine, "--force").exit_code == 0
    assert mine.read_text(encoding="utf-8") == starter_text()


def test_new_in_a_folder_that_is_not_there(run: Callable[..., Any], tmp_path: Path) -> None:
    done = run("new", tmp_path / "none" / "mine.toml")
    assert done.exit_code == 2
    assert "no such file" in done.stderr


def test_version(run: Callable[..., Any]) -> None:
    assert run("--version").stdout == f"refledge {__version__}\n"


def test_wrong_arguments_are_wrong_input(run: Callable[..., Any]) -> None:
    assert run("design").exit_code == 2
    assert run("disign").exit_code == 2


def test_help_is_quick_and_loads_nothing_heavy() -> None:
    code = (
        "import sys; from refledge.interfaces import cli; sys.argv = ['refledge', '--help']\n"
        "try: cli.main()\n"
        "except SystemExit: pass\n"
        "print(sorted({'numpy', 'scipy', 'OCP', 'pint', 'jinja2'} & set(sys.modules)))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=30
    )
    assert done.stdout.rstrip().endswith("[]")
    assert "design" in done.stdout


def test_progress_reaches_the_end_and_never_runs_back(
    brief: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    def design(_: object, *, progress: Callable[[str, float], None]) -> Study:
        for share in (0.0, 0.5, 1.0):
            progress("sizing", share)
        return HOLDING

    monkeypatch.setattr(designing, "design", design)
    no_print_plan(monkeypatch)
    monkeypatch.setattr(pictures, "_VIEWS", pictures._VIEWS)
    monkeypatch.setattr(pictures, "_PART_VIEW", pictures._PART_VIEW)
    shrink_pictures()
    seen: list[float] = []
    designing.run(brief, tmp_path / "b", lambda _, share: seen.append(share))
    assert seen == sorted(seen)
    assert (seen[0], seen[-1]) == (0.0, 1.0)
