"""The brief and its tables as they go into the build."""

from dataclasses import replace
from pathlib import Path

import pytest

from refledge.errors import InputError
from refledge.inputs.brief import parse_brief, read_brief
from refledge.interfaces.given import given_files
from tests.outputs.fake_brief import fake_brief


def test_the_brief_reads_back_the_same() -> None:
    brief = fake_brief()
    files = given_files(brief)
    found = parse_brief(files["brief.toml"].decode("utf-8"))
    assert replace(found, assumed=()) == replace(brief, assumed=())
    assert list(files) == ["brief.toml"]


def test_a_build_is_a_brief_with_its_tables(tmp_path: Path) -> None:
    rows = "rpm,CT,CP\n1000,0.1,0.04\n6000,0.11,0.045\n"
    (tmp_path / "here").mkdir()
    (tmp_path / "prop.csv").write_text(rows)
    brief = fake_brief()
    propeller = replace(brief.propeller, coefficients="../prop.csv")
    files = given_files(replace(brief, propeller=propeller, folder=str(tmp_path / "here")))
    for name, data in files.items():
        path = tmp_path / "far" / "build" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    found = read_brief(tmp_path / "far" / "build" / "brief.toml")
    assert (Path(found.folder) / found.propeller.coefficients).read_text() == rows


def test_a_table_that_is_gone_is_wrong_input(tmp_path: Path) -> None:
    brief = fake_brief()
    propeller = replace(brief.propeller, thrust_table="gone.csv")
    with pytest.raises(InputError, match=r"propeller\.thrust_table"):
        given_files(replace(brief, propeller=propeller, folder=str(tmp_path)))
