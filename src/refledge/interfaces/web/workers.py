"""Processes for long work: started ahead, one job at a time each, ended at once when cancelled."""

import logging
import os
import signal
import subprocess
import sys
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from threading import Lock
from typing import Any

from refledge.interfaces.web.child import receive, send

_log = logging.getLogger("refledge.web")

Progress = Callable[[str, float], None]
SPARE = 1
"""Idle processes kept ready: a start takes seconds."""


@dataclass(frozen=True)
class Failed:
    """Why a job gave no result."""

    kind: str
    """input, cannot, fault"""
    message: str
    problems: tuple[Any, ...] = ()


class Worker:
    """One child process."""

    def __init__(self) -> None:
        threads = {"OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"}
        self._process = subprocess.Popen(
            [sys.executable, "-m", "refledge.interfaces.web.child"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            env=os.environ | threads,
            start_new_session=True,
        )

    def run(self, name: str, payload: Any, progress: Progress) -> Any:
        """What the task gives, or Failed. Blocks; call ``stop`` from another thread to end it."""
        source, sink = self._process.stdout, self._process.stdin
        assert source is not None
        assert sink is not None
        try:
            send(sink, (name, payload))  # type: ignore[arg-type]
            while (message := receive(source)) is not None:  # type: ignore[arg-type]
                kind, told = message
                if kind == "progress":
                    progress(*told)
                elif kind == "failed":
                    return Failed(*told)
                elif kind == "done":
                    return told
        except OSError:
            pass  # the process is gone: said below
        except Exception as error:
            _log.exception("a job's messages could not be understood")
            return Failed("fault", f"a fault of the program ({type(error).__name__})")
        return Failed("fault", "its process ended before it was done")

    @property
    def pid(self) -> int:
        return self._process.pid

    @property
    def alive(self) -> bool:
        return self._process.poll() is None

    def stop(self) -> None:
        """End the process and whatever it has started."""
        with suppress(ProcessLookupError, PermissionError):
            if hasattr(os, "killpg"):
                os.killpg(self._process.pid, signal.SIGKILL)
            else:
                self._process.kill()
        self._process.wait()
        for stream in (self._process.stdin, self._process.stdout):
            if stream is not None:
                with suppress(OSError):
                    stream.close()


class Workers:
    """A few processes, one of them always ready."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._idle: list[Worker] = []
        self._closed = False

    def prepare(self) -> None:
        """Start what is to be kept ready."""
        with self._lock:
            self._idle = [worker for worker in self._idle if worker.alive]
            while not self._closed and len(self._idle) < SPARE:
                self._idle.append(Worker())

    def take(self) -> Worker:
        """A process for one job; another is made ready in its place."""
        with self._lock:
            ready = [worker for worker in self._idle if worker.alive]
            worker = ready.pop() if ready else Worker()
            self._idle = ready
        self.prepare()
        return worker

    def give_back(self, worker: Worker) -> None:
        """After a job: kept while there are few, else ended."""
        with self._lock:
            if worker.alive and not self._closed and len(self._idle) <= SPARE:
                self._idle.append(worker)
                return
        worker.stop()

    def close(self) -> None:
        """End all that idle."""
        with self._lock:
            self._closed = True
            idle, self._idle = self._idle, []
        for worker in idle:
            worker.stop()
