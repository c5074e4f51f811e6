"""A worker process starts on numpy and the chunk store alone: imports are most of its cost."""

import pickle
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from refledge.sweeps.craft import Work
from refledge.sweeps.evaluate import evaluate
from refledge.sweeps.frame_mass import PETG_BOX
from refledge.sweeps.grid import Grid
from refledge.sweeps.kinds import facts_of
from refledge.sweeps.store import open_store

HEAVY = ("scipy", "numba", "pint", "matplotlib", "refledge.flight.rotor", "refledge.airframe")
"""Each costs a tenth of a second of processor or more, or brings one that does."""
SCRIPT = """
import pickle, sys
from pathlib import Path
import refledge.interfaces.cli  # a spawned process reads the program's main file too
from refledge.sweeps.working import held_chunk, hold
hold(*pickle.loads(Path(sys.argv[1]).read_bytes()))
held_chunk(0)
print(*sorted(sys.modules))
"""


@pytest.fixture
def loaded(grid: Grid, tmp_path: Path) -> set[str]:
    """Modules in a fresh process after it has done a chunk."""
    store = open_store(tmp_path / "sweep", grid.count, grid.count, "mark")
    told = tmp_path / "work"
    told.write_bytes(pickle.dumps((Work(grid, facts_of(grid), PETG_BOX), store)))
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT, str(told)], check=True, capture_output=True, text=True
    )
    found = store.read(0)
    for name, values in evaluate(grid, 0, grid.count).items():
        assert np.array_equal(found[name], values)
    return set(done.stdout.split())


def test_a_worker_loads_nothing_heavy(loaded: set[str]) -> None:
    assert loaded >= {"numpy", "refledge.sweeps.craft"}
    assert not loaded & set(HEAVY)
