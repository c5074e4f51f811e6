"""Candidates of a grid evaluated here and now; ``craft`` has the physics."""

import numpy as np

from refledge.sweeps.craft import Work, evaluated
from refledge.sweeps.frame_mass import PETG_BOX, FrameMass
from refledge.sweeps.grid import Grid
from refledge.sweeps.kinds import facts_of


def evaluate(
    grid: Grid, start: int, stop: int, frame_mass: FrameMass = PETG_BOX
) -> dict[str, np.ndarray]:
    """Candidates ``start``..``stop`` of ``grid``: column name to (n,), as in ``craft.COLUMNS``."""
    return evaluated(Work(grid, facts_of(grid), frame_mass), start, stop)
