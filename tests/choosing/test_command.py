"""``refledge layouts`` at the command line; the comparison itself is made once for all tests."""

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from refledge.choosing.compare import Comparison
from refledge.errors import FlightError
from refledge.inputs.brief import read_brief
from refledge.interfaces import cli, laying_out
from refledge.sweeps import cluster
from tests.choosing.conftest import LAKE

Run = Callable[..., Any]


@pytest.fixture
def run() -> Run:
    return lambda *words: CliRunner().invoke(cli.app, ["layouts", *map(str, words)])


@pytest.fixture
def brief_file(tmp_path: Path) -> Path:
    file = tmp_path / "brief.toml"
    for name in ("brief.toml", "propeller-11x4.7.csv"):
        (tmp_path / name).write_bytes((LAKE / name).read_bytes())
    return file


def answers(monkeypatch: pytest.MonkeyPatch, found: Comparison) -> None:
    monkeypatch.setattr(laying_out, "compare", lambda *_, **__: found)


def test_table_and_words(
    run: Run, brief_file: Path, comparison: Comparison, monkeypatch: pytest.MonkeyPatch
) -> None:
    answers(monkeypatch, comparison)
    done = run(brief_file, "--out", brief_file.parent / "out")
    assert done.exit_code == 0, done.output
    for wanted in ("six flat, X", "hover time (band)", "gives up", "min of hover (B)", "page:"):
        assert wanted in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 120 + len(str(brief_file))
    assert (brief_file.parent / "out" / "layouts.html").exists()


def test_json_is_alone_on_stdout(
    run: Run, brief_file: Path, comparison: Comparison, monkeypatch: pytest.MonkeyPatch
) -> None:
    answers(monkeypatch, comparison)
    done = run(brief_file, "--json")
    found = json.loads(done.stdout)
    assert [each["key"] for each in found["finalists"]] == ["A", "B"]
    assert found["finalists"][1]["one_rotor_stops"] == "comes down"
    assert found["page"] == ""


def test_status_says_whether_any_keeps_the_wishes(
    run: Run, brief_file: Path, comparison: Comparison, monkeypatch: pytest.MonkeyPatch
) -> None:
    none = tuple(replace(each, feasible=False) for each in comparison.finalists)
    one = replace(none[1], feasible=True, misses=())
    answers(monkeypatch, replace(comparison, finalists=none))
    assert run(brief_file).exit_code == 1
    answers(monkeypatch, replace(comparison, finalists=(none[0], one)))
    assert run(brief_file).exit_code == 0
    answers(monkeypatch, replace(comparison, finalists=()))
    done = run(brief_file)
    assert (done.exit_code, "no finalist" in done.stdout) == (1, True)


def test_choose_uses_the_comparison_that_is_there(
    run: Run, brief_file: Path, monkeypatch: pytest.MonkeyPatch, comparison: Comparison
) -> None:
    """The record names candidates of this very brief; nothing is swept or sized again."""
    out = brief_file.parent / "out"
    out.mkdir()
    candidates = laying_out.gather(read_brief(brief_file), laying_out.Also())
    three = candidates.kinds.index("three-pairs")
    record = {
        "fingerprint": candidates.grid.fingerprint,
        "finalists": [{"key": "A", "candidate": 1}, {"key": "B", "candidate": three}],
    }
    (out / "layouts.json").write_text(json.dumps(record))
    monkeypatch.setattr(laying_out, "compare", None)
    done = run(brief_file, "--out", out, "--choose", "B")
    assert done.exit_code == 0, done.output
    assert read_brief(brief_file.with_name("brief-B.toml")).layout.kind == "three-pairs"
    again = run(brief_file, "--out", out, "--choose", "B")
    assert (again.exit_code, "--force" in again.stderr) == (2, True)
    assert run(brief_file, "--out", out, "--choose", "B", "--force").exit_code == 0
    unknown = run(brief_file, "--out", out, "--choose", "Q")
    assert (unknown.exit_code, "A, B" in unknown.stderr) == (2, True)
    record["fingerprint"] = "another"
    (out / "layouts.json").write_text(json.dumps(record))
    answers(monkeypatch, comparison)  # two propellers there, so B is candidate 0: four-x
    done = run(brief_file, "--out", out, "--choose", "B", "--to", brief_file.with_name("c.toml"))
    assert done.exit_code == 0, done.output
    assert read_brief(brief_file.with_name("c.toml")).layout.kind == "four-x"
    (out / "layouts.json").write_text("{")
    damaged = run(brief_file, "--out", out, "--choose", "A")
    assert (damaged.exit_code, "damaged" in damaged.stderr) == (2, True)


def test_wrong_input_is_one_message(
    run: Run, brief_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert run(brief_file.with_name("none.toml")).exit_code == 2
    also = brief_file.with_name("also.toml")
    also.write_text("[[motor]]\nname = 3\n")
    done = run(brief_file, "--also", also)
    assert done.exit_code == 2
    assert "also.toml:2: motor[1].name" in done.stderr
    assert "Traceback" not in done.stderr
    assert done.stdout == ""
    assert run(brief_file, "--jobs", "0").exit_code == 2

    def fail(*_: object, **__: object) -> None:
        raise FlightError("none of 6 candidates can hover")

    monkeypatch.setattr(laying_out, "compare", fail)
    done = run(brief_file)
    assert (done.exit_code, done.stderr) == (1, "none of 6 candidates can hover\n")


def test_a_folder_that_cannot_be(run: Run, brief_file: Path) -> None:
    done = run(brief_file, "--out", brief_file / "inside")
    assert (done.exit_code, "cannot be a folder" in done.stderr) == (1, True)


@pytest.mark.slow
def test_nobody_at_the_scheduler(
    run: Run, brief_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(cluster, "TIMEOUT", 0.5)
    done = run(brief_file, "--scheduler", "tcp://127.0.0.1:9")
    assert (done.exit_code, "--scheduler" in done.stderr) == (2, True)
