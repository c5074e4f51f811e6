"""The example's study, designed once for all tests here."""

from pathlib import Path

import pytest

from refledge.inputs.brief import read_brief
from refledge.study import Study, design

EXAMPLE = Path(__file__).parents[1] / "briefs" / "lake-sampler" / "brief.toml"


@pytest.fixture(scope="session")
def study() -> Study:
    return design(read_brief(EXAMPLE))
