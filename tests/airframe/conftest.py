"""The demo brief, one sizing task and one frame sized from it, shared by this folder's tests."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from threadpoolctl import threadpool_limits

from refledge.airframe.sizing import Sized, screen
from refledge.airframe.task import Task
from refledge.airframe.task_making import make_task, rotor_model
from refledge.inputs.brief import read_brief
from refledge.model.brief import Brief

EXAMPLES = Path(__file__).parents[2] / "examples"
BRIEFS = Path(__file__).parents[1] / "briefs"


@pytest.fixture(scope="session", autouse=True)
def _one_thread() -> Iterator[None]:
    """Small matrices: threads only get in the way."""
    with threadpool_limits(limits=1, user_api="blas"):
        yield


@pytest.fixture(scope="session")
def brief() -> Brief:
    return read_brief(BRIEFS / "lake-sampler" / "brief.toml")


@pytest.fixture(scope="session")
def task(brief: Brief) -> Task:
    return make_task(brief, "six-x", rotor_model(brief), 3.2, {})


@pytest.fixture(scope="session")
def sized(task: Task) -> Sized:
    """Box arms in ASA, two rounds at the first plate thickness."""
    return screen(task, "box", "ASA")
