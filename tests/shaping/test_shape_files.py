"""What is written of a grown arm: page, figures, files to print, the picture while it grows."""

import io
import json
import zipfile
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from PIL import Image

from refledge.airframe.grown_beams import TipGive
from refledge.errors import BuildError
from refledge.interfaces.web.shape_doc import shape_doc
from refledge.model.checks import Verdict
from refledge.outputs.shape_files import (
    prepare_shape,
    remarks,
    rows,
    shape_json,
    shape_lines,
    solid_rows,
    write_shape,
)
from refledge.outputs.shape_pictures import growing_png
from refledge.outputs.shape_rounds import round_rows
from refledge.shaping.printable import laid, least_wall, printable
from refledge.shaping.reanalysis import ArmFound, Buckles
from refledge.shaping.result import InFrame, Result, Round
from refledge.shaping.shape import Shaped
from refledge.study import Study
from refledge.verify.results import HotSpot
from tests.outputs.test_frame_table import DRAWN, GROWN


@pytest.fixture(scope="module")
def result(study: Study, shaped: Shaped) -> Result:
    body = printable(shaped.grown, least_wall(study.brief.printer))
    lies = laid(body.mesh, body.print_rotation, study.brief.frame, study.brief.printer)
    return Result(study, shaped, body, lies)


def test_the_spec_weighs_what_the_surface_holds(result: Result) -> None:
    rho = result.study.task.materials["ASA"].rho
    assert 0.7 * result.body.volume * rho < result.spec.mass <= result.body.volume * rho
    assert result.spec.quantity == result.present.quantity
    # Cubes of 3 mm stand out 4 % beyond the arm's width and see no bolts: both are cut exactly.
    assert 0.88 < result.body.volume / result.shaped.grown.volume < 1.0


def test_everything_is_written_and_says_the_same(result: Result, tmp_path: Path) -> None:
    written = {path.name: path for path in write_shape(result, tmp_path)}
    assert set(written) >= {"shape.html", "shape.json", "grown-arm.3mf", "grown-arm.stl"}
    said = json.loads(written["shape.json"].read_text())
    assert said["mass_kg"]["grown"] == pytest.approx(result.spec.mass, rel=1e-6)
    assert len(said["history"]) == len(result.shaped.design.history)
    page = written["shape.html"].read_text()
    for name, old, new, _ in rows(result):
        assert name in page
        assert old in page
        assert new in page
    assert "nan" not in page.split("<tbody>")[1].split("</tbody>")[0]
    with zipfile.ZipFile(written["grown-arm.3mf"]) as package:
        assert any(name.endswith(".model") for name in package.namelist())
    assert not list(tmp_path.glob(".*.new"))


def test_the_page_says_whether_uses_were_raised_by_a_round_before(
    result: Result, tmp_path: Path
) -> None:
    page = write_shape(result, tmp_path)
    text = next(path for path in page if path.name == "shape.html").read_text()
    assert "less than at the surface" in text
    wish = replace(result.shaped.wish, printed=(("full thrust", 2.0),))
    again = replace(result, shaped=replace(result.shaped, wish=wish))
    write_shape(again, tmp_path)
    text = (tmp_path / "shape.html").read_text()
    assert "times what a round before" in text
    assert "less than at the surface" not in text


def test_the_workbench_gets_the_same_rows_and_remarks(result: Result) -> None:
    told = shape_doc(result, [Path("folder/grown-arm.3mf")], "grown/arm.toml")
    assert [tuple(each.values()) for each in told["rows"]] == list(rows(result))
    assert told["remarks"] == list(remarks(result))
    assert told["files"] == ["grown-arm.3mf"]
    assert told["record"] == "grown/arm.toml"


def test_lines_and_json_hold_every_row(result: Result, tmp_path: Path) -> None:
    lines = "\n".join(shape_lines(result))
    for name, *_ in rows(result):
        assert name in lines
    assert json.loads(shape_json(result, tmp_path))["schema"] == "refledge shape 2"


def test_modes_that_cannot_be_found_are_not_made_up(result: Result) -> None:
    after = replace(result.shaped.after, frequencies=())
    shown = list(rows(replace(result, shaped=replace(result.shaped, after=after))))
    assert [row[2] for row in shown if row[0].startswith("mode")] == ["cannot say"] * 2


def test_a_build_is_not_written_into(tmp_path: Path) -> None:
    (tmp_path / "build.json").write_text("{}")
    with pytest.raises(BuildError, match="is a build"):
        prepare_shape(tmp_path)


def test_the_growing_picture_is_upright(tmp_path: Path) -> None:
    side = np.zeros((30, 10))
    side[:5, -1] = 1.0  # plastic at the root's top
    picture = Image.open(io.BytesIO(growing_png(side, tmp_path / "p.png").read_bytes()))
    dark = np.argwhere(np.asarray(picture.convert("L")) < 128)
    assert dark[:, 0].max() < picture.height / 2
    assert dark[:, 1].max() < picture.width / 2


def solved(use: float, error: float) -> ArmFound:
    spots = [
        HotSpot(name, "landing", 0.1, 0.0, 0.1, 0.1, 0.0, 0.1, (0, 0, 0), share * use, 0.02 * use)
        for name, share in (("hard landing", 0.8), ("hover", 0.1))
    ]
    verified: Any = SimpleNamespace(spots=spots)  # all of the solid that is written here
    near = Buckles(1.2 * 0.8 * use, "hard landing", 0.025, "")
    modes = (20.0, 30.0, 40.0, 90.0)
    errors = (0.01, 0.02, 0.03, error)
    give = TipGive(np.zeros(3), np.eye(6))
    return ArmFound(1e-3 / use, 0.01, modes, use, "hard landing", errors, near, verified, give)


def test_both_arms_as_printed_are_told_with_their_mesh_errors(
    result: Result, tmp_path: Path
) -> None:
    assert not list(solid_rows(result))
    both = replace(result, solids=(solved(0.5, 0.1), solved(0.25, 0.3)))
    page = {path.name: path for path in write_shape(both, tmp_path)}["shape.html"].read_text()
    lines = "\n".join(shape_lines(both))
    told = list(solid_rows(both))
    assert ("tip moves at full thrust", "2.00 mm", "4.00 mm", "+100 %") in told
    assert ("mesh error of use", "10.0 %", "30.0 %", "") in told
    for name, old, new, _ in told:
        assert name in page
        assert new in page
        assert old in lines
    assert ("hard landing: share of the buckling load", "40.0 %", "20.0 %", "−50 %") in told
    assert not [row for row in told if row[0].startswith("hover")]
    assert "24.0 % of its buckling load in hard landing: it holds" in lines
    said = json.loads(shape_json(both, tmp_path))["as_printed"]
    assert said["grown"]["buckling"]["cases"]["hover"]["use"] == pytest.approx(0.025)
    assert said["grown"]["mesh_errors"]["use_of_strength"] == 0.3


@pytest.mark.parametrize(
    ("use", "error", "verdict"),
    [(0.6, 0.1, "it holds"), (0.9, 0.3, "cannot say"), (1.1, 0.01, "it fails")],
)
def test_strength_is_judged_with_its_mesh_error(
    result: Result, use: float, error: float, verdict: str
) -> None:
    both = replace(result, solids=(solved(0.5, 0.1), solved(use, error)))
    assert any(verdict in each for each in remarks(both))
    assert any("--verify" in each for each in remarks(result))


def in_frame(result: Result) -> Result:
    """Two growths, the second kept; the frame is the study's own with one check that fails."""
    study = result.study
    check = replace(
        study.checks[0], key="odd", title="odd check", margin=-0.2, verdict=Verdict.FAILS
    )
    made = InFrame(loads=1.26, use=1.29, first_mode=23.3, all_up_mass=3.26, lacking=("odd",))
    first = Round(
        number=1, loads=1.0, allowed=0.075, mass=0.0748, voxel_use=0.46, use=0.9, framed=made
    )
    second = replace(
        first, number=2, loads=1.26, allowed=None, voxel_use=1.19, use=None, framed=None
    )
    return replace(
        result,
        solids=(solved(0.5, 0.1), solved(0.25, 0.3)),
        framed=replace(study, checks=(*study.checks, check)),
        frames=(DRAWN, GROWN),
        rounds=(first, second),
    )


def test_the_rounds_and_both_airframes_are_told(result: Result, tmp_path: Path) -> None:
    made = in_frame(result)
    page = {path.name: path for path in write_shape(made, tmp_path)}["shape.html"].read_text()
    lines, told = "\n".join(shape_lines(made)), shape_doc(made, [], "")
    rows_of_rounds = list(round_rows(made))
    first, second = list(zip(*rows_of_rounds, strict=True))[1:]
    assert first == (
        "1.00 x", "75.0 g", "74.8 g", "46.0 %", "90.0 %", "129 %", "1.26 x", "23.3 Hz", "1",
    )  # fmt: skip
    assert second[1] == "as little as may be"
    assert second[4:6] == ("not solved", "–")
    assert told["rounds"]["heads"] == ["", "round 1", "round 2"]
    assert told["rounds"]["rows"] == [list(each) for each in rows_of_rounds]
    assert ["odd check (aircraft)", "reserve −20 %, fails", "not asked"] in map(list, told["open"])
    for where in (page, lines):
        for words in ("24.3 Hz", "129 %", "odd check", "1 fail", "greatest use of strength"):
            assert words in where
    said = json.loads(shape_json(made, tmp_path))
    assert said["rounds"][0]["in_its_frame"]["lacking"] == ["odd"]
    assert said["rounds"][1]["in_its_frame"] is None
    assert said["in_the_airframe"]["figures"][1]["first_mode"] == 24.3
    assert said["in_the_airframe"]["verdict"] == "fails"


def test_an_arm_that_no_airframe_can_have_says_why_everywhere(
    result: Result, tmp_path: Path
) -> None:
    grounded = replace(
        in_frame(result), framed=None, frames=(), grounded="beams cannot give that way"
    )
    page = {path.name: path for path in write_shape(grounded, tmp_path)}["shape.html"].read_text()
    for where in (page, "\n".join(shape_lines(grounded))):
        assert "beams cannot give that way" in where
    said = json.loads(shape_json(grounded, tmp_path))
    assert said["in_the_airframe"] == {"why_not": "beams cannot give that way"}
    told = shape_doc(grounded, [], "")
    assert (told["frames"], told["grounded"]) == (None, "beams cannot give that way")
    assert shape_doc(result, [], "")["rounds"] is None


@pytest.mark.parametrize(
    ("near", "words"),
    [
        (Buckles(1.1, "drop", 0.05, ""), "110 % of its buckling load in drop: it buckles"),
        (Buckles(1.1, "drop", 0.2, ""), "mesh error 20 % of that: cannot say whether it buckles"),
        (Buckles(np.nan, "", np.nan, "no luck"), "cannot say whether it buckles: no luck"),
    ],
)
def test_how_near_it_is_to_buckling_is_said(result: Result, near: Buckles, words: str) -> None:
    arm = replace(solved(0.5, 0.1), buckling=near)
    both = replace(result, solids=(solved(0.5, 0.1), arm))
    assert words in "\n".join(remarks(both))
    assert "nan" not in "\n".join(map(str, solid_rows(both)))
