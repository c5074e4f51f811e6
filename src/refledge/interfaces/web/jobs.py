"""Jobs: long work in processes of their own, with progress, cancel and a list that stays."""

import itertools
import time
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass, replace
from threading import Lock, Thread
from typing import Any

from refledge.interfaces.web.workers import Failed, Worker, Workers

LISTED = 20
"""Jobs remembered."""
AT_ONCE = 2
"""Jobs that run side by side: as many as a small machine has cores."""


@dataclass(frozen=True)
class Job:
    """One job as it stands; ``result`` only once it is done."""

    id: str
    kind: str
    title: str
    state: str
    """waiting, running, done, failed, cancelled"""
    key: str
    """Of the brief and dimensions that it works on."""
    revision: int
    share: float = 0.0
    what: str = ""
    started: float = 0.0
    ended: float = 0.0
    error: Failed | None = None
    result: Any = None

    @property
    def over(self) -> bool:
        return self.state in ("done", "failed", "cancelled")


@dataclass(frozen=True)
class Order:
    """What is to be done."""

    kind: str
    title: str
    payload: Any
    key: str
    revision: int


Told = Callable[[Job], None]


class Jobs:
    """All jobs of one server. ``changed`` is called from any thread, never under our lock."""

    def __init__(self, workers: Workers, changed: Told) -> None:
        self._workers = workers
        self._changed = changed
        self._lock = Lock()
        self._numbers = itertools.count(1)
        self._jobs: dict[str, Job] = {}
        self._running: dict[str, Worker] = {}
        self._waiting: deque[tuple[str, Order]] = deque()

    def start(self, order: Order) -> Job:
        """Begin, or wait for a free place; a job of the same kind that is not over is cancelled."""
        for other in self.all():
            if other.kind == order.kind and not other.over:
                self.cancel(other.id)
        with self._lock:
            job = Job(
                id=f"j{next(self._numbers)}",
                kind=order.kind,
                title=order.title,
                state="waiting",
                key=order.key,
                revision=order.revision,
                started=time.time(),
            )
            self._jobs[job.id] = job
            self._waiting.append((job.id, order))
            self._forget()
        self._changed(job)
        self._next()
        return self.get(job.id) or job

    def get(self, number: str) -> Job | None:
        return self._jobs.get(number)

    def all(self) -> list[Job]:
        """Newest last."""
        with self._lock:
            return list(self._jobs.values())

    def latest(self, kind: str) -> Job | None:
        """The newest job of a kind."""
        return next((job for job in reversed(self.all()) if job.kind == kind), None)

    def cancel(self, number: str) -> Job | None:
        """End a job that is not over; whatever it did is dropped."""
        with self._lock:
            job = self._jobs.get(number)
            if job is None or job.over:
                return job
            job = self._jobs[number] = replace(job, state="cancelled", ended=time.time())
            worker = self._running.pop(number, None)
            self._waiting = deque(each for each in self._waiting if each[0] != number)
        if worker is not None:
            worker.stop()
        self._changed(job)
        self._next()
        return job

    def forget_result(self, number: str) -> None:
        """Let go of a result that has been taken: it may be large."""
        with self._lock:
            if number in self._jobs:
                self._jobs[number] = replace(self._jobs[number], result=None)

    def close(self) -> None:
        """Cancel everything."""
        for job in self.all():
            self.cancel(job.id)

    def _forget(self) -> None:
        """Drop the oldest that are over. Our lock is held."""
        over = [number for number, job in self._jobs.items() if job.over]
        for number in over[: max(0, len(self._jobs) - LISTED)]:
            del self._jobs[number]

    def _next(self) -> None:
        """Start what waits, as far as there is room."""
        while True:
            with self._lock:
                if not self._waiting or len(self._running) >= AT_ONCE:
                    return
                number, order = self._waiting.popleft()
                worker = self._running[number] = self._workers.take()
                job = self._jobs[number] = replace(self._jobs[number], state="running")
            self._changed(job)
            Thread(target=self._work, args=(number, order, worker), daemon=True).start()

    def _work(self, number: str, order: Order, worker: Worker) -> None:
        found = worker.run(order.kind, order.payload, lambda *told: self._moved(number, *told))
        with self._lock:
            job = self._jobs.get(number)
            if job is None or job.state != "running":  # cancelled meanwhile
                return
            self._running.pop(number, None)
            if isinstance(found, Failed):
                job = replace(job, state="failed", error=found, ended=time.time())
            else:
                job = replace(job, state="done", share=1.0, result=found, ended=time.time())
            self._jobs[number] = job
        self._workers.give_back(worker)
        self._changed(job)
        self._next()

    def _moved(self, number: str, what: str, share: float) -> None:
        with self._lock:
            job = self._jobs.get(number)
            if job is None or job.state != "running":
                return
            job = self._jobs[number] = replace(job, what=what, share=share)
        self._changed(job)
