"""How safely it stands: slopes and sideways speeds against plain geometry and energy."""

from dataclasses import replace
from math import radians, tan

import numpy as np
import pytest

from refledge.airframe.gear import MOST_LEAN
from refledge.airframe.sizing import Sized
from refledge.airframe.stance import nearest_side, stance, tipping_angle, tipping_speed
from refledge.airframe.stance_checks import stance_check
from refledge.airframe.task import Task
from refledge.flight.air import GRAVITY
from refledge.model.checks import Verdict

SQUARE = np.array([[1.0, 1.0], [-1.0, -1.0], [1.0, -1.0], [-1.0, 1.0]])


def test_distance_to_the_nearest_side_whatever_the_order() -> None:
    assert nearest_side(SQUARE, np.array([0.0, 0.0])) == pytest.approx(1.0)
    assert nearest_side(SQUARE, np.array([0.7, -0.2])) == pytest.approx(0.3)
    assert nearest_side(SQUARE, np.array([0.0, 1.5])) == pytest.approx(-0.5)
    three = np.array([[2.0, 0.0], [-1.0, np.sqrt(3.0)], [-1.0, -np.sqrt(3.0)]])
    assert nearest_side(three, np.zeros(2)) == pytest.approx(1.0)


def test_a_block_tips_where_its_corner_comes_under_its_middle() -> None:
    assert tipping_angle(0.1, 0.1) == pytest.approx(radians(45.0))
    assert tipping_angle(-0.1, 0.1) < 0.0
    speed = tipping_speed(0.3, 0.4)
    assert speed**2 / 2 == pytest.approx(GRAVITY * 0.1)  # its middle rises from 0.4 to 0.5 m
    assert tipping_speed(-0.1, 0.4) == 0.0


def test_a_slung_payload_lies_on_the_ground(task: Task, sized: Sized) -> None:
    """Without it the centre of mass is that of what is fixed, above the feet."""
    found = sized.assessment
    aside, height = stance(sized.frame, found.structure, found.lumps, task.hardware)
    kept = tuple(lump for lump in found.lumps if lump.fixed)
    assert len(kept) == len(found.lumps) - 1
    same = stance(sized.frame, found.structure, kept, task.hardware)
    assert (aside, height) == same
    feet = found.structure.frame.nodes[list(found.structure.feet)]
    middle = sum(lump.mass * lump.centre for lump in kept) / sum(lump.mass for lump in kept)
    assert height == pytest.approx(middle[2] - feet[0, 2])


def test_the_check_says_at_which_speed_it_goes_over(task: Task, sized: Sized) -> None:
    check = stance_check(task, sized.frame, sized.assessment)
    found = sized.assessment
    aside, height = stance(sized.frame, found.structure, found.lumps, task.hardware)
    assert tan(check.demand) == pytest.approx(aside / height)
    assert check.verdict is Verdict.HOLDS
    assert f"{tipping_speed(aside, height):.2f} m/s" in check.note
    strict = replace(task.brief, limits=replace(task.brief.limits, tip_angle=1.0))
    assert stance_check(replace(task, brief=strict), sized.frame, found).verdict is Verdict.FAILS


def test_the_check_says_what_is_left_where_legs_lean_their_most(task: Task, sized: Sized) -> None:
    assert "frame.legs" not in stance_check(task, sized.frame, sized.assessment).note
    leaning = replace(sized.frame.leg, splay=MOST_LEAN * sized.frame.leg.height)
    check = stance_check(task, replace(sized.frame, leg=leaning), sized.assessment)
    assert "limits.tip_angle" in check.note
    assert "50 %" in check.note.replace("50%", "50 %")
