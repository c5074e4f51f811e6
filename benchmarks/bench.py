"""The bench's speeds and honesty: readings, recordings, and how often intervals hold the truth.

Run: .venv/bin/python benchmarks/bench.py [benches]
"""

import os

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[name] = "1"

import sys  # noqa: E402  (threads must be set before numpy loads)
import time  # noqa: E402
from collections.abc import Callable  # noqa: E402
from dataclasses import replace  # noqa: E402
from pathlib import Path  # noqa: E402

import numpy as np  # noqa: E402

sys.path.insert(0, str(Path(__file__).parents[1]))

from tests.bench.sessions import (  # noqa: E402
    bar,
    bench_file,
    cantilever,
    series_of,
    session,
    simulated_bench,
)
from tests.bench.sounds import recorded, taps  # noqa: E402

from refledge.bench.reduce import reduce_session  # noqa: E402
from refledge.bench.tap import tap_test  # noqa: E402
from refledge.inputs.cards import material_cards  # noqa: E402

CARD = material_cards()["PETG"]
RATIO = CARD.E_xy.value / CARD.G_xz.value
READINGS = 10_000


def best_of(times: int, work: Callable[[], object]) -> float:
    """Seconds of the least disturbed run."""
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return min(taken)


def many_readings() -> float:
    """Seconds to reduce 10,000 readings of one bar at two spans."""
    masses = tuple(np.linspace(0, 0.06, READINGS // 2).tolist())
    rng = np.random.default_rng(1)
    series = tuple(
        series_of(s, cantilever(s, 2e9, 0.01, 0.004, RATIO), rng, 5e-6, masses=masses)
        for s in (0.06, 0.12)
    )
    file = session(bench_file(specimen=(bar(),), series=series))
    return best_of(3, lambda: reduce_session(file, CARD))


def a_minute_of_taps() -> float:
    """Seconds for 60 s at 48 kHz with 59 taps of three modes."""
    sound = recorded(taps([(87, 0.015, 0.5), (310, 0.01, 0.3), (720, 0.02, 0.2)], count=59))
    return best_of(3, lambda: tap_test(sound))


def coverage(benches: int) -> None:
    """Share of 95 % intervals that hold the spool's modulus, by pieces and noise."""
    print(f"coverage of 95 % intervals, {benches} benches a line: propagation, Monte Carlo")
    for pieces in (1, 2, 3, 5):
        rng = np.random.default_rng(pieces)
        hits = np.zeros(2)
        for _ in range(benches):
            file, truth = simulated_bench(rng, pieces, RATIO)
            (m,) = reduce_session(session(file), CARD, 4000).measured
            hits += (m.low <= truth <= m.high, m.carlo_low <= truth <= m.carlo_high)
        print(f"  {pieces} pieces: {hits[0] / benches:.3f}, {hits[1] / benches:.3f}")
    rng = np.random.default_rng(99)
    hits = np.zeros(2)
    for _ in range(benches):
        file, truth = simulated_bench(rng, 3, RATIO)
        vague = replace(file, gauges=replace(file.gauges, size=4e-5))
        (m,) = reduce_session(session(vague), CARD, 4000).measured
        hits += (m.low <= truth <= m.high, m.carlo_low <= truth <= m.carlo_high)
    print(f"  3 pieces, calipers said twice as bad: {hits[0] / benches:.3f}, "
          f"{hits[1] / benches:.3f}")  # fmt: skip


if __name__ == "__main__":
    print(f"{READINGS} readings reduced in {many_readings():.3f} s")
    print(f"60 s at 48 kHz in {a_minute_of_taps():.3f} s")
    coverage(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)
