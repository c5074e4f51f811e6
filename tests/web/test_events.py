"""The event stream: what was missed comes again, what is too old asks for a reload."""

import asyncio
import json
from collections.abc import AsyncIterator, Coroutine
from concurrent.futures import ThreadPoolExecutor
from typing import Any, TypeVar

import pytest

from refledge.interfaces.web import events as events_module
from refledge.interfaces.web.events import KEPT, RELOAD, Events

T = TypeVar("T")


async def take(stream: AsyncIterator[str], count: int) -> list[str]:
    return [await asyncio.wait_for(anext(stream), 5.0) for _ in range(count)]


def played(coroutine: Coroutine[Any, Any, T]) -> T:
    """What it gives, in a thread of its own: a browser's tests leave a loop running in theirs."""
    with ThreadPoolExecutor(1) as pool:
        return pool.submit(asyncio.run, coroutine).result()


def names(lines: list[str]) -> list[tuple[int, str]]:
    """Number and name of each event."""
    found = []
    for line in lines:
        parts = dict(each.split(": ", 1) for each in line.strip().split("\n"))
        found.append((int(parts["id"]), parts["event"]))
    return found


def test_events_after_a_number_come_again_in_order_then_new_ones() -> None:
    events = Events()
    for k in range(5):
        events.publish("job", {"k": k})

    async def page() -> list[str]:
        stream = events.stream(2)
        missed = await take(stream, 4)
        events.publish("solids", {})
        return missed + await take(stream, 1)

    lines = played(page())
    assert lines[0] == ": open\n\n"
    assert names(lines[1:]) == [(3, "job"), (4, "job"), (5, "job"), (6, "solids")]


def test_data_is_one_line_of_json() -> None:
    events = Events()
    events.publish("job", {"what": "two\nlines"})

    async def page() -> list[str]:
        return await take(events.stream(0), 2)

    data = played(page())[1].strip().split("\n")[2]
    assert json.loads(data.removeprefix("data: ")) == {"what": "two\nlines"}


def test_a_fresh_page_gets_only_what_comes() -> None:
    events = Events()
    events.publish("job", {})

    async def page() -> list[str]:
        stream = events.stream(None)
        first = await take(stream, 1)
        events.publish("results", {})
        return first + await take(stream, 1)

    assert names(played(page())[1:]) == [(2, "results")]


@pytest.mark.parametrize("after", [0, 99_999])
def test_what_is_gone_asks_for_a_reload(after: int) -> None:
    """Too old, or of another start of the server."""
    events = Events()
    for k in range(KEPT + 10):
        events.publish("job", {"k": k})

    async def page() -> list[str]:
        return await take(events.stream(after), 1)

    assert played(page()) == [RELOAD]


def test_a_quiet_stream_shows_life_and_ends_with_the_server(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(events_module, "HEARTBEAT", 0.05)
    events = Events()

    async def page() -> list[str]:
        stream = events.stream(None)
        lines = await take(stream, 2)
        assert events.readers == 1
        events.close()
        left = [line async for line in stream]
        assert set(left) <= {": still here\n\n"}
        return lines

    assert played(page())[1] == ": still here\n\n"
    assert events.readers == 0


def test_a_page_that_does_not_listen_is_told_to_reload(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(events_module, "WAITING", 3)
    events = Events()

    async def page() -> list[str]:
        stream = events.stream(None)
        await take(stream, 1)
        for k in range(6):
            events.publish("job", {"k": k})
        await asyncio.sleep(0.05)
        return await take(stream, 1)

    assert played(page()) == [RELOAD]
