"""Laps of arms in two parts: as long as what their bolts press asks for."""

from dataclasses import replace

import numpy as np
import pytest

from refledge.airframe.joint_checks import lap_tension
from refledge.airframe.joints import clamp_preload
from refledge.airframe.lap_sizing import LAP_BAR, lap_for, lap_length, lap_pulls, lap_room, rows_of
from refledge.airframe.sizing import Learnt, Sized, hold, screen
from refledge.airframe.task import Task
from refledge.geometry.arm import make_arm
from refledge.live.refit import refit
from refledge.model.checks import Verdict


@pytest.fixture(scope="module")
def parted(task: Task) -> Task:
    """A bed too short for the arms, and a factor for which the shortest lap does not do."""
    printer = replace(task.brief.printer, bed_length=0.2, bed_width=0.2)
    limits = replace(task.brief.limits, joint_factor=2.6)
    return replace(task, brief=replace(task.brief, printer=printer, limits=limits))


@pytest.fixture(scope="module")
def lapped(parted: Task) -> Sized:
    return screen(parted, "box", "ASA")


def shortest(task: Task, sized: Sized) -> float:
    return lap_length(task.hardware.screws[sized.frame.arm.lap_screw])


def test_the_search_lengthens_laps_until_their_washers_hold(parted: Task, lapped: Sized) -> None:
    assert lapped.frame.arm.lap > shortest(parted, lapped)
    check = lap_tension(parted, lapped.frame, lapped.assessment)
    assert check.verdict is not Verdict.FAILS
    assert lapped.uses["lap-washer"] <= 1.0
    short = replace(lapped.frame, arm=replace(lapped.frame.arm, lap=shortest(parted, lapped)))
    assert lap_tension(parted, short, lapped.assessment).verdict is Verdict.FAILS


def test_pressure_is_what_statics_of_the_outer_part_give(parted: Task, lapped: Sized) -> None:
    """A shear force beyond the lap on a lever: about the outer row the inner one holds it back."""
    arm, screw = lapped.frame.arm, parted.hardware.screws[lapped.frame.arm.lap_screw]
    rows = arm.lap - screw.washer_diameter - 2.4e-3
    force, lever = 80.0, 0.12
    one = lapped.assessment.results[0]
    forces = np.zeros_like(one.forces)
    for arm_ in range(6):
        bar = lapped.assessment.structure.beams_of("arm", arm_)[LAP_BAR]
        forces[bar, 0, [2, 4]] = force, -force * (lever + arm.lap / 2)
        forces[bar, 1, [2, 4]] = -force, force * (lever - arm.lap / 2)
    found = replace(lapped.assessment, results=(replace(one, forces=forces),))
    inner = force * (lever + rows / 2) / rows
    assert lap_pulls(found, rows) == pytest.approx([inner / 2])
    ring = np.pi / 4 * (screw.washer_diameter**2 - screw.clearance_hole**2)
    preload = clamp_preload(lapped.frame, parted.materials, parted.hardware)
    check = lap_tension(parted, lapped.frame, found)
    assert check.demand == pytest.approx((inner / 2 + preload) / ring)


def test_the_length_wanted_just_holds_with_its_reserve(parted: Task, lapped: Sized) -> None:
    short = replace(lapped.frame, arm=replace(lapped.frame.arm, lap=shortest(parted, lapped)))
    wanted = lap_for(parted, short, lapped.assessment)
    assert shortest(parted, lapped) < wanted < lap_room(short)
    for lap, least in ((wanted, 0.1), (wanted - 1e-3, -1.0)):
        one = replace(short, arm=replace(short.arm, lap=lap))
        margin = lap_tension(parted, one, lapped.assessment).margin
        assert margin >= least - 1e-9
        assert (margin < 0.1) == (lap < wanted)


def test_no_lap_is_longer_than_its_room_nor_shorter_than_it_was(
    parted: Task, lapped: Sized
) -> None:
    frail = {key: replace(each, strength_xy=4e6) for key, each in parted.materials.items()}
    found = lap_for(replace(parted, materials=frail), lapped.frame, lapped.assessment)
    assert found == pytest.approx(lap_room(lapped.frame))
    long = replace(lapped.frame, arm=replace(lapped.frame.arm, lap=found))
    make_arm(long.arm, long, parted.hardware)
    assert lap_for(parted, long, lapped.assessment) == found


def test_a_held_frame_keeps_its_laps(parted: Task, lapped: Sized) -> None:
    same = hold(parted, replace(lapped, learnt=Learnt()))
    assert same.frame.arm == lapped.frame.arm
    assert rows_of(parted.hardware.screws["M3"]) == pytest.approx(11.4e-3)


def test_an_edited_brief_leaves_laps_as_long_as_they_were(parted: Task, lapped: Sized) -> None:
    assert refit(parted, lapped.frame, {}).frame.arm.lap == lapped.frame.arm.lap
    brief = replace(parted.brief, frame=replace(parted.brief.frame, rod_screw="M4"))
    other = refit(replace(parted, brief=brief), lapped.frame, {}).frame.arm
    assert other.lap == lap_length(parted.hardware.screws["M4"])


def test_arms_in_one_piece_have_none(task: Task, sized: Sized) -> None:
    assert lap_for(task, sized.frame, sized.assessment) == 0.0
    assert sized.frame.arm.lap == 0.0
