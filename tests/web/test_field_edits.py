"""Edits of the text: one line moves, everything else stays letter for letter."""

import difflib
import tomllib
from pathlib import Path

import pytest

from refledge.errors import BriefError
from refledge.inputs.brief import parse_brief
from refledge.inputs.field_edits import Edit, edited
from refledge.interfaces.web.brief_doc import field_texts

EXAMPLE = Path(__file__).parents[1] / "briefs" / "lake-sampler"
TEXT = (EXAMPLE / "brief.toml").read_text(encoding="utf-8")
LAMP = {
    "name": "lamp",
    "mass": "20 g",
    "condition": "sound",
    "length": "20 mm",
    "width": "20 mm",
    "height": "5 mm",
}


def changed_lines(after: str, before: str = TEXT) -> list[str]:
    """Lines taken out (-) and put in (+)."""
    lines = difflib.ndiff(before.splitlines(), after.splitlines())
    return [line for line in lines if line[0] in "+-"]


@pytest.mark.parametrize(
    ("path", "value", "line"),
    [
        ("motor.mass", "90 g", 'mass = "90 g"'),
        ("battery.cells", "5", "cells = 5"),
        ("payload.slung", "no", "slung = false"),
        ("printer.filaments", "PETG, PLA", 'filaments = ["PETG", "PLA"]'),
        ("motor.condition", "sound = 3, scrap = 2", "condition = {sound = 3, scrap = 2}"),
        ("others[3].mass", "30 g", 'mass = "30 g"'),
        ("motor.condition", {"sound": 6}, "condition = {sound = 6}"),
        ("title", 'a "quoted" one', 'title = "a \\"quoted\\" one"'),
    ],
)
def test_one_line_changes(path: str, value: object, line: str) -> None:
    after = edited(TEXT, [Edit(path, value)])
    out, new = changed_lines(after)
    assert out.startswith("-")
    assert new == f"+ {line}"


def test_the_comment_behind_a_value_stays() -> None:
    after = edited(TEXT, [Edit("mission.landing_speed", "1.2 m/s")])
    wanted = 'landing_speed = "1.2 m/s"  # set down gently, the bottle already on the ground'
    assert wanted in after.splitlines()


def test_a_new_field_goes_to_the_end_of_its_table() -> None:
    after = edited(TEXT, [Edit("layout.tip_gap", "25 mm")])
    assert changed_lines(after) == ['+ tip_gap = "25 mm"']
    assert tomllib.loads(after)["layout"] == {"kind": "six-x", "tip_gap": "25 mm"}


def test_a_new_table_goes_to_the_end_of_the_file() -> None:
    after = edited(TEXT, [Edit("frame.infill", "45 %"), Edit("limits.separation", "0.2")])
    assert after.startswith(TEXT)
    assert tomllib.loads(after)["frame"] == {"infill": "45 %"}
    assert tomllib.loads(after)["limits"] == {"separation": 0.2}


def test_a_new_field_before_the_first_table_stays_there() -> None:
    before = TEXT.replace('wiring = "130 g"\n', "")
    after = edited(before, [Edit("wiring", "1 kg")])
    assert changed_lines(after, before) == ['+ wiring = "1 kg"']
    assert tomllib.loads(after)["wiring"] == "1 kg"


def test_a_field_struck_out_leaves_only_its_line() -> None:
    after = edited(TEXT, [Edit("mission.gust", None)])
    assert changed_lines(after) == ['- gust = "5 m/s"']
    assert edited(after, [Edit("mission.gust", None)]) == after


def test_items_are_added_and_taken_out() -> None:
    after = edited(TEXT, [Edit("others", add=LAMP)])
    names = [each["name"] for each in tomllib.loads(after)["others"]]
    assert names[-1] == "lamp"
    assert all(line.startswith("+") for line in changed_lines(after))
    less = edited(after, [Edit("others[2]", remove=True)])
    assert [each["name"] for each in tomllib.loads(less)["others"]] == [names[0], *names[2:]]
    parse_brief(less, folder=str(EXAMPLE))


def test_the_last_item_takes_its_list_with_it() -> None:
    after = edited(TEXT, [Edit("others[1]", remove=True)] * 3)
    assert "others" not in tomllib.loads(after)


def test_every_field_typed_again_as_it_stands_gives_the_same_brief() -> None:
    """What the page shows of a field is what it may send back."""
    brief = parse_brief(TEXT, folder=str(EXAMPLE))
    stated = tomllib.loads(TEXT)
    for path, (_label, text) in field_texts(brief, TEXT).items():
        table, _, name = path.partition(".")
        if "[" not in path and name in stated.get(table, {}):
            after = edited(TEXT, [Edit(path, text)])
            assert parse_brief(after, folder=str(EXAMPLE)) == brief, path


@pytest.mark.parametrize(
    "edit",
    [
        Edit("motor", "1"),
        Edit("motor.nope", "1"),
        Edit("__class__", "1"),
        Edit("motor.mass.real", "1"),
        Edit("others[9].mass", "1 g"),
        Edit("motor[1].mass", "1 g"),
        Edit("a..b", "1"),
        Edit("others", remove=True),
        Edit("others[9]", remove=True),
        Edit("motor", add={"name": "x"}),
        Edit("others", add={"nope": "x"}),
        Edit("assumed", "x"),
        Edit("folder", "/etc"),
    ],
    ids=lambda edit: edit.path,
)
def test_what_is_no_field_is_refused(edit: Edit) -> None:
    with pytest.raises(BriefError):
        edited(TEXT, [edit])


def test_windows_line_ends_and_a_missing_last_one_stay() -> None:
    before = TEXT.replace("\n", "\r\n").rstrip("\r\n")
    after = edited(before, [Edit("motor.mass", "90 g")])
    assert after == before.replace('mass = "84 g"', 'mass = "90 g"')
