"""What a worker process does; a start of its own is most of what a further process costs.

It imports neither scipy nor what needs it: tests/sweeps/test_workers.py.
"""

from collections.abc import Callable
from functools import partial

from threadpoolctl import threadpool_limits

from refledge.sweeps.craft import Work
from refledge.sweeps.store import ChunkStore


def compute_chunk(work: Work, store: ChunkStore, number: int) -> int:
    """Computes and stores one chunk; its number."""
    store.write(number, work.columns(*store.bounds(number)))
    return number


_held: list[Callable[[int], int]] = []  # what this process works on, sent once


def hold(work: Work, store: ChunkStore) -> None:
    """Called once in a worker process."""
    threadpool_limits(limits=1)
    _held[:] = [partial(compute_chunk, work, store)]


def held_chunk(number: int) -> int:
    """In a worker: one chunk of what it holds."""
    return _held[0](number)
