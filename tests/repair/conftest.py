"""One sized frame ready to crash, shared by this folder's tests."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from threadpoolctl import threadpool_limits

from refledge.airframe.blows.cases import CrashCase, crash_cases
from refledge.airframe.sizing import Sized, screen
from refledge.airframe.task import Task
from refledge.airframe.task_making import make_task, rotor_model
from refledge.inputs.brief import read_brief
from refledge.repair.marching import Model, make_model

BRIEF = Path(__file__).parents[1] / "briefs" / "lake-sampler" / "brief.toml"


@pytest.fixture(scope="session", autouse=True)
def _one_thread() -> Iterator[None]:
    with threadpool_limits(limits=1, user_api="blas"):
        yield


@pytest.fixture(scope="session")
def task() -> Task:
    brief = read_brief(BRIEF)
    return make_task(brief, "six-x", rotor_model(brief), 3.2, {})


@pytest.fixture(scope="session")
def sized(task: Task) -> Sized:
    return screen(task, "box", "ASA")


@pytest.fixture(scope="session")
def model(task: Task, sized: Sized) -> Model:
    return make_model(task, sized.frame, sized.assessment)


@pytest.fixture(scope="session")
def cases(model: Model) -> dict[str, CrashCase]:
    return {case.key: case for case in crash_cases(model.structure, model.points)}
