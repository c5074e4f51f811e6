"""Which arm is solved as a solid: the one whose corners are bent hardest."""

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from refledge.verify.beam_forces import worst_arm


def bent(*moments: tuple[float, float]) -> tuple[Any, Any]:
    """A study and a result with arms bent at their roots by upright and level moments, N m; arms
    of one beam beyond the clamp's, 40 mm deep and 20 mm wide."""
    forces = np.zeros((2 * len(moments), 2, 6))
    for row, moment in enumerate(moments):
        forces[2 * row + 1, 0, 4:] = moment
    structure = SimpleNamespace(beams_of=lambda _part, arm: [2 * arm, 2 * arm + 1])
    frame = SimpleNamespace(
        n_arms=len(moments), arm=SimpleNamespace(depth_root=0.04, width=0.02)
    )  # fmt: skip
    study = SimpleNamespace(assessment=SimpleNamespace(structure=structure), frame=frame)
    return study, SimpleNamespace(forces=forces)


@pytest.mark.parametrize(
    ("moments", "worst"),
    [
        (((10.0, 0.0), (9.9, 0.0)), 0),
        (((10.0, 0.0), (-9.0, 2.0)), 1),
        (((10.0, 0.0), (9.0, 0.4)), 0),
        (((10.0, 0.0), (0.0, -6.0)), 1),
    ],
)
def test_level_moments_count_over_the_width(
    moments: tuple[tuple[float, float], ...], worst: int
) -> None:
    assert worst_arm(*bent(*moments)) == worst
