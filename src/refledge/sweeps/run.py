"""Run a sweep: in this process, on all cores, or on a cluster that stands already."""

import hashlib
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor, as_completed
from functools import partial
from itertools import islice
from multiprocessing import get_context
from pathlib import Path

import numpy as np
from threadpoolctl import threadpool_limits

from refledge.errors import FlightError
from refledge.sweeps.cluster import on_cluster
from refledge.sweeps.evaluate import evaluate
from refledge.sweeps.frame_mass import PETG_BOX, FrameMass
from refledge.sweeps.grid import Grid
from refledge.sweeps.store import ChunkStore, open_store

CHUNK = 1 << 15
"""Candidates in a chunk: their arrays stay in a core's cache; docs/flight.md has the trial."""
GROUP = 8
"""Chunks computed one after the other and written as one file."""
Progress = Callable[[str, float], None]


def sweep(
    grid: Grid,
    folder: Path,
    *,
    jobs: int = 1,
    scheduler: str = "",
    frame_mass: FrameMass = PETG_BOX,
    chunk: int = GROUP * CHUNK,
    progress: Progress | None = None,
) -> ChunkStore:
    """Every candidate of ``grid`` into ``folder``; chunks already there are not computed again.

    ``jobs`` processes of this machine, or the Dask cluster at ``scheduler`` ("tcp://host:8786").
    Memory holds a few chunks at a time, however many candidates there are.
    """
    if jobs < 1:
        raise FlightError(f"a sweep needs at least one process, not {jobs}")
    store = open_store(folder, grid.count, chunk, sweep_mark(grid, frame_mass))
    missing = store.missing()
    done = store.chunks - len(missing)
    tell = progress or _quiet
    for _ in _engine(grid, store, frame_mass, missing, jobs, scheduler):
        done += 1
        tell("candidates", done / store.chunks)
    return store


def sweep_mark(grid: Grid, frame_mass: FrameMass) -> str:
    """Short text that changes with anything that a sweep's results depend on."""
    law = f"{frame_mass.fixed:.6g} {frame_mass.per_arm:.6g}"
    return hashlib.sha256(f"{grid.fingerprint} {law}".encode()).hexdigest()[:16]


def _engine(
    grid: Grid,
    store: ChunkStore,
    frame_mass: FrameMass,
    missing: list[int],
    jobs: int,
    scheduler: str,
) -> Iterable[int]:
    if scheduler and missing:
        work = partial(chunk_columns, grid, frame_mass)
        bounds = {number: store.bounds(number) for number in missing}
        return on_cluster(scheduler, work, bounds, store.write)
    if jobs == 1:
        return map(partial(compute_chunk, grid, store, frame_mass), missing)
    return _on_cores(grid, store, frame_mass, missing, jobs)


def chunk_columns(
    grid: Grid, frame_mass: FrameMass, bounds: tuple[int, int]
) -> dict[str, np.ndarray]:
    """Columns of the candidates within ``bounds``, block by block."""
    start, stop = bounds
    blocks = [
        evaluate(grid, at, min(at + CHUNK, stop), frame_mass) for at in range(start, stop, CHUNK)
    ]
    return {name: np.concatenate([block[name] for block in blocks]) for name in blocks[0]}


def compute_chunk(grid: Grid, store: ChunkStore, frame_mass: FrameMass, number: int) -> int:
    """Computes and stores one chunk; its number."""
    store.write(number, chunk_columns(grid, frame_mass, store.bounds(number)))
    return number


_held: list[Callable[[int], int]] = []  # what a worker process works on, sent once


def _hold(grid: Grid, store: ChunkStore, frame_mass: FrameMass) -> None:
    threadpool_limits(limits=1)
    _held[:] = [partial(compute_chunk, grid, store, frame_mass)]


def _work(number: int) -> int:
    return _held[0](number)


def _on_cores(
    grid: Grid, store: ChunkStore, frame_mass: FrameMass, missing: list[int], jobs: int
) -> Iterator[int]:
    """Chunks in this process and ``jobs`` - 1 workers, two for each of them in flight.

    This process works too, so that nothing waits while workers start.
    """
    context = get_context("spawn")  # forking a process that runs threads is unsafe
    others = jobs - 1
    with ProcessPoolExecutor(others, context, _hold, (grid, store, frame_mass)) as pool:
        waiting = iter(missing)
        running: set[Future[int]] = {pool.submit(_work, n) for n in islice(waiting, 2 * others)}
        for mine in waiting:
            yield compute_chunk(grid, store, frame_mass, mine)
            finished = {each for each in running if each.done()}
            running -= finished
            running |= {pool.submit(_work, n) for n in islice(waiting, len(finished))}
            yield from (each.result() for each in finished)
        yield from (each.result() for each in as_completed(running))


def _quiet(_what: str, _share: float) -> None:
    """Progress that nobody asked for."""
