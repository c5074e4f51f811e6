"""A runner of commands, a build that the bench reads, recordings."""

import subprocess
import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner

from refledge.inputs.starter import starter_text
from refledge.interfaces import cli
from refledge.outputs.record import study_json
from tests.interfaces.benching import BENCH, Run
from tests.outputs.fake_study import fake_study


@pytest.fixture
def run() -> Run:
    return lambda *words: CliRunner().invoke(cli.app, [str(word) for word in words])


@pytest.fixture(scope="session")
def build(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A build folder with what the bench reads of it."""
    folder = tmp_path_factory.mktemp("build")
    (folder / "study.json").write_text(study_json(fake_study()), encoding="utf-8")
    (folder / "brief.toml").write_text(starter_text(), encoding="utf-8")
    return folder


@pytest.fixture(scope="session")
def recordings(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """As the documented script makes them."""
    folder = tmp_path_factory.mktemp("recordings")
    script = BENCH / "make_recordings.py"
    subprocess.run([sys.executable, str(script), str(folder)], check=True, capture_output=True)
    return folder
