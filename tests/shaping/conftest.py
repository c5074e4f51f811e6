"""The example's study with its arm's family and plastic given, designed once for all tests here."""

from dataclasses import replace
from pathlib import Path

import pytest

from refledge.inputs.brief import read_brief
from refledge.shaping.figures import Stand, stand_of
from refledge.shaping.shape import Shaped, Wish, shape_arm
from refledge.shaping.space import Space, space_of
from refledge.study import Study, design

EXAMPLE = Path(__file__).parents[2] / "examples" / "lake-sampler" / "brief.toml"
QUICK = Wish(voxel=3e-3, iterations=20)


@pytest.fixture(scope="session")
def study() -> Study:
    brief = read_brief(EXAMPLE)
    frame = replace(brief.frame, material="ASA", arm_family="truss")
    return design(replace(brief, frame=frame, layout=replace(brief.layout, kind="six-x")))


@pytest.fixture(scope="session")
def space(study: Study) -> Space:
    """Coarse: 3 mm."""
    return space_of(study, 3e-3)


@pytest.fixture(scope="session")
def stand(study: Study, space: Space) -> Stand:
    return stand_of(study, space, "cpu")


@pytest.fixture(scope="session")
def shaped(study: Study) -> Shaped:
    return shape_arm(study, QUICK)
