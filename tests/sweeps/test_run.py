"""Sweeps into a folder: whole, resumed, in processes, on a cluster that loses a worker."""

import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import pytest

from refledge.errors import AnalysisError, FlightError, InputError
from refledge.sweeps import run as runs
from refledge.sweeps.craft import Work
from refledge.sweeps.evaluate import evaluate
from refledge.sweeps.grid import Grid
from refledge.sweeps.pareto import OBJECTIVES, nondominated, pareto_set
from refledge.sweeps.run import sweep
from refledge.sweeps.store import MANIFEST, ChunkStore


def gathered(store: ChunkStore) -> dict[str, np.ndarray]:
    chunks = list(store)
    return {name: np.concatenate([chunk[name] for chunk in chunks]) for name in chunks[0]}


def assert_same(store: ChunkStore, grid: Grid) -> None:
    whole, found = evaluate(grid, 0, grid.count), gathered(store)
    assert list(found) == list(whole)
    for name, values in whole.items():
        assert np.array_equal(found[name], values), name


def test_chunks_hold_every_candidate_once(grid: Grid, tmp_path: Path) -> None:
    told: list[float] = []
    store = sweep(grid, tmp_path, chunk=50, progress=lambda _, share: told.append(share))
    assert store.chunks == 4
    assert told == [0.25, 0.5, 0.75, 1.0]
    assert store.missing() == []
    assert_same(store, grid)
    assert not list(tmp_path.glob(".chunk-*"))


def test_finished_chunks_are_not_computed_again(
    grid: Grid, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Interrupted in the third chunk, with one file cut short as by a crash of the machine."""
    done: list[int] = []
    compute = runs.compute_chunk

    def failing(work: Work, store: ChunkStore, number: int) -> int:
        if len(done) == 2:
            raise KeyboardInterrupt
        done.append(number)
        return compute(work, store, number)

    monkeypatch.setattr(runs, "compute_chunk", failing)
    with pytest.raises(KeyboardInterrupt):
        sweep(grid, tmp_path, chunk=50)
    first = tmp_path / "chunk-000000.parquet"
    second = tmp_path / "chunk-000001.parquet"
    second.write_bytes(second.read_bytes()[:100])
    before = first.stat().st_mtime_ns
    again: list[int] = []

    def counting(work: Work, store: ChunkStore, number: int) -> int:
        again.append(number)
        return compute(work, store, number)

    monkeypatch.setattr(runs, "compute_chunk", counting)
    assert_same(sweep(grid, tmp_path, chunk=50), grid)
    assert again == [1, 2, 3]
    assert first.stat().st_mtime_ns == before


def test_a_chunk_with_rows_missing_counts_as_missing(grid: Grid, tmp_path: Path) -> None:
    store = sweep(grid, tmp_path, chunk=50)
    store.write(2, {name: values[:-1] for name, values in store.read(2).items()})
    assert store.missing() == [2]
    assert_same(sweep(grid, tmp_path, chunk=50), grid)


def test_another_sweep_in_the_folder_is_refused(
    grid: Grid, grid_of: Callable[..., Grid], tmp_path: Path
) -> None:
    sweep(grid, tmp_path, chunk=50)
    assert (tmp_path / MANIFEST).exists()
    with pytest.raises(InputError, match="another sweep"):
        sweep(grid_of(motors=4), tmp_path, chunk=50)
    with pytest.raises(InputError, match="another sweep"):
        sweep(grid, tmp_path, chunk=60)
    with pytest.raises(FlightError):
        sweep(grid, tmp_path, jobs=0)


@pytest.mark.slow
def test_processes_give_the_same(grid_of: Callable[..., Grid], tmp_path: Path) -> None:
    grid = grid_of(motors=200)
    assert_same(sweep(grid, tmp_path, jobs=2, chunk=1000), grid)


def test_nobody_listening_is_said(
    grid: Grid, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("refledge.sweeps.cluster.TIMEOUT", 0.5)
    with pytest.raises(InputError, match="scheduler"):
        sweep(grid, tmp_path, scheduler="tcp://127.0.0.1:9")


@pytest.fixture
def cluster(tmp_path: Path) -> Iterator[tuple[str, list[subprocess.Popen[bytes]]]]:
    """A scheduler and two workers, each a process of its own, as on three machines."""
    note = tmp_path / "scheduler.json"
    started = [launch("scheduler", "--port", "0", "--no-dashboard", "--scheduler-file", str(note))]
    try:
        wait_for(note.exists)
        for name in ("one", "two"):
            started.append(
                launch(
                    "worker", "--scheduler-file", str(note), "--nthreads", "1", "--no-nanny",
                    "--no-dashboard", "--name", name, "--local-directory", str(tmp_path / name),
                )
            )  # fmt: skip
        from distributed import Client  # noqa: PLC0415  (heavy; only here)

        with Client(scheduler_file=str(note), set_as_default=False) as client:
            client.wait_for_workers(2, timeout=30)
            address = client.scheduler.address
        yield address, started
    finally:
        for process in started:
            process.kill()
            process.wait()


def launch(what: str, *options: str) -> subprocess.Popen[bytes]:
    command = [sys.executable, "-m", f"distributed.cli.dask_{what}", *options]
    return subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)


def wait_for(ready: Callable[[], bool], seconds: float = 30.0) -> None:
    until = time.monotonic() + seconds
    while not ready():
        assert time.monotonic() < until, "the cluster did not start"
        time.sleep(0.05)


@pytest.mark.slow
def test_a_killed_worker_changes_nothing(
    cluster: tuple[str, list[subprocess.Popen[bytes]]],
    grid_of: Callable[..., Grid],
    tmp_path: Path,
) -> None:
    """One worker is killed, not stopped, after the third of many chunks."""
    address, processes = cluster
    grid, seen = grid_of(motors=2000), []

    def watch(_: str, share: float) -> None:
        seen.append(share)
        if len(seen) == 3:
            processes[2].kill()

    store = sweep(grid, tmp_path / "sweep", scheduler=address, chunk=2000, progress=watch)
    assert processes[2].wait() != 0
    assert len(seen) == store.chunks == 60
    assert_same(store, grid)
    local = sweep(grid, tmp_path / "local", chunk=2000)
    assert all(store.path(k).read_bytes() == local.path(k).read_bytes() for k in range(60))


def test_front_is_what_comparing_every_pair_leaves() -> None:
    random = np.random.default_rng(2)
    costs = random.integers(0, 6, size=(300, 3)).astype(float)
    no_worse = np.all(costs[None] <= costs[:, None], axis=2)
    better = np.any(costs[None] < costs[:, None], axis=2)
    assert np.array_equal(nondominated(costs), ~np.any(no_worse & better, axis=1))
    assert len(nondominated(costs[:0])) == 0


def test_front_does_not_depend_on_the_chunks(grid_of: Callable[..., Grid], tmp_path: Path) -> None:
    grid = grid_of(motors=60)
    one = pareto_set(sweep(grid, tmp_path / "a", chunk=10**6))
    many = pareto_set(sweep(grid, tmp_path / "b", chunk=170))
    assert np.array_equal(one["candidate"], many["candidate"])
    assert 3 < len(one["candidate"]) < grid.count / 2
    costs = np.column_stack([sign * one[name] for name, sign in OBJECTIVES.items()])
    assert np.all(nondominated(costs))


def test_limits_narrow_the_front_and_nothing_left_is_said(grid: Grid, tmp_path: Path) -> None:
    store = sweep(grid, tmp_path)
    chosen = pareto_set(store, least_margin=1.8, most_mass=3.0)
    assert np.all(chosen["thrust_margin"] >= 1.8)
    assert np.all(chosen["all_up_mass"] <= 3.0)
    assert np.all(chosen["hovers"])
    with pytest.raises(AnalysisError, match="relax"):
        pareto_set(store, least_endurance=1e6)


def test_a_coarse_front_is_small_and_stands_for_the_whole(
    grid_of: Callable[..., Grid], tmp_path: Path
) -> None:
    """Every candidate of the exact front has one in the coarse front that is no worse by more than
    a box and a half of 3 %; nothing in the coarse one is beaten by more than that."""
    store = sweep(grid_of(motors=60), tmp_path, chunk=400)
    exact, coarse = pareto_set(store), pareto_set(store, within=0.03)
    assert 0 < len(coarse["candidate"]) < len(exact["candidate"])
    signs = np.array(list(OBJECTIVES.values()))

    def table(front: dict[str, np.ndarray]) -> np.ndarray:
        return np.column_stack([front[name].astype(float) for name in OBJECTIVES])

    ratio = table(coarse)[None] / np.maximum(table(exact)[:, None], 1e-12)
    ratio[(table(exact)[:, None] == 0) & (table(coarse)[None] == 0)] = 1.0
    worse = np.where(signs > 0, ratio, 1 / np.maximum(ratio, 1e-12))
    assert np.all(np.min(np.max(worse, axis=2), axis=1) < 1.03**1.5)


def test_the_front_does_not_depend_on_the_chunks(
    grid_of: Callable[..., Grid], tmp_path: Path
) -> None:
    grid = grid_of(motors=12)
    fronts = [
        pareto_set(sweep(grid, tmp_path / str(chunk), chunk=chunk)) for chunk in (37, 200, 5000)
    ]
    for each in fronts[1:]:
        assert sorted(each["candidate"].tolist()) == sorted(fronts[0]["candidate"].tolist())
