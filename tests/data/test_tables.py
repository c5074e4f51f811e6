"""The tables that ship with Refledge: every row sourced, malformed ones refused."""

from importlib.resources import files

import pytest

from refledge.data.tables import number, parse_rows, read_rows
from refledge.errors import DataError

NAMES = sorted(
    each.name.removesuffix(".csv")
    for each in files("refledge.data").iterdir()
    if each.name.endswith(".csv")
)


def test_all_tables_are_there() -> None:
    wanted = {"air", "hole_patterns", "inserts", "materials", "nuts", "screws", "starter", "tubes"}
    assert wanted <= set(NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_every_row_has_a_source(name: str) -> None:
    rows = read_rows(name)
    assert rows
    assert all(row["source"].strip() for row in rows)


def test_a_table_is_read_once() -> None:
    assert read_rows("screws") is read_rows("screws")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "header"),
        ("size,length\nM3,4\n", "source"),
        ("size,size,source\nM3,4,x\n", "distinct"),
        ("size,source\n", "no rows"),
        ("size,source\nM3,x\nM4\n", "row 3"),
        ("size,source\nM3,x,y\n", "3 cells for 2"),
        ("size,source\nM3, \n", "no source"),
    ],
)
def test_malformed_tables_are_refused(text: str, said: str) -> None:
    with pytest.raises(DataError, match=said):
        parse_rows(text, "made-up")


def test_a_missing_table_is_refused() -> None:
    with pytest.raises(DataError, match="no-such"):
        read_rows("no-such")


def test_quoted_commas_stay_in_their_cell() -> None:
    assert parse_rows('a,source\n1,"x, y"\n', "made-up") == ({"a": "1", "source": "x, y"},)


@pytest.mark.parametrize("cell", ["", "four", "1,5"])
def test_a_cell_without_a_number_is_refused(cell: str) -> None:
    with pytest.raises(DataError, match="no number"):
        number({"length": cell}, "length", "made-up")


def test_standard_air_obeys_the_gas_law() -> None:
    """ISO 2533:1975: p = rho R T at sea level; the published figures are rounded to 1e-5."""
    air = {row["name"]: float(row["value"]) for row in read_rows("air")}
    density = air["sea_level_pressure"] / (air["gas_constant"] * air["sea_level_temperature"])
    assert density == pytest.approx(air["sea_level_density"], rel=1e-5)
