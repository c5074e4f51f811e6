"""Items to try beside the brief's, from TOML and CSV."""

from pathlib import Path

import pytest

from refledge.errors import InputError, Problem
from refledge.inputs.also import read_also
from tests.choosing.conftest import LAKE

TOML = """
[[propeller]]
name = "twelve inch"
mass = "16 g"
diameter = "12 in"
pitch = "4.5 in"
coefficients = "twelve.csv"

[[battery]]
name = "five cells"
mass = "0.9 kg"
length = "160 mm"
width = "60 mm"
height = "40 mm"
cells = 5
capacity = "8000 mAh"
resistance = "14 mohm"
max_current = "120 A"
"""
CSV = (
    "# what the team could borrow\n"
    "item,name,mass,diameter,pitch,cells,capacity,length,width,height,resistance,max_current\n"
    "propeller,twelve inch,16 g,12 in,4.5 in,,,,,,,\n"
    "battery,five cells,0.9 kg,,,5,8000 mAh,160 mm,60 mm,40 mm,14 mohm,120 A\n"
)


def written(folder: Path, text: str, name: str = "also.toml") -> Path:
    file = folder / name
    file.write_text(text, encoding="utf-8")
    return file


def problems(folder: Path, text: str, name: str = "also.toml") -> list[Problem]:
    with pytest.raises(InputError) as caught:
        read_also(written(folder, text, name))
    return list(caught.value.problems)


def test_items_in_si_to_be_bought_unless_said(tmp_path: Path) -> None:
    also = read_also(written(tmp_path, TOML))
    (propeller,), (pack,) = also.propeller, also.battery
    assert propeller.diameter == pytest.approx(12 * 0.0254)
    assert propeller.condition.to_buy == 1
    assert pack.capacity == pytest.approx(8 * 3600)
    assert also.motor == ()


def test_tables_lie_beside_the_file(tmp_path: Path) -> None:
    also = read_also(written(tmp_path, TOML))
    assert also.propeller[0].coefficients == str(tmp_path / "twelve.csv")


def test_csv_says_the_same(tmp_path: Path) -> None:
    table, tree = read_also(written(tmp_path, CSV, "a.csv")), read_also(written(tmp_path, TOML))
    assert table.battery == tree.battery
    assert table.propeller[0].pitch == tree.propeller[0].pitch


def test_the_examples_own_file_reads() -> None:
    also = read_also(LAKE / "also.toml")
    assert (len(also.propeller), len(also.battery), len(also.motor)) == (2, 2, 1)


@pytest.mark.parametrize(
    ("text", "name", "where", "said"),
    [
        ("[[propeller]]\nname = 3\n", "a.toml", "a.toml:2", "propeller[1].name"),
        (TOML.replace("12 in", "12"), "a.toml", "a.toml:5", "propeller[1].diameter"),
        ("[[wing]]\nname = 'x'\n", "a.toml", "a.toml:1", "motor, propeller, battery"),
        ("x = [\n", "a.toml", "a.toml", "[[motor]]"),
        ("name,mass\nx,1\n", "a.csv", "a.csv:1", "item,name"),
        ("", "a.csv", "a.csv:1", "no header"),
        ("item,name,mass\nmotor,x\n", "a.csv", "a.csv:2", "2 cells"),
        (CSV.replace("12 in", "12"), "a.csv", "a.csv:3", "propeller[1].diameter"),
        (CSV.replace(",5,8000", ",five,8000"), "a.csv", "a.csv:4", "battery[1].cells"),
    ],
)
def test_what_is_wrong_has_its_place(
    tmp_path: Path, text: str, name: str, where: str, said: str
) -> None:
    found = problems(tmp_path, text, name)
    assert any(each.where == where and said in str(each) for each in found), found


def test_rules_of_the_brief_hold(tmp_path: Path) -> None:
    """A hole pattern that the mount could not be made for."""
    text = (LAKE / "also.toml").read_text(encoding="utf-8").replace("M3 19x25", "four screws")
    (found,) = problems(tmp_path, text)
    assert found.field == "motor[1].holes"


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="without a file"):
        read_also(tmp_path / "none.toml")
