"""A brief and its tables as files: names, line ends, rights, faults in a table of its own."""

from pathlib import Path

import pytest

from refledge.errors import BriefError, InputError
from refledge.inputs.brief import parse_brief, read_brief
from refledge.model.brief import Brief
from tests.inputs.faults import problems
from tests.inputs.texts import GOOD, line_number, spoil


def test_windows_line_ends_and_byte_order_mark(tmp_path: Path) -> None:
    file = tmp_path / "brief.toml"
    file.write_bytes(b"\xef\xbb\xbf" + GOOD.replace("\n", "\r\n").encode())
    assert read_brief(file).title == "Test"
    file.write_bytes(spoil(('"84 g"', "84")).replace("\n", "\r\n").encode())
    with pytest.raises(BriefError) as caught:
        read_brief(file)
    assert caught.value.problems[0].where == f"brief.toml:{line_number('84 g')}"
    (raw,) = problems(spoil(('"84 g"', "84")).replace("\n", "\r\n"))
    assert raw.where == f"brief.toml:{line_number('84 g')}"


def test_the_folder_is_noted(tmp_path: Path) -> None:
    (tmp_path / "b.toml").write_text(GOOD)
    assert read_brief(str(tmp_path / "b.toml")).folder == str(tmp_path)


@pytest.mark.parametrize(
    ("prepare", "said"),
    [
        (lambda file: file.parent, "without a file"),
        (lambda file: file.mkdir(), "a folder"),
        (lambda file: file.write_bytes(b'title = "\xff\xfe"'), "not UTF-8"),
    ],
)
def test_a_file_that_cannot_be_read(tmp_path: Path, prepare: object, said: str) -> None:
    file = tmp_path / "brief.toml"
    prepare(file)  # type: ignore[operator]
    with pytest.raises(InputError) as caught:
        read_brief(file)
    (found,) = caught.value.problems
    assert found.where == "brief.toml"
    assert said in found.given


def test_a_name_that_no_file_can_have() -> None:
    with pytest.raises(InputError):
        read_brief("brief\0.toml")


def with_table(name: str) -> str:
    return spoil(('pitch = "4.7 in"', f'pitch = "4.7 in"\ncoefficients = "{name}"'))


def test_a_table_that_is_not_there(tmp_path: Path) -> None:
    (found,) = problems(with_table("rotor.csv"), str(tmp_path))
    assert found.field == "propeller.coefficients"
    assert str(tmp_path) in found.next_step


def test_a_table_with_a_fault_is_reported_with_its_own_line(tmp_path: Path) -> None:
    (tmp_path / "rotor.csv").write_text("rpm,CT,CP\n3000,0.1,0.04\n4000,much,0.04\n")
    found = problems(spoil(('"84 g"', "84"), text=with_table("rotor.csv")), str(tmp_path))
    assert [each.where for each in found] == [f"brief.toml:{line_number('84 g')}", "rotor.csv:3"]


def test_a_good_table_is_accepted(tmp_path: Path) -> None:
    (tmp_path / "rotor.csv").write_text("rpm,CT,CP\n3000,0.1,0.04\n4000,0.11,0.04\n")
    brief: Brief = parse_brief(with_table("rotor.csv"), folder=str(tmp_path))
    assert brief.propeller.coefficients == "rotor.csv"
