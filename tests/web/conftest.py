"""One small study, and a workbench on a copy of the example whose long work is done by fakes."""

import shutil
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from threading import Event
from typing import Any

import pytest
from starlette.testclient import TestClient
from threadpoolctl import threadpool_limits

from refledge import design
from refledge.inputs.brief import parse_brief, read_brief
from refledge.interfaces.web.application import create_app
from refledge.interfaces.web.security import TOKEN, Pass
from refledge.interfaces.web.session import Session
from refledge.interfaces.web.tasks import TASKS
from refledge.interfaces.web.workbench import Workbench
from refledge.study import Study

EXAMPLE = Path(__file__).parents[1] / "briefs" / "lake-sampler"
NEVER = 1e6
"""s; longer than any test waits for sizing to begin by itself."""
PORT = 8999
WISH = '\n[frame]\nmaterial = "ASA"\narm_family = "box"\n'
"""One family in one material: sized in seconds."""


@pytest.fixture(scope="session", autouse=True)
def _one_thread() -> Iterator[None]:
    """Small matrices: threads only get in the way."""
    with threadpool_limits(limits=1, user_api="blas"):
        yield


@pytest.fixture(scope="session")
def small_text() -> str:
    return (EXAMPLE / "brief.toml").read_text(encoding="utf-8") + WISH


@pytest.fixture(scope="session")
def full(small_text: str) -> Study:
    """A whole design, solids included."""
    return design(parse_brief(small_text, "brief.toml", str(EXAMPLE)))


@pytest.fixture(scope="session")
def small(full: Study) -> Study:
    """The same as the workbench has it: without solids."""
    return replace(full, solids={})


@pytest.fixture
def project(tmp_path: Path, small_text: str) -> Path:
    """A project folder with a brief and its table."""
    folder = tmp_path / "lake"
    shutil.copytree(EXAMPLE, folder)
    (folder / "brief.toml").write_text(small_text, encoding="utf-8")
    return folder


class FakeWorker:
    """Does tasks by functions of the test, in the thread that asks; ``stop`` lets go of them."""

    def __init__(self, tasks: dict[str, Callable[..., Any]]) -> None:
        self.tasks = tasks
        self.stopped = Event()

    alive = property(lambda self: not self.stopped.is_set())

    def run(self, name: str, payload: Any, progress: Callable[[str, float], None]) -> Any:
        return self.tasks[name](payload, progress, self.stopped)

    def stop(self) -> None:
        self.stopped.set()


class FakeWorkers:
    """Hands out fakes; ``tasks`` may be filled by a test."""

    def __init__(self) -> None:
        self.tasks: dict[str, Callable[..., Any]] = {}
        self.given: list[FakeWorker] = []

    def prepare(self) -> None:
        pass

    def take(self) -> FakeWorker:
        self.given.append(FakeWorker(self.tasks))
        return self.given[-1]

    def give_back(self, worker: FakeWorker) -> None:
        worker.stop()

    def close(self) -> None:
        pass


@pytest.fixture
def workers() -> FakeWorkers:
    found = FakeWorkers()
    for name in TASKS:
        found.tasks[name] = lambda _payload, _progress, stopped: stopped.wait()
    return found


@pytest.fixture
def bench(project: Path, small: Study, workers: FakeWorkers) -> Iterator[Workbench]:
    """The example open and sized."""
    made = Workbench(project, pause=NEVER, workers=workers)  # type: ignore[arg-type]
    made.session = None
    brief = read_brief(project / "brief.toml")
    made.screen.sized_as(replace(small, brief=brief))
    open_sized(made, project / "brief.toml")
    yield made
    made.close()


def open_sized(bench: Workbench, path: Path) -> None:
    """Open a brief on a screen that has been sized already."""
    bench.session = Session(path)
    with bench.lock:
        bench._moved_on("opened")


@pytest.fixture
def gate() -> Pass:
    return Pass(PORT)


@pytest.fixture
def client(bench: Workbench, gate: Pass) -> TestClient:
    """A page that may ask."""
    return client_of(bench, gate)


def client_of(bench: Workbench, gate: Pass) -> TestClient:
    return TestClient(
        create_app(bench, gate),
        base_url=f"http://127.0.0.1:{gate.port}",
        headers={TOKEN: gate.token},
        raise_server_exceptions=False,
    )
