"""Landing legs: strut stiffness in closed form, landing force, the lightest that holds."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from refledge.airframe.framing import scaled_legs
from refledge.airframe.judge import reserve
from refledge.airframe.legs import DEEPEST, deepest_strut, landing_force, leg_force, size_leg
from refledge.airframe.sizing import Sized
from refledge.airframe.task import Task
from refledge.flight.air import GRAVITY
from refledge.model.gear import LegDesign

LINE = 0.45e-3
LEG = LegDesign(
    count=4, arms=(0, 2, 3, 5), height=0.08, splay=0.02, thickness=0.022, depth_top=9e-3,
    depth_foot=9e-3, flange_thickness=4.5e-3, material="ASA",
)  # fmt: skip


def second(leg: LegDesign) -> float:
    return leg.thickness * leg.depth_top**3 / 12


def test_upright_strut_is_a_column(task: Task) -> None:
    """k = E A / L when it stands upright, 3 E I / L^3 sideways (trapezoids: 1e-3)."""
    material, leg = task.materials["ASA"], replace(LEG, splay=0.0)
    found = leg_force(leg, material, 3.0, 1.0)
    area = leg.thickness * leg.depth_top
    assert found.stiffness == pytest.approx(material.E * area / leg.height, rel=1e-9)
    side = 3 * material.E * second(leg) / leg.height**3
    assert found.side_stiffness == pytest.approx(side, rel=1e-3)


def test_leaning_strut_bends_as_a_cantilever(task: Task) -> None:
    """Give at the foot: splay^2 L / (3 E I) by bending and L / (E A) along it, L its own length."""
    material = task.materials["ASA"]
    length = np.hypot(LEG.height, LEG.splay)
    bend = LEG.splay**2 * length / (3 * material.E * second(LEG))
    push = length / (material.E * LEG.thickness * LEG.depth_top)
    found = leg_force(LEG, material, 3.0, 1.0)
    assert found.stiffness == pytest.approx(1 / (bend + push), rel=1e-3)


def test_stress_at_the_top_by_hand(task: Task) -> None:
    """Straight strut: moment of the vertical and half of it sideways, at the flange."""
    found = leg_force(LEG, task.materials["ASA"], 3.0, 1.0)
    moment = found.all_legs * (LEG.splay + 0.5 * LEG.height)
    expected = moment * LEG.depth_top / 2 / second(LEG)
    expected += found.all_legs / (LEG.thickness * LEG.depth_top)
    assert found.stress == pytest.approx(expected)


@pytest.mark.parametrize("speed", [0.0, 0.5, 1.0, 3.0])
def test_landing_force_balances_energy(speed: float) -> None:
    """Half m v^2 and the weight's work are the spring's energy at the peak."""
    mass, stiffness = 2.7, 8e3
    force = landing_force(mass, speed, stiffness)
    sunk = force / stiffness
    given = 0.5 * mass * speed**2 + mass * GRAVITY * sunk
    assert 0.5 * stiffness * sunk**2 == pytest.approx(given)


def test_a_weight_set_down_without_speed_counts_twice() -> None:
    """Suddenly applied load: twice the static deflection (Timoshenko)."""
    assert landing_force(2.0, 0.0, 1e4) == pytest.approx(2 * 2.0 * GRAVITY)


def test_landing_force_rises_with_mass_speed_and_stiffness() -> None:
    for forces in (
        [landing_force(mass, 1.0, 1e4) for mass in (1.0, 2.0, 3.0)],
        [landing_force(2.0, speed, 1e4) for speed in (0.5, 1.0, 2.0)],
        [landing_force(2.0, 1.0, stiffness) for stiffness in (1e3, 1e4, 1e5)],
    ):
        assert all(low < high for low, high in pairwise(forces))


def test_a_deeper_strut_is_stiffer_and_less_stressed(task: Task) -> None:
    struts = [replace(LEG, depth_top=d, depth_foot=d) for d in (6e-3, 9e-3, 12e-3)]
    found = [leg_force(each, task.materials["ASA"], 3.0, 1.0) for each in struts]
    assert all(a.stiffness < b.stiffness for a, b in pairwise(found))
    assert all(a.stress > b.stress for a, b in pairwise(found))


def grid(line: float) -> list[tuple[int, int]]:
    """Strut depths in lines, top and foot, that fit the room kept for them."""
    tops = [top for top in range(5, 200) if 4.5e-3 - 1e-9 <= top * line <= DEEPEST]
    feet = [foot for foot in range(5, 200) if foot * line >= 3.6e-3 - 1e-9]
    return [(top, foot) for top in tops for foot in feet[::2] if foot <= top]


def test_sized_leg_holds_in_whole_lines_and_no_lighter_one_does(task: Task) -> None:
    material, mass, speed, factor = task.materials["ASA"], 1.2, 0.5, 1.3
    leg, force = size_leg(LEG, material, mass, speed, factor, LINE)
    limit = material.strength_xy / factor / (1 + reserve(material.strength_spread))
    lines = np.array([leg.depth_top, leg.depth_foot]) / LINE
    np.testing.assert_allclose(lines, np.round(lines), atol=1e-9)
    assert force.stress <= limit
    assert leg.depth_foot <= leg.depth_top <= DEEPEST
    assert (leg.thickness, leg.height) == (LEG.thickness, LEG.height)
    tried = 0
    for top, foot in grid(LINE):
        other = replace(LEG, depth_top=top * LINE, depth_foot=foot * LINE)
        if top + foot < round(lines.sum()):
            tried += 1
            assert leg_force(other, material, mass, speed).stress > limit
    assert tried > 5


def test_where_no_strut_holds_the_least_stressed_is_given(task: Task) -> None:
    material = task.materials["ASA"]
    _, force = size_leg(LEG, material, 50.0, 5.0, 2.0, LINE)
    assert force.stress > material.strength_xy
    others = [
        leg_force(replace(LEG, depth_top=t * LINE, depth_foot=f * LINE), material, 50.0, 5.0)
        for t, f in grid(LINE)
    ]
    assert force.stress == pytest.approx(min(each.stress for each in others))


@pytest.mark.parametrize("line", [0.28e-3, 0.45e-3, 0.9e-3])
def test_every_nozzle_uses_the_room_there_is(task: Task, line: float) -> None:
    """The deepest strut tried is the deepest whole number of lines in the room."""
    leg, _ = size_leg(LEG, task.materials["ASA"], 50.0, 5.0, 2.0, line)
    assert leg.depth_top == pytest.approx(int(DEEPEST / line) * line)
    assert leg.depth_top + line > DEEPEST


def test_a_tall_leg_may_be_deeper(task: Task) -> None:
    assert deepest_strut(0.12) == DEEPEST < deepest_strut(0.3) == pytest.approx(0.03)
    tall = replace(LEG, height=0.3, splay=0.075)
    leg, _ = size_leg(tall, task.materials["ASA"], 50.0, 5.0, 2.0, LINE)
    assert leg.depth_top == pytest.approx(int(0.03 / LINE) * LINE)


def test_legs_grow_no_deeper_than_their_room(task: Task, sized: Sized) -> None:
    """However badly a leg mode lies."""
    body = sized.pool.locate(sized.choice.index)[0].candidates.body
    for scale in (1.0, 1.05, 1.3, 4.0):
        leg = scaled_legs(task, body, scale).leg
        assert body.leg.depth_top <= leg.depth_top <= DEEPEST
        assert leg.depth_foot <= leg.depth_top
