"""Bounds of a grown arm's use of strength: exact where it was solved, never too low elsewhere.

Against an arm whose use is known for any load: the largest of some linear figures of it, each a
stress at one point, which is sublinear as the real criteria are.
"""

from dataclasses import dataclass

import numpy as np
import pytest

from refledge.airframe.beams import Bar
from refledge.airframe.grown_strength import at_tip, bounds, unit_ends
from refledge.model.grown import LOADS, GrownCase
from refledge.typed import Floats

N = len(LOADS)
POINTS = np.random.default_rng(4).normal(size=(40, N))


def use(loads: Floats, points: Floats = POINTS) -> Floats:
    return np.asarray(np.maximum(loads @ points.T, 0.0).max(axis=-1))


def case(load: Floats, points: Floats = POINTS, by_hand: bool = False) -> GrownCase:
    found = float(use(load, points))
    return GrownCase(
        title="t", kind="flight", load=load, plastic=found, plastic_error=0.1 * found,
        layers=found / 2, layers_error=0.0, buckling=(0.3 if by_hand else 2.0) * found,
        buckling_error=0.2 * found, by_hand=by_hand,
    )  # fmt: skip


@dataclass(frozen=True, eq=False)
class Arm:
    cases: tuple[GrownCase, ...]
    unit_plastic: Floats
    unit_layers: Floats
    unit_buckling: Floats
    unit_by_hand: Floats


def arm(points: Floats = POINTS, seed: int = 1) -> Arm:
    units = np.stack([use(np.eye(N), points), use(-np.eye(N), points)], axis=1)
    loads = np.random.default_rng(seed).normal(size=(5, N))
    cases = [case(each, points, number == 4) for number, each in enumerate(loads)]
    return Arm(tuple(cases), units, units / 2, 2.0 * units, 0.3 * units)


def test_a_load_that_was_solved_and_its_multiples_have_their_own_use() -> None:
    made = arm()
    for each in made.cases:
        loads = np.stack([each.load, 3.0 * each.load])
        found = bounds(made, loads)
        assert found.plastic == pytest.approx(each.plastic * np.array([1, 3]))
        assert found.plastic_error == pytest.approx(0.1 * each.plastic * np.array([1, 3]))
        assert found.layers == pytest.approx(each.layers * np.array([1, 3]))
        assert found.layers_error == pytest.approx(np.zeros(2))


def test_no_load_is_used_harder_than_its_bound() -> None:
    made = arm()
    rng = np.random.default_rng(9)
    near = np.concatenate([each.load + 0.1 * rng.normal(size=(200, N)) for each in made.cases])
    loads = np.concatenate((near, rng.normal(size=(400, N))))
    found = bounds(made, loads).plastic
    assert np.all(found >= use(loads) - 1e-12)
    for number, each in enumerate(made.cases):  # nor is it further off than the load is
        mine = slice(200 * number, 200 * (number + 1))
        more = np.abs(near[mine] - each.load) @ made.unit_plastic.max(axis=1)
        assert np.all(found[mine] <= each.plastic + more + 1e-12)
    assert np.all(bounds(made, -2 * loads).plastic >= 2 * use(-loads) - 1e-12)


def test_buckling_asks_which_end_is_held() -> None:
    """Loads of arms held by hand are bounded from such cases alone, and the others from theirs."""
    made = arm()
    loads = np.stack([made.cases[0].load, made.cases[4].load, made.cases[4].load])
    found = bounds(made, loads, np.array([False, True, False]))
    own = [use(load) for load in loads]
    assert found.buckling[:2] == pytest.approx([2.0 * own[0], 0.3 * own[1]])
    assert found.buckling_error[:2] == pytest.approx([0.2 * own[0], 0.2 * own[1]])
    assert found.buckling[2] >= 2.0 * own[2] - 1e-12
    more = np.random.default_rng(7).normal(size=(300, N))
    assert np.all(bounds(made, more).buckling >= 2.0 * use(more) - 1e-12)
    hand = bounds(made, more, np.ones(300, bool)).buckling
    assert np.all(hand >= 0.3 * use(more) - 1e-12)


def test_an_arm_never_held_by_hand_is_bounded_by_unit_loads() -> None:
    made = arm()
    free = Arm(made.cases[:4], *(2 * [made.unit_plastic]), made.unit_buckling, made.unit_by_hand)
    load = np.eye(N)[3] - 2 * np.eye(N)[4]
    found = bounds(free, load[None], np.array([True]))
    assert found.buckling == pytest.approx(made.unit_by_hand[3, 0] + 2 * made.unit_by_hand[4, 1])


def test_no_load_uses_nothing() -> None:
    assert bounds(arm(), np.zeros((1, N))).plastic == pytest.approx([0.0])


def bar(height: float) -> Bar:
    return Bar("arm", 0, 0, 1, None, {}, height)  # type: ignore[arg-type]


def test_forces_at_the_end_of_a_high_beam_turn_about_the_node_below_it() -> None:
    force = np.array([2.0, 3.0, 5.0, 0.1, 0.2, 0.3])
    assert at_tip(bar(0.0), force) == pytest.approx(force)
    assert at_tip(bar(0.01), force) == pytest.approx([2, 3, 5, 0.1 - 0.03, 0.2 + 0.02, 0.3])


def test_unit_ends_bound_any_end_force() -> None:
    units, high = arm().unit_plastic, bar(-0.3)
    each = unit_ends(high, units)
    forces = np.random.default_rng(3).normal(size=(300, 6))
    for force in forces:
        load = np.concatenate((at_tip(high, force), np.zeros(6)))
        assert each @ np.abs(force) >= use(load) - 1e-12


def test_a_pull_above_the_node_counts_with_its_moment() -> None:
    """An arm that only feels bending up and down, or only twist."""
    for axis, force in ((4, 0), (3, 1)):
        units = np.zeros((N, 2))
        units[axis] = 1.0
        assert unit_ends(bar(-0.02), units)[force] == pytest.approx(0.02)
