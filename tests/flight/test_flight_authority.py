"""Attainable sets against vertex enumeration; the control-authority index of a published six-rotor.

Du, Quan, Yang and Cai, J. Guidance, Control and Dynamics 38(5) (2015), 978-984. Its inputs (1.535
kg, g 9.80, arm 0.275 m, 6.125 N a rotor, torque ratio 0.1 m) are from memory and were recomputed
(C5.1 of the check values): 1.4861 and 0; 1.1295 and 0.7221, to 1e-4.
"""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial import ConvexHull

from refledge.errors import FlightError
from refledge.flight.attainable import authority_index, corners, volume
from refledge.flight.authority import (
    angular_acceleration,
    hover_authority,
    losses,
    turn_orders,
    with_spins,
    yaw_authority,
)
from refledge.model.layout import Layout
from refledge.typed import Floats

MOST = np.full(6, 6.125)
WEIGHT = 1.535 * 9.80
PUBLISHED = np.array([WEIGHT, 0.0, 0.0, 0.0])


def published(order: str) -> Floats:
    angle = np.radians(60.0 * np.arange(6))
    turn = np.array([1.0 if letter == "P" else -1.0 for letter in order])
    arm = 0.275
    return np.array([np.ones(6), -arm * np.sin(angle), arm * np.cos(angle), -0.1 * turn])


def without(rotor: int) -> Floats:
    most = MOST.copy()
    most[rotor - 1] = 0.0
    return most


@pytest.mark.parametrize(("order", "index"), [("PNPNPN", 1.4861), ("PPNNPN", 1.1295)])
def test_index_of_the_healthy_craft(order: str, index: float) -> None:
    assert authority_index(published(order), MOST, PUBLISHED) == pytest.approx(index, abs=1e-4)


@pytest.mark.parametrize("rotor", range(1, 7))
def test_alternating_turns_do_not_survive_any_loss(rotor: int) -> None:
    assert authority_index(published("PNPNPN"), without(rotor), PUBLISHED) == 0.0


@pytest.mark.parametrize("rotor", [1, 4])
def test_the_other_order_survives_two_losses_well(rotor: int) -> None:
    index = authority_index(published("PPNNPN"), without(rotor), PUBLISHED)
    assert index == pytest.approx(0.7221, abs=1e-4)


def test_seven_in_ten_losses_of_it_are_survived() -> None:
    """Four of six, as by the sign of the index; 5 and 6 are not."""
    found = [authority_index(published("PPNNPN"), without(r), PUBLISHED) for r in range(1, 7)]
    assert [index > 1e-6 for index in found] == [True] * 4 + [False] * 2


@given(st.integers(4, 8), st.integers(0, 10_000))
@settings(max_examples=25, deadline=None)
def test_volume_against_brute_force(n: int, seed: int) -> None:
    random = np.random.default_rng(seed)
    B, most = random.normal(size=(4, n)), random.uniform(0.5, 2, n)
    assert volume(B, most) == pytest.approx(ConvexHull(corners(B, most)).volume, rel=1e-8)


@given(st.integers(0, 10_000))
@settings(max_examples=25, deadline=None)
def test_index_is_the_distance_to_the_hull(seed: int) -> None:
    """Least slack of the hull's own facets, found by enumeration of all corners."""
    random = np.random.default_rng(seed)
    B, most = random.normal(size=(4, 6)), random.uniform(0.5, 2, 6)
    wanted = B @ (most * random.uniform(0.2, 0.8, 6))
    facets = ConvexHull(corners(B, most)).equations
    slack = -(facets[:, :4] @ wanted + facets[:, 4])
    assert authority_index(B, most, wanted) == pytest.approx(slack.min(), abs=1e-9)


def test_volume_scales_with_the_fourth_power_of_thrust() -> None:
    B = published("PNPNPN")
    assert volume(B, 2 * MOST) == pytest.approx(16 * volume(B, MOST))
    assert volume(B[:, :3], MOST[:3]) == 0.0
    assert volume(B, MOST, least=0.25 * MOST) == pytest.approx(0.75**4 * volume(B, MOST))


def test_flat_six_lose_heading_and_three_pairs_lose_nothing(
    layout_of: Callable[[str], Layout],
) -> None:
    flat, pairs = layout_of("six-x"), layout_of("three-pairs")
    most = np.full(6, 12.0)
    for each in losses(flat, most, 30.0):
        assert each.level
        assert not each.heading
        assert each.thrust_fraction < 0.8
    for each in losses(pairs, most, 30.0):
        assert each.heading
        assert 0 < each.index < hover_authority(pairs, most, 30.0).index


def test_four_rotors_cannot_lose_one(layout_of: Callable[[str], Layout]) -> None:
    for each in losses(layout_of("four-x"), np.full(4, 20.0), 30.0):
        assert not each.level
        assert not each.heading


def test_peak_and_remaining_thrust_agree_with_statics(layout_of: Callable[[str], Layout]) -> None:
    """Healthy: everyone at weight/n of full; no loss of thrust."""
    found = hover_authority(layout_of("six-x"), np.full(6, 10.0), 30.0)
    assert found.peak == pytest.approx(0.5)
    assert found.thrust_fraction == pytest.approx(1.0)


def test_which_turn_order_survives(layout_of: Callable[[str], Layout]) -> None:
    """Three orders of six differ; the one with two like neighbours survives four losses."""
    orders = turn_orders(layout_of("six-x"), np.full(6, 12.0), 30.0)
    assert len(orders) == 3
    assert orders[0].survived == 4
    alternating = next(each for each in orders if abs(sum(each.spins[::2])) == 3)
    assert alternating.survived == 0
    assert alternating.healthy == max(each.healthy for each in orders)
    with pytest.raises(FlightError, match="flat"):
        turn_orders(layout_of("three-pairs"), np.full(6, 12.0), 30.0)


def test_yaw_is_the_least_of_the_moments(layout_of: Callable[[str], Layout]) -> None:
    layout, most = layout_of("six-x"), np.full(6, 12.0)
    left, right = yaw_authority(layout, most, 30.0)
    ratio = abs(layout.allocation[3, 0])
    assert left == pytest.approx(right) == pytest.approx(30.0 * ratio)  # three stop, three carry
    half = yaw_authority(layout, most, 0.5 * 72.0)[0]
    assert half == pytest.approx(36.0 * ratio)


def test_acceleration_falls_with_inertia(layout_of: Callable[[str], Layout]) -> None:
    layout, most = layout_of("six-x"), np.full(6, 12.0)
    one = angular_acceleration(layout, most, 30.0, np.diag([0.04, 0.05, 0.08]))
    two = angular_acceleration(layout, most, 30.0, np.diag([0.08, 0.10, 0.16]))
    assert np.array(one) == pytest.approx(2 * np.array(two))
    assert one[2] < one[0]
    with pytest.raises(FlightError, match="hold"):
        angular_acceleration(layout, most, 300.0, np.eye(3))


def test_turns_can_be_changed(layout_of: Callable[[str], Layout]) -> None:
    layout = layout_of("six-x")
    same = with_spins(layout, layout.spin)
    assert np.array_equal(same.allocation, layout.allocation)
    other = with_spins(layout, (1, 1, -1, -1, 1, -1))
    assert np.array_equal(other.allocation[:3], layout.allocation[:3])
    assert not np.array_equal(other.allocation[3], layout.allocation[3])
    with pytest.raises(FlightError):
        with_spins(replace(layout), (1, 1))
