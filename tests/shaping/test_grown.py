"""A grown part refuses fields that do not fit its grid or one another."""

from dataclasses import replace

import numpy as np
import pytest

from refledge.errors import AnalysisError
from refledge.geometry import kernel
from refledge.shaping.grown import Grown
from refledge.voxels.grid import Grid


def grown() -> Grown:
    grid = Grid((4, 3, 2), 1e-3, (0.01, 0.0, -0.001))
    block = kernel.box((0.01, 0.0, -0.001), (0.011, 0.003, 0.001))
    none = np.zeros(grid.shape, bool)
    return Grown(
        grid=grid, density=np.full(grid.shape, 0.5), keep=none, void=none,
        seats=block, bores=block, print_rotation=np.eye(3),
    )  # fmt: skip


def test_volume_and_origin_come_from_the_grid() -> None:
    part = grown()
    assert part.volume == pytest.approx(0.5 * 24e-9)
    assert part.origin == pytest.approx([0.01, 0.0, -0.001])


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"density": np.zeros((4, 3, 3))}, "shape"),
        ({"density": np.full((4, 3, 2), 1.1)}, "0 to 1"),
        ({"density": np.full((4, 3, 2), np.nan)}, "0 to 1"),
        ({"keep": np.ones((4, 3, 2), bool), "void": np.ones((4, 3, 2), bool)}, "both"),
    ],
)
def test_fields_that_do_not_fit_are_refused(change: dict[str, object], said: str) -> None:
    with pytest.raises(AnalysisError, match=said):
        replace(grown(), **change)  # type: ignore[arg-type]
