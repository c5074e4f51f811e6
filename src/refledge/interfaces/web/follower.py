"""Solids follow edits in a process of their own; only the newest wish counts."""

import time
from collections.abc import Callable
from threading import Condition, Thread
from typing import Any

from refledge.interfaces.web.workers import Worker, Workers

Followed = Callable[[str, Any, float], None]
"""Told key, what was drawn (or Failed), and the seconds it took since it was asked for."""


class Follower:
    """One worker, one wish at a time."""

    def __init__(self, workers: Workers, followed: Followed) -> None:
        self._workers = workers
        self._followed = followed
        self._change = Condition()
        self._wish: tuple[str, Any, float] | None = None
        self._worker: Worker | None = None
        self._closed = False
        Thread(target=self._follow, daemon=True).start()

    def ask(self, key: str, payload: Any) -> None:
        """Draw this; a wish that has not been begun is forgotten."""
        with self._change:
            self._wish = (key, payload, time.monotonic())
            self._change.notify()

    def close(self) -> None:
        """Stop for good."""
        with self._change:
            self._closed = True
            self._change.notify()
            worker = self._worker
        if worker is not None:
            worker.stop()

    def _follow(self) -> None:
        while (wish := self._next()) is not None:
            key, payload, asked = wish
            found = self._own().run("solids", payload, lambda _what, _share: None)
            if not self._closed:
                self._followed(key, found, time.monotonic() - asked)

    def _next(self) -> tuple[str, Any, float] | None:
        with self._change:
            while self._wish is None and not self._closed:
                self._change.wait()
            wish, self._wish = self._wish, None
            return None if self._closed else wish

    def _own(self) -> Worker:
        """The worker, taken anew where the last one has died."""
        with self._change:
            if self._worker is None or not self._worker.alive:
                self._worker = self._workers.take()
            return self._worker
