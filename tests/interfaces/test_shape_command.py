"""``refledge shape``: what is refused at once, and a whole run."""

import inspect
import json
import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner

from refledge.interfaces.cli import app
from refledge.interfaces.commands.shape import shape
from refledge.interfaces.shaping import asked, rounds_asked
from refledge.shaping.rounds import MOST
from refledge.shaping.shape import LIGHTEST_USE, USE
from tests.demo import GIVEN

EXAMPLE = Path(__file__).parents[1] / "briefs" / "lake-sampler" / "brief.toml"


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--part", "leg"], "--part"),
        (["--voxel", "1"], "--voxel"),
        (["--voxel", "9 mm"], "voxel"),
        (["--device", "abacus"], "--device"),
        (["--goal", "beauty"], "--goal"),
        (["--rounds", "3"], "add --verify"),
        (["--mass", "heavy"], "--mass"),
        (["--mass", "-5 g"], "--mass"),
        (["--mass", "95 g", "--goal", "mass"], "leave one of both out"),
    ],
)
def test_wrong_options_are_told_before_any_work(
    options: list[str], said: str, tmp_path: Path
) -> None:
    found = CliRunner().invoke(app, ["shape", str(EXAMPLE), "--out", str(tmp_path), *options])
    assert found.exit_code == 2
    assert said in found.stderr


def test_strength_is_kept_unless_left_out() -> None:
    """Less strictly where least mass is sought, whose limits the arm printed thin keeps."""
    stiff, light = (asked("arm", "2 mm", 30, "cpu", goal) for goal in ("stiffness", "mass"))
    assert stiff.use == USE
    assert light.use == LIGHTEST_USE
    assert asked("arm", "2 mm", 30, "cpu", strength=False).use is None


def test_the_stiffest_may_be_of_any_mass() -> None:
    assert asked("arm", "2 mm", 30, "cpu").mass is None
    assert asked("arm", "2 mm", 30, "cpu", mass="95 g").mass == pytest.approx(0.095)


def test_rounds_are_for_arms_that_are_solved() -> None:
    assert rounds_asked(None, solids=False) == 0
    assert rounds_asked(None, solids=True) == MOST
    assert rounds_asked(2, solids=True) == 2
    said = inspect.get_annotations(shape)["rounds"].__metadata__[0].help
    assert f"{MOST} if not given" in said


def test_a_build_is_refused_before_any_work(tmp_path: Path) -> None:
    (tmp_path / "build.json").write_text("{}")
    found = CliRunner().invoke(app, ["shape", str(EXAMPLE), "--out", str(tmp_path)])
    assert found.exit_code == 1
    assert "is a build" in found.stderr


@pytest.mark.slow
def test_a_whole_run_on_coarse_voxels(tmp_path: Path) -> None:
    """Of the example with its arms given: one pair of family and plastic is sized, not sixteen."""
    shutil.copytree(EXAMPLE.parent, tmp_path, dirs_exist_ok=True)
    brief = tmp_path / "brief.toml"
    brief.write_text(brief.read_text(encoding="utf-8") + GIVEN, encoding="utf-8")
    given = ["--voxel", "3 mm", "--iterations", "20", "--json"]
    out = tmp_path / "shape"
    found = CliRunner().invoke(app, ["shape", str(brief), "--out", str(out), *given])
    assert found.exit_code == 0, found.output
    said = json.loads(found.stdout)
    before, after = (
        next(each for each in said[which]["moved"] if each["case"] == "full thrust")
        for which in ("present", "grown")
    )
    assert after["deflection"] < before["deflection"]
    assert (out / "grown-arm.3mf").is_file()
