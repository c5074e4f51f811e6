"""Layout-and-powertrain candidates evaluated in a second, and what a second process gains.

Run: .venv/bin/python benchmarks/layout_candidates.py [millions to sweep into a folder]

"Complete" means: geometry with tip and body gaps, frame mass by the surrogate, all-up mass, hover
(speed, motor current, throttle, battery power), endurance by the sagging pack down to its cut-off,
full thrust with what limits it, footprint, what one lost rotor leaves and after how many losses the
heading is kept. Not: a sized frame.
"""

import os

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[name] = "1"

import math  # noqa: E402  (threads must be set before numpy loads)
import resource  # noqa: E402
import sys  # noqa: E402
import tempfile  # noqa: E402
import time  # noqa: E402
from pathlib import Path  # noqa: E402

import numpy as np  # noqa: E402

from refledge.sweeps.grid import Common, Grid, Motors, Packs, Propellers  # noqa: E402

KINDS = ("four-x", "four-plus", "six-x", "six-plus", "eight-x", "eight-plus", "three-pairs",
         "four-pairs")  # fmt: skip
BLOCK = 1 << 15


def invented_grid(propellers: int, packs: int, motors: int, seed: int = 1) -> Grid:
    """Invented items about a 3 kg aircraft; every combination is a candidate."""
    draw = np.random.default_rng(seed)
    diameter = draw.uniform(0.2, 0.4, propellers)
    CT = draw.uniform(0.09, 0.13, propellers)
    cells = draw.integers(3, 7, packs).astype(float)
    capacity = draw.uniform(4, 16, packs) * 3600
    Kv = draw.uniform(30, 100, motors)
    return Grid(
        kinds=KINDS,
        propellers=Propellers(
            diameter=diameter,
            mass=0.6 * diameter**3,
            CT=CT,
            CP=math.sqrt(2 / math.pi) * CT**1.5 / 0.68,
            CT_power=np.full(propellers, 0.2),
            CP_power=np.full(propellers, 0.18),
            reference=120 / diameter,
            blades=np.full(propellers, 2.0),
        ),
        packs=Packs(
            cells=cells,
            capacity=capacity,
            resistance=0.003 * cells * 5 * 3600 / capacity,
            mass=6.5e-6 * capacity * cells,
            max_current=capacity / 3600 * 20,
            usable=np.full(packs, 0.8),
            lithium_ion=np.zeros(packs),
        ),
        motors=Motors(
            Kv=Kv,
            resistance=4.0 / Kv,
            no_load_current=Kv / 100,
            max_current=draw.uniform(15, 40, motors),
            mass=draw.uniform(0.05, 0.12, motors),
        ),
        common=Common(
            rho=1.16,
            carried=0.9,
            controller_mass=0.016,
            controller_resistance=4e-3,
            controller_current=40.0,
            tip_gap=0.02,
            body_gap=0.015,
            most_tip_speed=200.0,
        ),
        reach=np.full((len(KINDS), packs), 0.09),
    )


def rate_in_process(grid: Grid, blocks: int = 40) -> tuple[float, float]:
    """1/s on one core in processor time, which other work on the cores hardly moves: over all
    blocks, and in the best; what the kinds and propellers cost once is paid before."""
    from refledge.sweeps.evaluate import evaluate  # noqa: PLC0415 - workers read this file too

    evaluate(grid, 0, BLOCK)
    spent, at = [], 0
    for _ in range(blocks):
        begun = time.process_time()
        evaluate(grid, at, at + BLOCK)
        spent.append(time.process_time() - begun)
        at = (at + BLOCK) % (grid.count - BLOCK)
    return blocks * BLOCK / sum(spent), BLOCK / min(spent)


def timed_sweep(grid: Grid, jobs: int) -> tuple[float, float]:
    """s to sweep the grid into a fresh folder, and s of processor of the busiest process.

    For one or two jobs; the second figure stands still when other work shares the cores.
    """
    from refledge.sweeps.run import sweep  # noqa: PLC0415 - workers read this file too

    with tempfile.TemporaryDirectory() as folder:
        begun, before = time.perf_counter(), processor_times()
        sweep(grid, Path(folder), jobs=jobs)
        spent = [now - then for now, then in zip(processor_times(), before, strict=True)]
        return time.perf_counter() - begun, max(spent)


def processor_times() -> tuple[float, float]:
    """s of processor: this process, its finished children."""
    mine, theirs = (
        resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
    )
    return mine.ru_utime + mine.ru_stime, theirs.ru_utime + theirs.ru_stime


def peak_memory() -> float:
    """MB, this process and its largest child."""
    both = (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
    return sum(resource.getrusage(who).ru_maxrss for who in both) / 1024


if __name__ == "__main__":
    million = float(sys.argv[1]) if len(sys.argv) > 1 else 2.0
    motors = max(1, round(million * 1e6 / (len(KINDS) * 50 * 100)))
    grid = invented_grid(50, 100, motors)
    mean, best = rate_in_process(grid)
    print(f"one core, no files   {mean:,.0f} candidates/s of processor time, best {best:,.0f}")
    (one, one_busy), (two, two_busy) = timed_sweep(grid, 1), timed_sweep(grid, 2)
    print(f"{grid.count:,} candidates into Parquet")
    print(f"1 process    {one:7.1f} s ({grid.count / one:,.0f}/s), {one_busy:.1f} s of processor")
    print(f"2 processes  {two:7.1f} s ({grid.count / two:,.0f}/s), {two_busy:.1f} s in the busier")
    print(f"gain {one / two:.2f} on the clock, {one_busy / two_busy:.2f} in processor time")
    print(f"peak memory {peak_memory():.0f} MB, load {os.getloadavg()[0]:.1f}")
