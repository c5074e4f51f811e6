"""What happened, told to every open page, with the last of it kept for those that come back."""

import asyncio
import json
from collections import deque
from collections.abc import AsyncIterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from threading import Lock
from typing import Any

KEPT = 500
"""Events kept for replay."""
WAITING = 1000
"""Events that one slow page may be behind before it is told to load anew."""
HEARTBEAT = 15.0
"""s between signs of life on a quiet stream."""


@dataclass(frozen=True)
class Event:
    """One line of the stream."""

    number: int
    name: str
    data: str
    """JSON."""

    def text(self) -> str:
        """As the event-stream format has it (WHATWG HTML, Server-sent events)."""
        return f"id: {self.number}\nevent: {self.name}\ndata: {self.data}\n\n"


RELOAD = "event: reload\ndata: {}\n\n"


class _Reader:
    """One open page."""

    def __init__(self, loop: asyncio.AbstractEventLoop) -> None:
        self.loop = loop
        self.queue: asyncio.Queue[Event | None] = asyncio.Queue(WAITING)
        self.lost = False

    def tell(self, event: Event | None) -> None:
        """From any thread. A closed loop has no page left to tell."""
        with suppress(RuntimeError):
            self.loop.call_soon_threadsafe(self._put, event)

    def _put(self, event: Event | None) -> None:
        try:
            self.queue.put_nowait(event)
        except asyncio.QueueFull:
            self.lost = True


class Events:
    """The log of events and its readers; safe from any thread."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._kept: deque[Event] = deque(maxlen=KEPT)
        self._readers: set[_Reader] = set()
        self._closed = False
        self.last = 0
        """Number of the newest event."""

    def publish(self, name: str, data: Any) -> None:
        """Tell every page."""
        text = json.dumps(data, ensure_ascii=False, allow_nan=False)
        with self._lock:
            self.last += 1
            event = Event(self.last, name, text)
            self._kept.append(event)
            for reader in self._readers:
                reader.tell(event)

    def close(self) -> None:
        """End every stream, so that the server can stop."""
        with self._lock:
            self._closed = True
            for reader in self._readers:
                reader.tell(None)

    @property
    def readers(self) -> int:
        """Open streams."""
        return len(self._readers)

    async def stream(self, after: int | None) -> AsyncIterator[str]:
        """Lines for one page: what it missed since ``after``, then what comes."""
        reader = _Reader(asyncio.get_running_loop())
        with self._reading(reader, after) as missed:
            yield ": open\n\n" if missed is not None else RELOAD
            for event in missed or ():
                yield event.text()
            while not self._closed:
                try:
                    told = await asyncio.wait_for(reader.queue.get(), HEARTBEAT)
                except TimeoutError:
                    yield ": still here\n\n"
                    continue
                if told is None:
                    return
                if reader.lost:
                    yield RELOAD
                    return
                yield told.text()

    @contextmanager
    def _reading(self, reader: _Reader, after: int | None) -> Any:
        """The events since ``after``; None where some of them are gone."""
        with self._lock:
            self._readers.add(reader)
            missed = self._since(after)
        try:
            yield missed
        finally:
            with self._lock:
                self._readers.discard(reader)

    def _since(self, after: int | None) -> tuple[Event, ...] | None:
        if after is None:
            return ()
        first = self._kept[0].number if self._kept else self.last + 1
        if after > self.last or after + 1 < first:
            return None
        return tuple(event for event in self._kept if event.number > after)
