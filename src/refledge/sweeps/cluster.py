"""The port to Dask: the only file that imports it, and only when a cluster is asked for."""

from collections.abc import Callable, Iterator, Mapping
from importlib import import_module
from itertools import islice
from typing import Any

from refledge.errors import BuildError, InputError, Problem

TIMEOUT = 20.0  # s, to reach the scheduler
RETRIES = 3
"""Times a chunk is tried again after an error of its own; a lost worker's chunks are always
computed again elsewhere."""

Columns = Mapping[str, Any]


def on_cluster(
    address: str,
    work: Callable[[int, int], Columns],
    bounds: Mapping[int, tuple[int, int]],
    write: Callable[[int, Columns], None],
) -> Iterator[int]:
    """Each chunk's number as it is finished.

    Workers compute, this process writes: they need no shared folder, only Refledge itself. Two
    chunks for each worker are in flight, so memory stays bounded here and there.
    """
    dask: Any = import_module("distributed")  # heavy, and not needed on one machine

    try:
        client = dask.Client(address, timeout=TIMEOUT, set_as_default=False)
    except (OSError, ValueError) as error:
        raise InputError(
            Problem(
                "--scheduler",
                "scheduler",
                address,
                "the address of a running Dask scheduler, such as tcp://host:8786",
                f"start one with 'dask scheduler', and workers; it said: {error}",
            )
        ) from error
    with client:
        shared = client.scatter(work, broadcast=True, hash=False)
        waiting = iter(bounds.items())

        def submit(number: int, span: tuple[int, int]) -> Any:
            return client.submit(_call, shared, number, span, pure=False, retries=RETRIES)

        flight = max(2, 2 * len(client.scheduler_info()["workers"]))
        first = [submit(*each) for each in islice(waiting, flight)]
        running = dask.as_completed(first, loop=client.loop)
        for future in running:
            try:
                number, columns = future.result()
            except Exception as error:
                raise BuildError(f"the cluster gave up on a chunk: {error}") from error
            write(number, columns)
            for each in islice(waiting, 1):
                running.add(submit(*each))
            future.release()
            yield number


def _call(
    work: Callable[[int, int], Columns], number: int, span: tuple[int, int]
) -> tuple[int, Columns]:
    """On the worker."""
    return number, work(*span)
