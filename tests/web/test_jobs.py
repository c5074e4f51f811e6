"""Jobs: progress, cancel, replacement, order, what remains of them; the design's own way home."""

import os
import time
from collections.abc import Callable
from dataclasses import replace
from threading import Event
from typing import Any

import pytest
from starlette.testclient import TestClient

from refledge.interfaces.web.child import STANDS_BACK
from refledge.interfaces.web.jobs import AT_ONCE, LISTED, Job, Jobs, Order
from refledge.interfaces.web.workbench import Workbench
from refledge.interfaces.web.workers import Failed, Worker
from refledge.study import Study
from tests.web.conftest import FakeWorkers
from tests.web.test_editing_live import edit, wait_for


def until(true: Callable[[], Any], seconds: float = 20.0) -> None:
    end = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < end, "waited too long"
        time.sleep(0.01)


@pytest.fixture
def told() -> list[Job]:
    return []


@pytest.fixture
def jobs(workers: FakeWorkers, told: list[Job]) -> Jobs:
    return Jobs(workers, told.append)  # type: ignore[arg-type]


def order(kind: str) -> Order:
    return Order(kind, kind, None, "key", 1)


def test_a_job_moves_on_and_is_done(jobs: Jobs, workers: FakeWorkers, told: list[Job]) -> None:
    def work(_payload: Any, progress: Callable[[str, float], None], _stopped: Event) -> str:
        progress("half", 0.5)
        return "result"

    workers.tasks["design"] = work
    job = jobs.start(order("design"))
    until(lambda: told[-1].over)
    assert [each.state for each in told] == ["waiting", "running", "running", "done"]
    assert told[2].what == "half"
    found = jobs.get(job.id)
    assert found is not None
    assert (found.result, found.share) == ("result", 1.0)


def test_a_cancelled_job_ends_its_process_and_stays_cancelled(
    jobs: Jobs, workers: FakeWorkers
) -> None:
    job = jobs.start(order("design"))
    until(lambda: workers.given)
    cancelled = jobs.cancel(job.id)
    assert cancelled is not None
    assert cancelled.state == "cancelled"
    assert workers.given[0].stopped.is_set()
    time.sleep(0.05)
    again = jobs.get(job.id)
    assert again is not None
    assert again.state == "cancelled"
    assert jobs.cancel("j99") is None


def test_a_new_job_takes_the_place_of_one_of_its_kind(jobs: Jobs) -> None:
    first = jobs.start(order("design"))
    second = jobs.start(order("design"))
    states = {job.id: job.state for job in jobs.all()}
    assert states == {first.id: "cancelled", second.id: "running"}


def test_more_jobs_than_cores_wait(jobs: Jobs, workers: FakeWorkers) -> None:
    for kind in "abc":
        workers.tasks[kind] = workers.tasks["design"]
        jobs.start(order(kind))
    assert [job.state for job in jobs.all()] == ["running"] * AT_ONCE + ["waiting"]
    jobs.cancel(jobs.all()[0].id)
    until(lambda: jobs.all()[-1].state == "running")
    jobs.close()


def test_a_failure_keeps_its_words(jobs: Jobs, workers: FakeWorkers, told: list[Job]) -> None:
    workers.tasks["design"] = lambda *_asked: Failed("cannot", "it cannot hover")
    jobs.start(order("design"))
    until(lambda: told[-1].over)
    assert told[-1].state == "failed"
    assert told[-1].error == Failed("cannot", "it cannot hover")


def test_old_jobs_are_forgotten(jobs: Jobs, workers: FakeWorkers) -> None:
    workers.tasks["design"] = lambda *_asked: 1
    for _ in range(LISTED + 5):
        job = jobs.start(order("design"))
        until(lambda job=job: jobs.get(job.id) and jobs.get(job.id).over)  # type: ignore[union-attr]
    assert len(jobs.all()) == LISTED


def test_a_design_that_ends_takes_the_screen(
    bench: Workbench, client: TestClient, workers: FakeWorkers, small: Study
) -> None:
    edit(client, "limits.thrust_margin", "1.9")
    last = bench.events.last

    def work(payload: Any, *_rest: Any) -> Study:
        return replace(small, brief=payload[0])

    workers.tasks["design"] = work
    started = client.post("/api/jobs", json={"kind": "design"})
    assert started.status_code == 202
    wait_for(bench, "results", last)
    until(lambda: client.get("/api/results").json()["basis"] == "sized")
    job = client.get("/api/jobs").json()[-1]
    assert (job["state"], job["current"]) == ("done", True)
    assert client.get(f"/api/jobs/{job['id']}/result").json() == {}
    kept = bench.jobs.get(job["id"])
    assert kept is not None
    assert kept.result is None, "a study is large: it is not kept twice"


def test_a_design_that_has_been_overtaken_is_cancelled(
    bench: Workbench, client: TestClient
) -> None:
    edit(client, "motor.mass", "90 g")
    number = client.post("/api/jobs", json={"kind": "design"}).json()["id"]
    edit(client, "motor.mass", "91 g")
    job = bench.jobs.get(number)
    assert job is not None
    assert job.state == "cancelled"
    assert client.get("/api/results").json()["basis"] == "held"


def test_sizing_begins_by_itself_after_an_edit(
    bench: Workbench, client: TestClient, workers: FakeWorkers
) -> None:
    bench._pause = 0.05
    edit(client, "motor.mass", "90 g")
    until(lambda: bench.jobs.latest("design"))
    assert client.get("/api/results").json()["sizing"] == "running"
    job = bench.jobs.latest("design")
    assert job is not None
    client.delete(f"/api/jobs/{job.id}")
    assert client.get("/api/results").json()["sizing"] == "wanted"
    assert workers.given[-1].stopped.is_set()


def test_a_design_that_fails_says_why(client: TestClient, workers: FakeWorkers) -> None:
    edit(client, "frame.arm_family", "truss")
    workers.tasks["design"] = lambda *_asked: Failed("cannot", "no truss arm fits")
    client.post("/api/jobs", json={"kind": "design"})
    until(lambda: client.get("/api/results").json()["sizing"] == "failed")
    assert client.get("/api/results").json()["why_not"] == "no truss arm fits"
    assert client.get("/api/jobs").json()[-1]["error"]["message"] == "no truss arm fits"


@pytest.mark.parametrize("kind", ["build", "verify"])
def test_jobs_on_results_wait_for_them(client: TestClient, kind: str) -> None:
    edit(client, "motor.mass", "90 g")
    answer = client.post("/api/jobs", json={"kind": kind})
    assert answer.status_code == 409
    assert answer.json()["error"]["kind"] == "busy"


def test_unknown_kinds_and_numbers(client: TestClient) -> None:
    assert client.post("/api/jobs", json={"kind": "sing"}).status_code == 422
    assert client.delete("/api/jobs/j99").status_code == 404
    assert client.get("/api/jobs/j99/result").status_code == 404


def test_only_what_can_be_done_is_listed(client: TestClient) -> None:
    kinds = {each["kind"] for each in client.get("/api/state").json()["job_kinds"]}
    assert {"design", "build", "verify"} <= kinds
    for kind in kinds:
        assert client.post("/api/jobs", json={"kind": kind}).status_code in (202, 409)


@pytest.mark.slow
def test_a_real_process_says_what_went_wrong_and_dies_when_told() -> None:
    worker = Worker()
    try:
        found = worker.run("design", "no brief", lambda _what, _share: None)
        assert isinstance(found, Failed)
        assert found.kind == "fault"
        assert worker.alive, "a fault does not end the process"
        own = os.getpriority(os.PRIO_PROCESS, 0)
        assert os.getpriority(os.PRIO_PROCESS, worker.pid) == min(19, own + STANDS_BACK)
    finally:
        worker.stop()
    assert not worker.alive
    gone = worker.run("design", "again", lambda _what, _share: None)
    assert isinstance(gone, Failed)
