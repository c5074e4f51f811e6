"""Interfaces, the least to reprint, the plan of a repair, its commands."""

import json
from dataclasses import replace
from pathlib import Path

import pytest
from typer.testing import CliRunner

from refledge.errors import InputError
from refledge.interfaces.cli import app
from refledge.outputs.record import plain
from refledge.outputs.repair_files import read_record, repair_json
from refledge.repair.interfaces import fit, joints_of, least_reprint, revisions
from refledge.repair.mending import mend, parse_broken
from refledge.repair.record import BuildRecord, build_record
from refledge.study import Study
from tests.outputs.fake_study import fake_study

PARTS = ("lower_plate", "arm", "upper_plate", "mount", "leg", "tray", "seat")


@pytest.fixture(scope="module")
def study() -> Study:
    return fake_study()


@pytest.fixture(scope="module")
def record(study: Study) -> BuildRecord:
    return build_record(study)


@pytest.fixture(scope="module")
def build(study: Study, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("builds") / "build"
    folder.mkdir()
    (folder / "repair.json").write_text(repair_json(study))
    return folder


def joints(study: Study, **changed: object):  # type: ignore[no-untyped-def]
    frame = study.frame
    for name, value in changed.items():
        outer, inner = name.split("__")
        frame = replace(frame, **{outer: replace(getattr(frame, outer), **{inner: value})})
    return joints_of(frame, study.layout, study.brief, PARTS)


def test_the_same_design_has_the_same_revisions_and_thickness_of_walls_does_not_count(
    study: Study,
) -> None:
    before = revisions(joints(study))
    assert set(before) == set(PARTS)
    assert revisions(joints(study)) == before
    assert revisions(joints(study, arm__top=0.0024, leg__depth_top=0.02)) == before
    assert revisions(joints(study, clamp__pitch_x=study.frame.clamp.pitch_x + 1e-9)) == before


@pytest.mark.parametrize(
    ("change", "touched"),
    [
        ({"tray__pitch_x": 0.09}, {"tray", "lower_plate"}),
        ({"seat__foot_pitch": 0.05}, {"seat", "upper_plate"}),
        ({"mount__pitch_y": 0.017}, {"arm", "mount"}),
        ({"leg__height": 0.15}, {"leg"}),
        ({"arm__depth_root": 0.025}, {"arm"}),
        ({"clamp__pitch_x": 0.03}, {"arm", "upper_plate", "lower_plate"}),
        ({"mount__thickness": 0.006}, {"mount"}),
    ],
)
def test_a_change_reaches_the_parts_that_mate_and_no_others(
    study: Study, change: dict[str, object], touched: set[str]
) -> None:
    old, new = joints(study), joints(study, **change)
    before, after = revisions(old), revisions(new)
    assert {part for part in PARTS if before[part] != after[part]} == touched
    for part in PARTS:
        assert fit(part, old, new).fits == (part not in touched)


def test_the_least_set_is_closed_and_no_larger_than_it_must_be(study: Study) -> None:
    old = joints(study)
    both = joints(study, mount__pitch_y=0.017, clamp__pitch_x=0.03)
    assert set(least_reprint(["mount"], old, both)) == {
        "mount", "arm", "upper_plate", "lower_plate",
    }  # fmt: skip
    assert least_reprint(["tray"], old, both) == ("tray",)
    apart = joints(study, mount__pitch_y=0.017, seat__foot_pitch=0.05)
    assert set(least_reprint(["seat"], old, apart)) == {"seat", "upper_plate"}


def test_a_record_survives_its_file(record: BuildRecord, build: Path) -> None:
    back = read_record(build)
    assert plain(back.parts) == plain(record.parts)
    assert revisions(back.joints) == revisions(record.joints)
    assert all(part.seconds > 60 and part.cost > 0 for part in back.parts)


def test_what_broke_is_what_is_printed(record: BuildRecord) -> None:
    found = mend(parse_broken(["arm 2", "arm:5", "plates"], record), record)
    assert {job.part.key: job.copies for job in found.jobs} == {
        "arm": 2, "upper_plate": 1, "lower_plate": 1,
    }  # fmt: skip
    parts = {part.key: part for part in record.parts}
    expected = (2 * parts["arm"].seconds + parts["upper_plate"].seconds
                + parts["lower_plate"].seconds + record.warm_up)  # fmt: skip
    assert found.seconds == pytest.approx(expected)
    steps = "\n".join(found.steps)
    assert steps.index("Battery out") < steps.index("Arm 2, 5") < steps.index("reverse order")
    assert any("Proof-load" in check for check in found.checks)
    with pytest.raises(InputError, match="wing"):
        parse_broken(["wing 1"], record)


def test_an_older_aircraft_gets_what_must_match(study: Study, record: BuildRecord) -> None:
    older = replace(record, joints=joints(study, mount__pitch_y=0.017))
    found = mend([("mount", 3)], record, older)
    copies = {job.part.key: job.copies for job in found.jobs}
    assert copies == {"mount": 6, "arm": 6}
    assert not found.fits[0].fits
    same = mend([("mount", 3)], record, record)
    assert {job.part.key: job.copies for job in same.jobs} == {"mount": 1}


def run(*words: object) -> tuple[int, str]:
    done = CliRunner().invoke(app, [str(word) for word in words])
    return done.exit_code, done.output


def test_from_log_to_repair_on_the_command_line(tmp_path: Path, build: Path) -> None:
    store = ("--store", tmp_path)
    assert run("log", "part", "A2", "--part", "arm", "--place", "arm 2", *store)[0] == 0
    assert run("log", "flight", "12 min", *store)[0] == 0
    code, said = run("log", "crash", "arm-tip", "--speed", "4 m/s", "--broke", "arm A2",
                     "--cracked", "leg", *store)  # fmt: skip
    assert code == 0, said
    assert said.startswith("3: crash, arm-tip; 2 damaged")
    code, said = run("repair", build, "--crash", 3, *store)
    assert code == 0, said
    assert "1 x arm (broken)" in said
    assert "Arm 2: undo the four clamp bolts" in said
    assert "leg" not in said.split("steps:")[0]  # cracked is not broken
    code, said = run("log", "repair", "arm", "--old", "A2", "--new", "A9", "--crash", 3, *store)
    assert code == 0, said
    code, said = run("log", "show", "--json", *store)
    lives = json.loads(said)["lives"]
    assert [(life["serial"], life["place"]) for life in lives] == [("A2", "arm 2"), ("A9", "arm 2")]
    code, said = run("repair", build, "--broke", "mount 4", "--json")
    assert json.loads(said)["plan"]["jobs"][0]["part"]["key"] == "mount"
    assert run("log", "export", tmp_path / "out", *store)[0] == 0
    assert (tmp_path / "out" / "log.json").is_file()


@pytest.mark.parametrize(
    ("words", "status"),
    [
        (("log", "flight", "12"), 2),
        (("log", "crash", "bird"), 2),
        (("log", "part", "A1"), 2),
        (("log", "print", "arm", "--time", "3 h", "--copies", "2", "--serial", "A1"), 2),
        (("log", "show"), 2),
        (("repair", "nowhere", "--broke", "arm"), 1),
        (("log", "strike", "9", "--why", "x"), 1),
    ],
)
def test_wrong_input_is_one_clear_message(
    tmp_path: Path, words: tuple[str, ...], status: int
) -> None:
    where = () if words[0] == "repair" else ("--store", str(tmp_path))
    code, said = run(*words, *where)
    assert code == status, said
    assert "Traceback" not in said
