"""A body on standoffs against closed forms (S. S. Rao, Mechanical Vibrations) and a beam frame."""

from math import pi, sqrt

import numpy as np
import pytest

from refledge.analysis.frame import PointMass, Spring, frame_of
from refledge.analysis.isolation import SprungBody, rigid
from refledge.analysis.modal import modes
from refledge.analysis.sections import rectangle

MASS, LOSS = 0.05, 0.2
SIDE, UP = 500.0, 700.0
INERTIA = np.diag([9e-6, 8e-6, 14e-6])


def body(height: float = 0.0, loss: float = LOSS) -> SprungBody:
    """Four standoffs 20 mm out on the axes, ``height`` below the centre of mass."""
    places = [(0.02, 0.0), (0.0, 0.02), (-0.02, 0.0), (0.0, -0.02)]
    mounts = np.array([[x, y, -height] for x, y in places])
    return SprungBody(MASS, INERTIA, mounts, np.array([SIDE, SIDE, UP]), loss)


def test_level_with_its_standoffs_every_mode_is_its_own() -> None:
    """f = sqrt(k / m) / 2 pi; tilting stiffness 2 k r2, turning 4 k r2."""
    wanted = [4 * SIDE / MASS, 4 * SIDE / MASS, 4 * UP / MASS, 2 * UP * 4e-4 / INERTIA[0, 0],
              2 * UP * 4e-4 / INERTIA[1, 1], 4 * SIDE * 4e-4 / INERTIA[2, 2]]  # fmt: skip
    assert body().frequencies() == pytest.approx(sorted(np.sqrt(wanted) / (2 * pi)))


@pytest.mark.parametrize("ratio", [0.3, 1.0, sqrt(2.0), 4.0])
def test_it_passes_what_the_closed_form_says(ratio: float) -> None:
    """|T| = sqrt((1 + loss2) / ((1 - r2)2 + loss2)): base excitation, structural loss."""
    own = sqrt(4 * UP / MASS) / (2 * pi)
    wanted = sqrt((1 + LOSS**2) / ((1 - ratio**2) ** 2 + LOSS**2))
    assert abs(body().passed(ratio * own)[2, 2]) == pytest.approx(wanted)


def test_it_isolates_above_root_two_and_not_below() -> None:
    one = body(loss=0.01)
    own = sqrt(4 * UP / MASS) / (2 * pi)
    assert abs(one.passed(1.42 * own)[2, 2]) < 1.0 < abs(one.passed(1.40 * own)[2, 2])


def test_the_worst_direction_is_worse_than_any_axis() -> None:
    one = body(0.012)
    for frequency in (10.0, 30.0, 80.0):
        axes = np.linalg.norm(one.passed(frequency)[:3, :3], axis=0)
        assert one.most_passed(frequency) >= axes.max() - 1e-12
    assert one.most_passed(1e-3) == pytest.approx(1.0)


def test_all_moves_as_one_with_a_slow_base() -> None:
    assert body(0.012).passed(1e-4) == pytest.approx(np.eye(6), abs=1e-6)


def test_a_turn_moves_a_point_across_its_arm() -> None:
    arm, turn = np.array([1.0, 2.0, 3.0]), np.array([0.1, -0.2, 0.3])
    assert rigid(arm) @ np.concatenate([np.zeros(3), turn]) == pytest.approx(np.cross(turn, arm))


def test_a_beam_frame_on_springs_swings_the_same() -> None:
    """Stiff light beams from the centre of mass to four grounded springs."""
    one = body(0.012)
    nodes = np.vstack([np.zeros((1, 3)), one.mounts])
    frame = frame_of(
        nodes, np.array([[0, n] for n in range(1, 5)]), rectangle(0.01, 0.01), E=1e13, G=4e12,
        rho=1e-3, z_axis=(0.3, 0.4, 0.8), masses=(PointMass(0, MASS, INERTIA, np.zeros(3)),),
        springs=tuple(Spring(n, -1, np.array([SIDE, SIDE, UP, 0, 0, 0])) for n in range(1, 5)),
    )  # fmt: skip
    found, _ = modes(frame, 6)
    assert found == pytest.approx(one.frequencies(), rel=1e-3)
