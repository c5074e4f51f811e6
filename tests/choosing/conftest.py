"""The lake team's brief with one arm family and material, so that a frame is sized in seconds."""

from dataclasses import replace
from pathlib import Path

import pytest

from refledge.choosing.compare import Comparison, compare
from refledge.inputs.also import Also
from refledge.inputs.brief import read_brief
from refledge.model.brief import Brief
from refledge.model.items import Condition, Propeller

LAKE = Path(__file__).parents[1] / "briefs" / "lake-sampler"
SMALL = Propeller(
    name="ten by four and a half", mass=0.010, condition=Condition(to_buy=1), diameter=0.254,
    pitch=0.1143,
)  # fmt: skip


@pytest.fixture(scope="session")
def brief() -> Brief:
    lake = read_brief(LAKE / "brief.toml")
    return replace(lake, frame=replace(lake.frame, arm_family="box", material="ASA"))


@pytest.fixture(scope="session")
def comparison_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("layouts")


@pytest.fixture(scope="session")
def comparison(brief: Brief, comparison_folder: Path) -> Comparison:
    """Two finalists of a sweep with one more propeller: the brief's own and the longest hover."""
    return compare(brief, Also(propeller=(SMALL,)), comparison_folder, most=2)
