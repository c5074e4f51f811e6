"""What the bench and the log taught reaches each command that sizes, plans or compares."""

from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from refledge.choosing import compare as comparing
from refledge.errors import FlightError
from refledge.inputs.brief import read_brief
from refledge.inputs.print_records import PrintRow
from refledge.inputs.starter import starter_text
from refledge.interfaces import designing, laying_out, planning_prints
from refledge.interfaces.web.tasks import layouts_task
from refledge.outputs.build import BuildReport
from refledge.printing.calibration import calibrate
from tests.interfaces.benching import BENCH, Run
from tests.interfaces.unplanned import no_print_plan
from tests.outputs.fake_study import check, fake_study

ROWS = (PrintRow("arm", 1, 7200.0, 0.08, 2),)


@pytest.fixture
def brief(run: Run, tmp_path: Path) -> Path:
    """A brief with a store of the bench beside it."""
    (tmp_path / "brief.toml").write_text(starter_text(), encoding="utf-8")
    done = run("reduce", BENCH / "cantilever.toml", "--store", tmp_path / "bench.sqlite")
    assert done.exit_code == 0
    return tmp_path / "brief.toml"


def stopped(seen: list[Any]) -> Any:
    """A comparison that notes what was taught and goes no further."""

    def compare(*_: object, learned: Any = None, **_more: object) -> Any:
        seen.append(learned)
        raise FlightError("far enough")

    return compare


def test_layouts_take_the_store_beside_the_brief_or_the_one_named(
    run: Run, brief: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[Any] = []
    monkeypatch.setattr(laying_out, "compare", stopped(seen))
    assert "far enough" in run("layouts", brief).stderr
    away = tmp_path / "away"
    away.mkdir()
    (tmp_path / "bench.sqlite").rename(away / "bench.sqlite")
    run("layouts", brief)
    run("layouts", brief, "--store", away)
    assert seen[0].cards["PETG"].E_xy.measured_here
    assert seen[1] is None
    assert seen[2].cards == seen[0].cards


def test_the_workbench_compares_layouts_with_the_store_beside_the_brief(
    brief: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[Any] = []
    monkeypatch.setattr(comparing, "compare", stopped(seen))
    with pytest.raises(FlightError):
        layouts_task((read_brief(brief), str(brief)), lambda *_: None)
    assert seen[0].cards["PETG"].E_xy.measured_here


def test_a_build_gets_the_times_and_the_prints_behind_them(
    run: Run, brief: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    known, told, seen = calibrate(), [], {}  # type: Any, list[Any], dict[str, Any]
    found = SimpleNamespace(calibration=known)

    def own(_study: object, _plan: object, *where: object) -> Any:
        told.append(where)
        return found, ROWS

    def write(_study: object, out: Path, files: dict[str, bytes], **more: Any) -> BuildReport:
        seen.update(files=files, calibration=more["calibration"])
        return BuildReport(out, ("report.html",))

    no_print_plan(monkeypatch)
    monkeypatch.setattr(designing, "design", lambda *_, **__: fake_study(checks=(check("a"),)))
    monkeypatch.setattr(designing, "with_own_prints", own)
    monkeypatch.setattr(designing, "write_build", write)
    assert run("design", brief, "--out", tmp_path / "b").exit_code == 0
    assert told == [(brief, None)]
    assert seen["calibration"] is known
    assert seen["files"]["given/prints.csv"] == b"part,copies,minutes,grams\narm,1,120.0,80.0\n"


def test_a_plan_takes_the_log_unless_a_list_is_given(
    brief: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[tuple[Any, ...]] = []

    def own(_study: object, plan: object, *where: object) -> Any:
        seen.append(where)
        return plan, ROWS

    def listed(_study: object, plan: object, rows: Any, source: str, _beds: object) -> object:
        seen.append((rows, source))
        return plan

    monkeypatch.setattr(planning_prints, "design", lambda *_, **__: fake_study())
    monkeypatch.setattr(planning_prints, "plan_prints", lambda *_, **__: "the plan")
    monkeypatch.setattr(planning_prints, "with_own_prints", own)
    monkeypatch.setattr(planning_prints, "by_rows", listed)
    prints = tmp_path / "prints.csv"
    prints.write_text("part,copies,minutes,grams\narm,1,120,80\n")
    for records, store in ((None, None), (None, tmp_path), (prints, None)):
        planning_prints.run(brief, None, records, [], lambda *_: None, store)
    assert seen[0] == (brief, None, [])
    assert seen[1] == (brief, tmp_path, [])
    assert seen[2] == ((replace(ROWS[0], line=2),), "prints.csv")
