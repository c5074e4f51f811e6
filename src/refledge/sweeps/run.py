"""Run a sweep: in this process, on all cores, or on a cluster that stands already."""

import hashlib
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor, as_completed
from itertools import islice
from multiprocessing import get_context
from pathlib import Path

from refledge.errors import FlightError
from refledge.sweeps.cluster import on_cluster
from refledge.sweeps.craft import CHUNK, Work
from refledge.sweeps.frame_mass import PETG_BOX, FrameMass
from refledge.sweeps.grid import Grid
from refledge.sweeps.kinds import facts_of
from refledge.sweeps.store import ChunkStore, open_store
from refledge.sweeps.working import compute_chunk, held_chunk, hold

GROUP = 8
"""Blocks computed one after the other and written as one chunk."""
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
    if not missing:
        return store
    for _ in _engine(Work(grid, facts_of(grid), frame_mass), store, missing, jobs, scheduler):
        done += 1
        tell("candidates", done / store.chunks)
    return store


def sweep_mark(grid: Grid, frame_mass: FrameMass) -> str:
    """Short text that changes with anything that a sweep's results depend on."""
    law = f"{frame_mass.fixed:.6g} {frame_mass.per_arm:.6g}"
    return hashlib.sha256(f"{grid.fingerprint} {law}".encode()).hexdigest()[:16]


def _engine(
    work: Work, store: ChunkStore, missing: list[int], jobs: int, scheduler: str
) -> Iterable[int]:
    if scheduler:
        bounds = {number: store.bounds(number) for number in missing}
        return on_cluster(scheduler, work.columns, bounds, store.write)
    if jobs == 1:
        return (compute_chunk(work, store, number) for number in missing)
    return _on_cores(work, store, missing, jobs)


def _on_cores(work: Work, store: ChunkStore, missing: list[int], jobs: int) -> Iterator[int]:
    """Chunks in this process and ``jobs`` - 1 workers, two for each of them in flight.

    This process works too, so that nothing waits while workers start.
    """
    context = get_context("spawn")  # forking a process that runs threads is unsafe
    others = jobs - 1
    with ProcessPoolExecutor(others, context, hold, (work, store)) as pool:
        waiting = iter(missing)
        running: set[Future[int]] = {
            pool.submit(held_chunk, n) for n in islice(waiting, 2 * others)
        }
        for mine in waiting:
            yield compute_chunk(work, store, mine)
            finished = {each for each in running if each.done()}
            running -= finished
            running |= {pool.submit(held_chunk, n) for n in islice(waiting, len(finished))}
            yield from (each.result() for each in finished)
        yield from (each.result() for each in as_completed(running))


def _quiet(_what: str, _share: float) -> None:
    """Progress that nobody asked for."""
