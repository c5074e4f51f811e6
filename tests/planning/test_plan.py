"""The print plan of the example: every copy planned once, files that other readers take."""

import csv
import io
from pathlib import Path

import lib3mf
import numpy as np
import pytest

from refledge.errors import InputError
from refledge.inputs.print_records import read_print_records
from refledge.outputs.print_plan import hours, plan_files
from refledge.planning.plan import PrintPlan, as_planned, plan_prints
from refledge.planning.records import records_of
from refledge.printing.calibration import calibrate
from refledge.printing.plates import Bed
from refledge.study import Study

pytestmark = pytest.mark.slow


def test_every_copy_is_on_one_plate(study: Study, plan: PrintPlan) -> None:
    wanted = sorted(
        (spec.key, copy)
        for spec in study.parts
        if spec.printed
        for copy in range(1, spec.quantity + 1)
    )
    laid = sorted((each.piece.key, each.piece.copy) for plate in plan.plates for each in plate.laid)
    assert laid == wanted


def test_chosen_poses_hold_fit_and_keep_the_layers(plan: PrintPlan) -> None:
    for part in plan.parts:
        assert part.chosen.fits
        assert part.chosen.layer_use <= 1.0
        assert part.chosen.as_sized
    assert any(part.has_loads for part in plan.parts)


def test_an_arm_stood_on_end_is_worked_harder_between_layers(plan: PrintPlan) -> None:
    arm = next(part for part in plan.parts if part.spec.key.startswith("arm"))
    across = [score for score in arm.others if not score.as_sized]
    assert max(score.layer_use for score in across) > arm.chosen.layer_use


def test_plastic_by_layers_agrees_with_the_mass_that_flies(study: Study, plan: PrintPlan) -> None:
    """Two models of one print: walls, skins and infill by layer, and by surface and volume.

    The second takes the mean skin over the whole surface; 15 % is what thin plates, all skin, and
    upright walls may differ by in it.
    """
    for part in plan.parts:
        bare = part.mass - part.chosen.support.plastic * study.cards[part.spec.material].rho.value
        assert bare == pytest.approx(part.spec.mass, rel=0.15), part.spec.key


def test_plates_read_strictly_and_hold_their_copies(
    study: Study, plan: PrintPlan, tmp_path: Path
) -> None:
    files = plan_files(study, plan)
    for number, plate in enumerate(plan.plates, 1):
        path = tmp_path / f"{number}.3mf"
        path.write_bytes(files[f"plates/plate-{number}.3mf"])
        model = lib3mf.get_wrapper().CreateModel()
        reader = model.QueryReader("3mf")
        reader.SetStrictModeActive(True)
        reader.ReadFromFile(str(path))
        assert reader.GetWarningCount() == 0
        assert model.GetBuildItems().Count() == len(plate.laid)
        box = model.GetOutbox()
        low, high = np.array(box.MinCoordinate), np.array(box.MaxCoordinate)
        assert np.all(low >= -1e-3)
        assert high[0] <= 1e3 * plate.bed.length + 0.01
        assert high[1] <= 1e3 * plate.bed.width + 0.01


def test_table_and_page_say_the_same(study: Study, plan: PrintPlan) -> None:
    files = plan_files(study, plan)
    rows = list(csv.DictReader(io.StringIO(files["print_plan.csv"].decode())))
    assert [row["part"] for row in rows] == [part.spec.key for part in plan.parts]
    page = files["print-plan.html"].decode()
    for part in plan.parts:
        assert hours(part.seconds) in page
        assert part.spec.name in page


def test_the_same_plan_gives_the_same_bytes(study: Study, plan: PrintPlan) -> None:
    assert plan_files(study, plan) == plan_files(study, plan)


def test_records_sharpen_the_times(study: Study, plan: PrintPlan, tmp_path: Path) -> None:
    arm = next(part for part in plan.parts if part.spec.key.startswith("arm"))
    minutes = 1.4 * arm.chosen.figures.seconds / 60
    prints = tmp_path / "prints.csv"
    lines = [f"{arm.spec.key},1,{minutes + k:.1f},{1e3 * arm.mass:.1f}" for k in range(8)]
    prints.write_text("part,copies,minutes,grams\n" + "\n".join(lines) + "\n")
    known = calibrate(records_of(study, plan, read_print_records(prints), prints.name))
    seconds, spread = known.seconds(arm.chosen.figures)
    assert seconds == pytest.approx(60 * minutes, rel=0.04)
    assert spread < arm.spread


def test_a_record_of_an_unknown_part_names_the_line(
    study: Study, plan: PrintPlan, tmp_path: Path
) -> None:
    prints = tmp_path / "prints.csv"
    prints.write_text("part,copies,minutes,grams\nwing,1,60,\n")
    with pytest.raises(InputError, match=r"prints\.csv:2: part: given wing"):
        records_of(study, plan, read_print_records(prints), prints.name)


def test_a_second_printer_takes_what_it_can(study: Study) -> None:
    own = study.brief.printer
    large = Bed("large", own.bed_length, own.bed_width)
    shared = plan_prints(study, beds=(Bed("small", 0.1, 0.1), large))
    assert {plate.bed.name for plate in shared.plates} == {"small", "large"}


def test_what_fits_no_bed_is_named_and_the_rest_planned(study: Study) -> None:
    small = plan_prints(study, beds=(Bed("small", 0.1, 0.1),))
    laid = {each.piece.key for plate in small.plates for each in plate.laid}
    printed = {spec.key for spec in study.parts if spec.printed}
    assert laid
    assert small.too_large
    assert laid == printed - set(small.too_large)
    assert "On no plate" in plan_files(study, small)["print-plan.html"].decode()


def test_files_follow_the_planned_pose(study: Study, plan: PrintPlan) -> None:
    posed = as_planned(study, plan)
    assert [spec.key for spec in posed.parts] == [spec.key for spec in study.parts]
    for part in plan.parts:
        spec = next(each for each in posed.parts if each.key == part.spec.key)
        np.testing.assert_array_equal(spec.print_rotation, part.spec.print_rotation)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("copies,minutes\n1,2\n", "header"),
        ("part,copies,minutes,grams\narm,0,60,1\n", "copies: given 0"),
        ("part,copies,minutes,grams\narm,1,long,1\n", "minutes: given long"),
        ("part,copies,minutes,grams\narm,1,60,-3\n", "grams: given -3"),
    ],
)
def test_a_bad_list_of_prints_says_where(tmp_path: Path, text: str, words: str) -> None:
    prints = tmp_path / "prints.csv"
    prints.write_text(text)
    with pytest.raises(InputError, match=words):
        read_print_records(prints)
