"""Shares of voxels against volumes of the drawn solids and of shapes with formulas."""

import numpy as np
import pytest

from refledge.geometry import kernel
from refledge.geometry.profile import circle
from refledge.shaping.envelope import fitted
from refledge.shaping.voxelise import lines_for, solid_shares
from refledge.study import Study
from refledge.voxels.grid import Grid


def test_a_block_between_voxels_gives_exact_shares_upright() -> None:
    grid = Grid((4, 4, 4), 1.0e-3)
    block = kernel.box((1e-3, 1e-3, 0.75e-3), (3e-3, 3e-3, 2.5e-3))
    share = solid_shares(block, grid)
    assert share[1:3, 1:3, :] == pytest.approx(np.broadcast_to([0.25, 1, 0.5, 0], (2, 2, 4)))
    assert share.sum() == pytest.approx(7.0)


def test_a_lying_bar_keeps_volume_and_place() -> None:
    grid = Grid((20, 12, 12), 1e-3, (0.0, -6e-3, -6e-3))
    bar = kernel.extrude(circle((0.4e-3, -0.3e-3), 7e-3), 1e-3, 19e-3, axis="x")
    share = solid_shares(bar, grid)
    volume = np.pi / 4 * 7e-3**2 * 18e-3
    assert share.sum() * 1e-9 == pytest.approx(volume, rel=0.005)
    middle = [float((share * at).sum() / share.sum()) for at in grid.centres()]
    assert middle == pytest.approx([10e-3, 0.4e-3, -0.3e-3], abs=0.02e-3)


def test_what_lies_outside_the_grid_is_left_out() -> None:
    grid = Grid((2, 2, 2), 1e-3)
    assert solid_shares(kernel.box((-1, -1, -1), (1, 1, 1)), grid) == pytest.approx(1.0)
    assert solid_shares(kernel.box((5e-3, 0, 0), (6e-3, 1, 1)), grid).sum() == 0


def test_volume_of_the_arm_at_a_millimetre(study: Study) -> None:
    """The bar of the voxeliser: half a percent at 1 mm."""
    grid = fitted(study.frame, 1e-3)
    volume = solid_shares(study.solids["arm"], grid).sum() * grid.spacing**3
    assert volume == pytest.approx(kernel.volume(study.solids["arm"]), rel=0.005)


@pytest.mark.parametrize(
    ("spacing", "lines"), [(3e-3, 16), (1e-3, 16), (0.5e-3, 8), (0.25e-3, 4), (0.1e-3, 4)]
)
def test_small_voxels_take_fewer_lines(spacing: float, lines: int) -> None:
    assert lines_for(spacing) == lines
