"""Whole airframes side by side: the same figures from a study as from the build it wrote."""

import json
from dataclasses import asdict, replace
from math import inf, nan
from pathlib import Path

import pytest
from typer.testing import CliRunner

from refledge.errors import InputError
from refledge.inputs.built_frame import read_built_frame
from refledge.interfaces.cli import app
from refledge.model.checks import Verdict
from refledge.outputs.print_plan import plan_table
from refledge.outputs.record import study_json
from refledge.planning.frame_figures import frame_figures, worst_use
from refledge.planning.plan import PrintPlan
from refledge.study import Study

pytestmark = pytest.mark.slow


@pytest.fixture
def build(study: Study, plan: PrintPlan, tmp_path: Path) -> Path:
    """What the figures are read from."""
    folder = tmp_path / "drawn"
    (folder / "tables").mkdir(parents=True)
    (folder / "study.json").write_text(study_json(study))
    (folder / "tables" / "print_plan.json").write_text(plan_table(plan).json_text())
    return folder


def test_a_build_says_what_its_study_said(study: Study, plan: PrintPlan, build: Path) -> None:
    wanted, found = asdict(frame_figures("drawn", study, plan)), asdict(read_built_frame(build))
    assert found.keys() == wanted.keys()
    for name, value in wanted.items():
        if name == "price":  # to whole cents of each part
            assert found[name] == pytest.approx(value, abs=0.2)
        elif isinstance(value, float):
            assert found[name] == pytest.approx(value, rel=1e-6), name
            assert value >= 0.0
        else:
            assert found[name] == value
    assert read_built_frame(build / "study.json") == read_built_frame(build)
    full = study.assessment.result("full-thrust")
    assert wanted["tilt"] == full.motor_tilt.max()
    assert wanted["landing"] == pytest.approx(study.assessment.landing_force)


def test_the_worst_use_is_the_least_reserve_of_what_bears(study: Study) -> None:
    one = replace(study.checks[0], group="strength", part="arms", load_case="landing", margin=0.25)
    others = (
        replace(one, group="heat", margin=-0.5),
        replace(one, group="joints", part="bolts", load_case="", margin=inf),
        replace(one, margin=nan, verdict=Verdict.UNKNOWN),
    )
    assert worst_use((one, *others)) == (pytest.approx(0.8), "arms, landing")
    bolts = replace(others[1], margin=0.0)
    assert worst_use((one, bolts)) == (pytest.approx(1.0), "bolts")
    assert worst_use(()) == (0.0, "nothing")


def test_builds_are_compared_whole_and_said_by_folder(build: Path, tmp_path: Path) -> None:
    given = ["compare", str(build), str(build), "--out", str(tmp_path)]
    done = CliRunner().invoke(app, given)
    assert done.exit_code == 0, done.output
    assert "lowest mode of the free airframe" in done.stdout
    assert "Whole airframes" in (tmp_path / "comparison.html").read_text()
    frames = json.loads(CliRunner().invoke(app, [*given, "--json"]).stdout)["frames"]
    assert [each["name"] for each in frames] == ["drawn", "drawn"]


def test_a_build_without_its_plan_is_refused_by_name(build: Path) -> None:
    (build / "tables" / "print_plan.json").write_text("{}")
    with pytest.raises(InputError, match="design the build again"):
        read_built_frame(build)
    (build / "tables" / "print_plan.json").unlink()
    with pytest.raises(InputError, match="print_plan"):
        read_built_frame(build)
