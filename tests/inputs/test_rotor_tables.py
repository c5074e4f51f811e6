"""Rotor tables that a brief names."""

from math import pi
from pathlib import Path

import numpy as np
import pytest

from refledge.errors import InputError, Problem
from refledge.inputs.tables import read_coefficients, read_thrust_table


def write(folder: Path, text: str) -> Path:
    file = folder / "t.csv"
    file.write_text(text)
    return file


def faults(folder: Path, text: str, read: object = read_coefficients) -> list[Problem]:
    with pytest.raises(InputError) as caught:
        read(write(folder, text))  # type: ignore[operator]
    return list(caught.value.problems)


def test_coefficients_in_rising_speed_with_their_source(tmp_path: Path) -> None:
    text = "# Somebody, Some Tables\nCP, rpm ,CT,remark\n0.05,6000,0.12,x\n\n0.04,3000,0.1,y\n"
    table = read_coefficients(write(tmp_path, text))
    assert table.rpm == pytest.approx([3000, 6000])
    assert table.CT.tolist() == [0.1, 0.12]
    assert table.CP.tolist() == [0.04, 0.05]
    assert table.source == "t.csv; Somebody, Some Tables"


def test_a_thrust_run_in_the_stands_units(tmp_path: Path) -> None:
    text = (
        "RPM,Thrust (gf),Voltage (V),Current (A),Power (W)\n3000,200,15,1.5,22\n6000,900,14,9,127\n"
    )
    table = read_thrust_table(write(tmp_path, text))
    assert table.speed == pytest.approx(np.array([3000, 6000]) * 2 * pi / 60)
    assert table.thrust == pytest.approx([0.2 * 9.80665, 0.9 * 9.80665])
    assert table.electrical_power.tolist() == [22, 127]
    assert table.current.tolist() == [1.5, 9]


def test_power_from_current_and_voltage(tmp_path: Path) -> None:
    text = "speed (rad/s),thrust (N),current (A),voltage (V)\n300,2,1.5,15\n600,9,9,14\n"
    table = read_thrust_table(write(tmp_path, text))
    assert table.speed.tolist() == [300, 600]
    assert table.electrical_power == pytest.approx([22.5, 126])


def test_current_or_voltage_from_power(tmp_path: Path) -> None:
    head, rows = "rpm,thrust (N),power (W)", ["300,2,30", "600,9,126"]
    from_voltage = f"{head},voltage (V)\n{rows[0]},15\n{rows[1]},14\n"
    assert read_thrust_table(write(tmp_path, from_voltage)).current == pytest.approx([2, 9])
    from_current = f"{head},current (A)\n{rows[0]},2\n{rows[1]},9\n"
    assert read_thrust_table(write(tmp_path, from_current)).voltage == pytest.approx([15, 14])
    alone = read_thrust_table(write(tmp_path, "\n".join([head, *rows])))
    assert np.isnan(alone.current).all()
    assert np.isnan(alone.voltage).all()


@pytest.mark.parametrize(
    ("text", "where", "said"),
    [
        ("", "t.csv:1", "no header"),
        ("# only words\n", "t.csv:1", "no header"),
        ("a,b\n1,2\n", "t.csv:1", '"rpm", "CT", "CP"'),
        ("rpm;CT;CP\n1;2;3\n", "t.csv:1", "separated by commas"),
        ("rpm,CT\n3000,0.1\n4000,0.1\n", "t.csv:1", 'a column "CP"'),
        ("rpm,CT,CP\n3000,0.1,0.04\n", "t.csv:1", "1 rows"),
        ("rpm,CT,CP,CT\n3000,0.1,0.04,0\n4000,0.1,0.04,0\n", "t.csv:1", "two columns"),
        ("rpm (kg),CT,CP\n3000,0.1,0.04\n4000,0.1,0.04\n", "t.csv:1", "rpm (kg)"),
        ("rpm,CT,CP\n3000,0.1,0.04\n4000,0.1\n", "t.csv:3", "2 cells"),
        ("rpm,CT,CP\n3000,0.1,0.04\n4000,-0.1,0.04\n", "t.csv:3", "above 0"),
        ("rpm,CT,CP\n3000,0.1,0.04\n4000,0.1,4\n", "t.csv:3", "up to 0.5"),
        ("rpm,CT,CP\n3000,0.1,0.04\n4000,nan,0.04\n", "t.csv:3", "correct this cell"),
        ("rpm,CT,CP\n4000,0.1,0.04\n# x\n4000,0.1,0.04\n", "t.csv:4", "same speed"),
        ("rpm,CT,CP\n3000,0.1,0.04\n4000,0.1,0.02\n", "t.csv:3", "figure of merit of 1.26"),
    ],
)
def test_one_fault(tmp_path: Path, text: str, where: str, said: str) -> None:
    (found,) = faults(tmp_path, text)
    assert found.where == where
    assert said in str(found)


def test_all_faults_at_once(tmp_path: Path) -> None:
    text = "rpm,CT,CP\n3000,x,0.04\n4000,0.1\n5000,0.1,y\n"
    assert [each.where for each in faults(tmp_path, text)] == ["t.csv:3", "t.csv:2", "t.csv:4"]


def test_a_thrust_column_needs_its_unit(tmp_path: Path) -> None:
    text = "rpm,thrust,power (W)\n3000,200,22\n6000,900,120\n"
    (found,) = faults(tmp_path, text, read_thrust_table)
    assert '"thrust (gf)"' in found.next_step


def test_a_run_needs_its_power(tmp_path: Path) -> None:
    text = "rpm,thrust (gf)\n3000,200\n6000,900\n"
    found = faults(tmp_path, text, read_thrust_table)
    assert [each.field for each in found] == ["current", "voltage"]


def test_a_table_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="without a file"):
        read_coefficients(tmp_path / "none.csv")
