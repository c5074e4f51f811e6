"""Layouts: symmetry, clearances, turn directions, allocation."""

import math
from collections.abc import Callable
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from refledge.errors import FlightError
from refledge.flight.coaxial import BALANCED_THRUST_RATIO
from refledge.flight.kinds import rotor_count
from refledge.flight.layout import lay_out, layout_options, with_heights
from refledge.model.layout import Layout
from refledge.model.wishes import LAYOUT_KINDS, LayoutWish
from refledge.typed import Floats

READY = LAYOUT_KINDS[:-1]
EVEN_X = ("four-x", "six-x", "eight-x", "four-pairs")
ARMS = {"four": 4, "six": 6, "eight": 8, "three": 3}
D = 0.28
Maker = Callable[[str], Layout]


def _make(kind: str, **wish: Any) -> Layout:
    return lay_out(LayoutWish(**wish), kind, D, 0.06, 0.05, -0.04, torque_ratio=0.017)


def _rows(*columns: Floats) -> Floats:
    """Rows sorted so that two sets of rotors compare whatever their numbering."""
    rows = np.asarray(np.column_stack(columns), dtype=np.float64).round(9) + 0.0
    return rows[np.lexsort(rows.T)]


@pytest.mark.parametrize("kind", READY)
def test_mirror_symmetry(kind: str) -> None:
    layout = _make(kind)
    mirrored = layout.positions * (1, -1, 1)
    np.testing.assert_allclose(_rows(mirrored), _rows(layout.positions), atol=1e-9)


@pytest.mark.parametrize("kind", EVEN_X)
def test_mirror_image_turns_the_other_way(kind: str) -> None:
    layout = _make(kind)
    spin = np.array(layout.spin)
    mirrored = _rows(layout.positions * (1, -1, 1), -spin)
    np.testing.assert_allclose(mirrored, _rows(layout.positions, spin), atol=1e-9)


@pytest.mark.parametrize("kind", READY)
def test_rotation_symmetry(kind: str) -> None:
    layout = _make(kind)
    n_arms = ARMS[kind.split("-", maxsplit=1)[0]]
    assert layout.n_arms == n_arms
    assert layout.n_rotors == rotor_count(kind)
    step = 2 * math.pi / n_arms
    turn = np.array([[math.cos(step), -math.sin(step), 0], [math.sin(step), math.cos(step), 0]])
    turned = np.column_stack((layout.positions @ turn.T, layout.positions[:, 2]))
    np.testing.assert_allclose(_rows(turned), _rows(layout.positions), atol=1e-9)


@pytest.mark.parametrize(
    ("kind", "degrees"),
    [
        ("four-x", (-45, -135, 135, 45)),
        ("four-plus", (0, -90, 180, 90)),
        ("six-x", (-30, -90, -150, 150, 90, 30)),
        ("three-pairs", (-60, 180, 60)),
    ],
)
def test_arms_run_clockwise_from_the_nose(kind: str, degrees: tuple[float, ...]) -> None:
    np.testing.assert_allclose(np.degrees(_make(kind).arm_angles), degrees, atol=1e-9)


def test_rotor_one_of_four_x_is_ahead_on_the_right() -> None:
    x, y, _ = _make("four-x").positions[0]
    assert x > 0 > y


@pytest.mark.parametrize("kind", READY)
def test_neighbouring_tips_keep_their_gap_and_tips_clear_the_body(kind: str) -> None:
    layout = _make(kind)
    plan = layout.positions[layout.upper, :2]
    apart = np.linalg.norm(plan[:, None] - plan[None, :], axis=2) + 9 * np.eye(len(plan))
    assert layout.tip_gap == pytest.approx(np.min(apart) - D, abs=1e-12)
    past_body = layout.motor_radius - D / 2 - 0.06
    wish = LayoutWish()
    slack = min(layout.tip_gap - wish.tip_gap, past_body - wish.body_gap)
    assert slack == pytest.approx(0.0, abs=1e-12)  # the shortest arm that both allow


@pytest.mark.parametrize("kind", READY)
def test_footprint_is_the_greatest_width(kind: str) -> None:
    layout = _make(kind)
    bearing = np.radians(np.arange(0.0, 180.0, 0.25))
    across = layout.positions[:, :2] @ np.vstack((np.cos(bearing), np.sin(bearing)))
    widest = np.max(np.ptp(across, axis=0)) + D
    assert layout.footprint == pytest.approx(widest, rel=1e-5)  # cosine of an eighth of a degree


@pytest.mark.parametrize("kind", READY)
def test_turn_directions_balance(kind: str) -> None:
    layout = _make(kind)
    assert sum(layout.spin) == 0
    if layout.paired:
        assert layout.upper == (True, False) * layout.n_arms
        assert layout.arm_of_rotor == tuple(i // 2 for i in range(layout.n_rotors))
        assert all(layout.spin[i] == -layout.spin[i + 1] for i in range(0, layout.n_rotors, 2))
    else:
        around = (*layout.spin, layout.spin[0])
        assert all(one == -other for one, other in pairwise(around))


@pytest.mark.parametrize("kind", READY)
def test_allocation_is_force_and_moment_about_the_origin(kind: str) -> None:
    layout = _make(kind)
    thrust = np.arange(1.0, layout.n_rotors + 1)
    force = np.zeros((layout.n_rotors, 3))
    force[:, 2] = thrust
    moment = np.sum(np.cross(layout.positions, force), axis=0)
    total, roll, pitch, yaw = layout.allocation @ thrust
    assert total == pytest.approx(np.sum(thrust))
    assert (roll, pitch) == pytest.approx((moment[0], moment[1]), abs=1e-12)
    ratio = np.where(layout.upper, 0.017, 0.017 * BALANCED_THRUST_RATIO)
    assert yaw == pytest.approx(np.sum(-np.array(layout.spin) * ratio * thrust))


def test_a_counter_clockwise_rotor_yaws_the_frame_clockwise() -> None:
    layout = _make("four-x")
    assert layout.spin[0] == 1
    assert layout.allocation[3, 0] == pytest.approx(-0.017)


def test_heights_move_discs_only_up_and_down() -> None:
    layout = _make("three-pairs")
    moved = with_heights(layout, 0.07, -0.06)
    assert set(moved.positions[:, 2]) == {0.07, -0.06}
    assert all((z > 0) == up for z, up in zip(moved.positions[:, 2], moved.upper, strict=True))
    np.testing.assert_array_equal(moved.positions[:, :2], layout.positions[:, :2])
    assert set(layout.positions[:, 2]) == {0.05, -0.04}  # the first is untouched


def test_wished_radius_is_taken_or_refused_by_clearance() -> None:
    least = _make("six-x").motor_radius
    assert _make("six-x", motor_radius=least + 0.05).motor_radius == least + 0.05
    with pytest.raises(FlightError, match="neighbouring tips"):
        _make("six-x", motor_radius=least - 0.001)
    with pytest.raises(FlightError, match="tips and body"):
        _make("four-x", motor_radius=0.2146, tip_gap=0.0)


@given(st.integers(min_value=4, max_value=8), st.floats(min_value=-3.0, max_value=3.0))
def test_free_layouts_with_even_spacing_are_the_ready_ones_turned(n: int, start: float) -> None:
    angles = tuple(start + 2 * math.pi * k / n for k in range(n))
    layout = _make("free", arm_angles=angles)
    assert layout.motor_radius == pytest.approx(
        max((D + 0.02) / (2 * math.sin(math.pi / n)), 0.06 + 0.015 + D / 2)
    )
    clockwise = np.mod(1e-9 - layout.arm_angles, 2 * math.pi)
    assert np.all(np.diff(clockwise) > 0)
    np.testing.assert_allclose(np.sum(layout.positions[:, :2], axis=0), 0, atol=1e-9)


@pytest.mark.parametrize("hair", [0.0, 1e-17, -1e-17, 2 * math.pi])
def test_rounding_does_not_renumber_free_arms(hair: float) -> None:
    layout = _make("free", arm_angles=(math.pi / 2, hair, -math.pi / 2, math.pi + hair))
    np.testing.assert_allclose(np.degrees(layout.arm_angles), (0, -90, 180, 90), atol=1e-9)


def test_free_pairs_carry_two_rotors_on_each_arm() -> None:
    layout = _make("free", arm_angles=(1.0, -1.0, math.pi), pairs=True)
    assert (layout.n_arms, layout.n_rotors) == (3, 6)


@pytest.mark.parametrize(
    ("angles", "says"),
    [
        ((), "arm_angles"),
        ((0.0, 1.5, 2 * math.pi, 4.0), "same way"),
        ((0.0, 2.1, -2.1), "independently"),
        ((0.0,), "independently"),
    ],
)
def test_free_layouts_that_cannot_fly_are_refused(angles: tuple[float, ...], says: str) -> None:
    with pytest.raises(FlightError, match=says):
        _make("free", arm_angles=angles)


def test_layout_options_use_every_motor() -> None:
    assert layout_options(6) == ("six-x", "six-plus", "three-pairs")
    assert all(rotor_count(kind) == 8 for kind in layout_options(8))
    assert "four-pairs" in layout_options(8)
    with pytest.raises(FlightError, match="7 rotors"):
        layout_options(7)
    with pytest.raises(FlightError, match="fixed number"):
        rotor_count("free")
    with pytest.raises(FlightError, match="not known"):
        _make("five-x")
