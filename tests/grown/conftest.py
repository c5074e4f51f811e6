"""The example with the stored arm in it, designed once for all."""

from dataclasses import replace
from pathlib import Path

import pytest

from refledge.airframe import sizing
from refledge.inputs.brief import parse_brief
from refledge.inputs.grown import read_grown_arm
from refledge.inputs.grown_text import RECORD
from refledge.model.brief import Brief
from refledge.model.grown import GrownArm
from refledge.study import Study, design
from tests.grown.stored import EXAMPLE, STORED


@pytest.fixture(scope="session")
def arm() -> GrownArm:
    return read_grown_arm(STORED / RECORD)


@pytest.fixture(scope="session")
def brief() -> Brief:
    text = (EXAMPLE / "brief.toml").read_text()
    named = f'\n[frame]\ngrown_arm = "{(STORED / RECORD).as_posix()}"\n'
    found = parse_brief(text + named, "brief.toml", str(EXAMPLE))
    return replace(found, layout=replace(found.layout, kind="six-x"))


@pytest.fixture(scope="session")
def study(brief: Brief) -> Study:
    """To be quick the rest is sized with two plate thicknesses and one pass."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(sizing, "PLATES", (4e-3, 5e-3))
        patch.setattr("refledge.study.RESIZING_PASSES", 1)
        return design(brief)


@pytest.fixture(scope="session")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("grown")
