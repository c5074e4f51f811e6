"""What stands on a bed without support, voxel by voxel, and designs grown to stand."""

from dataclasses import replace

import numpy as np
import pytest

from refledge.typed import Bools
from refledge.voxels.optimise import optimise
from refledge.voxels.overhang import Overhang
from refledge.voxels.problem import Recipe
from tests.voxels.test_optimise import cantilever

NONE = np.zeros((5, 3, 4), bool)


def hanging(solid: Bools) -> Bools:
    """Solid voxels above the lowest layer along z with none of five solid below; written anew."""
    found = solid.copy()
    found[:, :, 0] = False
    for i, j, k in np.argwhere(found):
        for di, dj in ((0, 0), (1, 0), (-1, 0), (0, 1), (0, -1)):
            x, y = i + di, j + dj
            if 0 <= x < solid.shape[0] and 0 <= y < solid.shape[1] and solid[x, y, k - 1]:
                found[i, j, k] = False
    return found


def test_steps_of_45_degrees_stand_and_ledges_hang() -> None:
    solid = NONE.copy()
    solid[0, 1, 0] = solid[1, 1, 1] = solid[2, 1, 2] = True  # stairs
    ledge = solid.copy()
    ledge[4, 1, 2] = ledge[4, 1, 3] = True  # two over nothing: the upper hangs on the lower
    assert np.array_equal(Overhang(2).standing(ledge, NONE), solid)
    held = NONE.copy()
    held[4, 1, 2] = True
    assert np.array_equal(Overhang(2).standing(ledge, held), ledge)


@pytest.mark.parametrize("axis", [0, 1, 2])
@pytest.mark.parametrize("start", ["low", "high"])
def test_every_axis_and_end(axis: int, start: str) -> None:
    solid = np.random.default_rng(0).random((6, 7, 8)) < 0.4
    turned = np.moveaxis(solid, axis, 2)
    upright = turned if start == "low" else turned[:, :, ::-1]
    found = Overhang(axis, start).standing(solid, np.zeros_like(solid))
    turned = np.moveaxis(found, axis, 2)
    standing = turned if start == "low" else turned[:, :, ::-1]
    assert not hanging(standing).any()
    assert not (standing & ~upright).any()
    lowest = np.argwhere(hanging(upright))[:, 2].min()
    assert np.array_equal(standing[:, :, :lowest], upright[:, :, :lowest])


def test_a_design_grown_to_stand_stands_and_costs_little() -> None:
    """Hardly a voxel is to be dropped; free, the same cantilever hangs at its underside."""
    recipe = Recipe(filter_radius=1.5, stage=20, sharpness=(1.0, 4.0, 16.0))
    free = optimise(cantilever(), recipe)
    held = optimise(cantilever(), replace(recipe, overhang=Overhang(2)))
    solid = held.density > 0.5
    stands = Overhang(2).standing(solid, np.zeros_like(solid))
    assert (solid & ~stands).sum() <= 0.01 * solid.sum()
    assert hanging(free.density > 0.5).sum() > 10
    assert 0.29 < held.best.mass <= 0.3 * 1.003
    assert held.best.compliance < 1.1 * free.best.compliance
