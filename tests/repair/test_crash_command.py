"""``refledge crash``: what it refuses at once, and one whole run."""

import json
import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner

from refledge.interfaces.cli import app
from tests.demo import FOLDER, GIVEN
from tests.repair.conftest import BRIEF


def run(*words: object) -> tuple[int, str]:
    done = CliRunner().invoke(app, [str(word) for word in words])
    return done.exit_code, done.output


@pytest.mark.parametrize(
    ("option", "value", "said"),
    [
        ("--weak-link", "battery", "arm, leg, bolt"),
        ("--speed", "5", "write number and unit"),
        ("--speed", "200 km/h", "at most 30 m/s"),
        ("--service", "120 %", "less than 100 %"),
        ("--flying", "two days", "write number and unit"),
    ],
)
def test_a_wrong_option_is_refused_before_any_work(option: str, value: str, said: str) -> None:
    code, words = run("crash", BRIEF, option, value)
    assert code == 2
    assert said in words


@pytest.mark.slow
def test_a_whole_run_writes_a_page_figures_and_plates(tmp_path: Path) -> None:
    shutil.copytree(FOLDER, tmp_path, dirs_exist_ok=True)
    brief = tmp_path / "brief.toml"
    brief.write_text(brief.read_text(encoding="utf-8") + GIVEN, encoding="utf-8")
    code, words = run("crash", brief, "--samples", 20, "--weak-link", "leg", "--out", tmp_path)
    assert code == 0, words
    document = json.loads((tmp_path / "crash.json").read_text())
    assert sum(case["share"] for case in document["cases"]) == pytest.approx(1.0)
    for case in document["cases"]:
        assert sum(case["first"].values()) + case["nothing"] == pytest.approx(1.0)
        assert all(case["breaks"][part] >= case["first"][part] for part in case["first"])
        assert case["energy_method"]["force_N"] > 100.0
    stock = dict(document["spares"][-1]["stock"])
    laid = [each["piece"]["key"] for plate in document["plates"] for each in plate["laid"]]
    assert {key: laid.count(key) for key in laid} == {k: n for k, n in stock.items() if n}
    assert len(list(tmp_path.glob("spares-*.3mf"))) == len(document["plates"])
    page = (tmp_path / "crash.html").read_text()
    assert "What goes first" in page
    assert "<script" not in page
    (tmp_path / "build.json").write_text("{}")
    assert run("crash", BRIEF, "--samples", 20, "--out", tmp_path)[0] == 1
