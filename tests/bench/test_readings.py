"""Reading sessions: the examples, both forms, and all faults at once."""

import re
import time
from pathlib import Path

import pytest

from refledge.bench.reduce import reduce_session
from refledge.errors import InputError
from refledge.inputs.cards import material_cards
from refledge.inputs.readings import read_session

EXAMPLES = Path(__file__).parents[2] / "examples" / "bench"

TEN_FAULTS = """\
title = "ten faults"
kind = "cantilver"
material = "PETQ"
date = "31.5.2026"

[spool]
nam = "grey"

[settings]
orientation = "flat"
layer = 0.2

[room]
temperature = "23 bananas"

[[specimen]]
name = "1"
width = "10 m"
thickness = "4 mm"

[[series]]
specimen = "1"
span = "1 mm"
readings = [
  { mass = "0 g", read = "0.1 mm" },
  { mass = "-5 g", read = "0.2 mm" },
  { mass = "50 g", raed = "0.3 mm" },
]
"""


def problems(tmp_path: Path, text: str, name: str = "session.toml") -> list[str]:
    file = tmp_path / name
    file.write_text(text)
    with pytest.raises(InputError) as caught:
        read_session(file)
    return [str(each) for each in caught.value.problems]


def test_ten_faults_give_ten_messages(tmp_path: Path) -> None:
    found = problems(tmp_path, TEN_FAULTS)
    assert len(found) == 10, "\n".join(found)
    lines = [int(re.match(r"session\.toml:(\d+):", each)[1]) for each in found]  # type: ignore[index]
    assert lines == [2, 3, 4, 7, 11, 14, 18, 23, 26, 27]
    assert all("; allowed: " in each for each in found)
    assert 'did you mean "PETG"?' in found[1]
    assert 'did you mean "name"?' in found[3]
    assert '"0.2 mm" if that is what you mean' in found[4]


GOOD = (EXAMPLES / "cantilever.toml").read_text().replace('table = "cantilever-long.csv"', "")


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('specimen = "1"\nspan', 'specimen = "9"\nspan', "name a piece"),
        ('name = "2"', 'name = "1"', "each name once"),
        ('width = "10.04 mm"\n', "", "add width"),
        ("{ mass =", '{ load = "1 N", mass =', "mass and load"),
        ("{ mass =", '{ excluded = "fell", mass =', "take more readings"),
        ('kind = "cantilever"', 'kind = "torsion"', "add lever"),
        ('kind = "cantilever"', 'kind = "density"', "add mass"),
        ('kind = "cantilever"', 'kind = "creep"', "add time"),
        ('kind = "cantilever"', 'kind = "insert-pull"', "name the insert's thread"),
        ('kind = "cantilever"', 'kind = "insert-pull"\ninsert = "M9"', "name the insert's thread"),
    ],
)
def test_what_does_not_fit_together_is_said(tmp_path: Path, old: str, new: str, words: str) -> None:
    assert any(words in each for each in problems(tmp_path, GOOD.replace(old, new)))


def test_a_series_without_readings_is_said(tmp_path: Path) -> None:
    assert any("0 readings" in each for each in problems(tmp_path, GOOD))


def test_faults_in_a_table_beside_the_file_are_said_with_its_lines(tmp_path: Path) -> None:
    (tmp_path / "long.csv").write_text("mass (g),read (mm)\n0,0.1\nten,0.2\n20,much\n")
    text = GOOD.replace('span = "60 mm"\n\n', 'span = "60 mm"\ntable = "long.csv"\n', 1)
    found = problems(tmp_path, text)
    assert [each[:10] for each in found if each.startswith("long")] == ["long.csv:3", "long.csv:4"]


def test_a_csv_carries_its_head(tmp_path: Path) -> None:
    session = read_session(EXAMPLES / "creep.csv")
    assert session.file.kind == "creep"
    assert len(session.file.series[0].readings) == 11
    broken = (EXAMPLES / "creep.csv").read_text().replace('"60 mm"', '"60"')
    assert "session.csv:19: series[1].span" in problems(tmp_path, broken, "session.csv")[0]


def test_bad_toml_and_no_file_are_input_errors(tmp_path: Path) -> None:
    assert len(problems(tmp_path, "title = \n")) == 1
    with pytest.raises(InputError, match="without a file"):
        read_session(tmp_path / "none.toml")


def test_defaults_and_the_files_themselves_are_kept() -> None:
    session = read_session(EXAMPLES / "cantilever.toml")
    assert any(each.startswith("gauges.size: 0.0200 mm") for each in session.assumed)
    assert "Invented readings of piece 2" in session.text
    assert len(session.digest) == 64


EXPECTED = {
    "cantilever.toml": ("E_xy", 1.9e9, 2.2e9),
    "creep.csv": ("creep_factor", 0.95, 0.99),
    "density.toml": ("rho", 1200.0, 1270.0),
    "layer-pull.toml": ("strength_z", 15e6, 25e6),
    "arm-abs.toml": ("stiffness", 840.0, 890.0),
    "arm-nylon.toml": ("stiffness", 1430.0, 1510.0),
}


@pytest.mark.parametrize("name", EXPECTED)
def test_examples_reduce_to_plausible_figures(name: str) -> None:
    session = read_session(EXAMPLES / name)
    (m,) = reduce_session(session, material_cards()[session.file.material]).measured
    prop, low, high = EXPECTED[name]
    assert m.prop == prop
    assert low < m.value < high
    assert m.low < m.value < m.high


def test_every_example_has_a_test_and_is_marked_invented() -> None:
    files = {each.name for each in EXAMPLES.iterdir()}
    assert files - {"__pycache__"} == set(EXPECTED) | {"cantilever-long.csv", "make_recordings.py"}
    assert all("nvented" in (EXAMPLES / each).read_text() for each in files - {"__pycache__"})


def test_ten_thousand_readings_under_two_seconds(tmp_path: Path) -> None:
    """The bar of the issue, reading the file included; best of two."""
    head = "".join(
        f"#: {line}\n" for line in GOOD.split("[[series]]")[0].strip().splitlines() if line
    )
    spans = '#: [[series]]\n#: span = "60 mm"\n#: [[series]]\n#: span = "120 mm"\n'
    one = '#: [[specimen]]\n#: name = "1"\n#: width = "10 mm"\n#: thickness = "4 mm"\n'
    head = head.split("#: [[specimen]]")[0] + one + spans
    rows = "".join(
        f"{1 + i % 2},{i % 100},{0.1 + (0.0068, 0.05)[i % 2] * (i % 100) + 1e-3 * (i % 7):.4f}\n"
        for i in range(10_000)
    )
    file = tmp_path / "many.csv"
    file.write_text(f"{head}series,mass (g),read (mm)\n{rows}")
    taken = []
    for _ in range(2):
        start = time.perf_counter()
        found = reduce_session(read_session(file), material_cards()["PETG"])
        taken.append(time.perf_counter() - start)
    assert found.measured[0].prop == "E_xy"
    assert min(taken) < 2.0
