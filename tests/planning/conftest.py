"""The example designed and planned, once for all."""

from pathlib import Path

import pytest

from refledge.inputs.brief import read_brief
from refledge.planning.plan import PrintPlan, plan_prints
from refledge.study import Study, design

EXAMPLE = Path(__file__).parents[1] / "briefs" / "lake-sampler" / "brief.toml"


@pytest.fixture(scope="session")
def study() -> Study:
    return design(read_brief(EXAMPLE))


@pytest.fixture(scope="session")
def plan(study: Study) -> PrintPlan:
    return plan_prints(study)
