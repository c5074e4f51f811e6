"""The example designed and planned, once for all."""

import pytest

from refledge.planning.plan import PrintPlan, plan_prints
from refledge.study import Study
from tests.demo import demo


@pytest.fixture(scope="session")
def study() -> Study:
    return demo()


@pytest.fixture(scope="session")
def plan(study: Study) -> PrintPlan:
    return plan_prints(study)
