"""One rotor lost.

Six flat rotors that alternate in turn cannot keep level, lift and heading with one lost: the degree
of controllability is then zero (Du, Quan, Yang, Cai, J. Guidance, Control and Dynamics 38(5) 2015,
978-984; check value C5.1, recalled and recomputed); with heading kept the rotor opposite must stop.
"""

import numpy as np
import pytest
from scipy.optimize import linprog

from refledge.flight.air import GRAVITY
from refledge.flight.layout import lay_out
from refledge.flight.lost import LEAST_SHARE, one_rotor_lost, trim_without
from refledge.flight.operating import hover
from refledge.flight.rotor import RotorModel
from refledge.model.brief import Brief
from refledge.model.wishes import LayoutWish
from tests.flight.test_flight_loads import KINDS, MASS, Maker


@pytest.mark.parametrize("kind", KINDS)
def test_every_trim_without_a_rotor_keeps_what_it_says(
    brief: Brief, rotor: RotorModel, layout_of: Maker, kind: str
) -> None:
    layout = layout_of(kind)
    at = hover(brief, layout, rotor, MASS)
    mean = MASS * GRAVITY / layout.n_rotors
    for lost in range(layout.n_rotors):
        trim = trim_without(layout, at, lost)
        assert trim.thrust[lost] == 0
        if not trim.possible:
            continue
        total, roll, pitch, _ = layout.allocation @ trim.thrust
        assert total == pytest.approx(MASS * GRAVITY, rel=1e-8)
        assert (roll, pitch) == pytest.approx((0, 0), abs=1e-7)
        others = np.delete(trim.thrust, lost)
        assert np.min(others) >= LEAST_SHARE * mean * (1 - 1e-9)
        assert np.max(others) == pytest.approx(trim.factor * mean, rel=1e-6)


def test_four_rotors_cannot_lose_one(brief: Brief, rotor: RotorModel, layout_of: Maker) -> None:
    layout = layout_of("four-x")
    trim = one_rotor_lost(layout, hover(brief, layout, rotor, MASS))
    assert not trim.possible
    assert not trim.yaw_kept


@pytest.mark.parametrize("kind", ["six-x", "six-plus"])
def test_six_flat_rotors_keep_level_but_not_their_heading(
    brief: Brief, rotor: RotorModel, layout_of: Maker, kind: str
) -> None:
    layout = layout_of(kind)
    at = hover(brief, layout, rotor, MASS)
    trim = one_rotor_lost(layout, at)
    assert trim.possible
    assert not trim.yaw_kept
    # With the opposite rotor at share e of hover thrust, thrust modes 2 and 3 of the ring give the
    # neighbours (3 + e/2)/2 of hover thrust: 1.5 and a little.
    assert trim.factor == pytest.approx(1.5 + LEAST_SHARE / 4, rel=1e-6)


def test_heading_of_six_flat_rotors_would_stop_the_opposite_rotor(layout_of: Maker) -> None:
    layout = layout_of("six-x")
    wanted = layout.allocation @ np.ones(6)
    most = linprog(
        -np.eye(6)[3], A_eq=layout.allocation, b_eq=wanted, bounds=[(0, 0), *[(0, None)] * 5]
    )
    assert most.x is not None
    assert most.x[3] == pytest.approx(0, abs=1e-9)


def test_three_pairs_hold_level_and_heading_at_twice_the_thrust(
    brief: Brief, rotor: RotorModel, layout_of: Maker
) -> None:
    layout = layout_of("three-pairs")
    at = hover(brief, layout, rotor, MASS)
    for lost in range(6):
        trim = trim_without(layout, at, lost)
        assert trim.possible
        assert trim.yaw_kept
        # The rotor left on that arm carries the arm's third alone.
        partner = lost + 1 if layout.upper[lost] else lost - 1
        assert trim.thrust[partner] == pytest.approx(MASS * GRAVITY / 3, rel=1e-8)
        assert trim.factor == pytest.approx(2.0, rel=1e-6)


@pytest.mark.parametrize(
    "degrees",
    [(0, 72, 144, -144, -72), (-80, -30, 110, 120, 170), (30, -30, 90, -90, 150, -150, 180)],
)
def test_the_worst_loss_is_reported(
    brief: Brief, rotor: RotorModel, degrees: tuple[float, ...]
) -> None:
    """Odd rings, where losses differ: held or not, with or without heading, easily or hard."""
    wish = LayoutWish(arm_angles=tuple(np.radians(degrees)))
    layout = lay_out(wish, "free", rotor.diameter, torque_ratio=rotor.torque_ratio(400.0))
    at = hover(brief, layout, rotor, 1.2)
    trims = [trim_without(layout, at, lost) for lost in range(len(degrees))]
    rank = [(not trim.possible, not trim.yaw_kept) for trim in trims]
    assert len({(each, round(trim.factor, 3)) for each, trim in zip(rank, trims, strict=True)}) > 1
    worst = one_rotor_lost(layout, at)
    assert (not worst.possible, not worst.yaw_kept) == max(rank)
    peers = [trim.factor for trim, each in zip(trims, rank, strict=True) if each == max(rank)]
    assert worst.factor == pytest.approx(max(peers), abs=1e-5)


def test_left_and_right_losses_mirror_each_other(
    brief: Brief, rotor: RotorModel, layout_of: Maker
) -> None:
    layout = layout_of("three-pairs")
    at = hover(brief, layout, rotor, MASS)
    right, left = trim_without(layout, at, 0), trim_without(layout, at, 4)
    mirrored = right.thrust[[4, 5, 2, 3, 0, 1]]
    np.testing.assert_allclose(left.thrust, mirrored, atol=1e-6)
