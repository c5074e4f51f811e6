"""Skids that the brief asks for: which legs, how stout a bar, lists, masses, checks."""

from dataclasses import replace
from math import pi, radians

import numpy as np
import pytest

from refledge.airframe.body import body_for
from refledge.airframe.framing import sized_skids
from refledge.airframe.making import make_solids
from refledge.airframe.sizing import Sized, screen
from refledge.airframe.skid import SOLE, skid_arms, skid_stress, stressed
from refledge.airframe.skid_checks import skid_checks
from refledge.airframe.stance import ground_points
from refledge.airframe.task import Task
from refledge.airframe.task_making import make_task, rotor_model
from refledge.errors import WishError
from refledge.geometry import kernel
from refledge.geometry.skid import make_skid
from refledge.inputs.fasteners import hardware
from refledge.model.brief import Brief
from refledge.model.checks import Verdict
from tests.airframe.test_body import ANGLES, WIDTH


@pytest.fixture(scope="module")
def skidded(brief: Brief) -> Brief:
    return replace(brief, frame=replace(brief.frame, gear="skids"))


@pytest.fixture(scope="module")
def skid_task(skidded: Brief) -> Task:
    return make_task(skidded, "six-x", rotor_model(skidded), 3.2, {})


@pytest.fixture(scope="module")
def made(skid_task: Task) -> Sized:
    return screen(skid_task, "box", "ASA")


def test_four_arms_that_mirror_each_other_or_a_clear_reason() -> None:
    six = tuple(radians(each) for each in (30, 90, 150, -150, -90, -30))
    arms, turn = skid_arms(six)
    assert arms == (0, 2, 3, 5)
    assert turn == pytest.approx(pi / 6)
    eight = tuple(radians(22.5 + 45 * each) for each in range(8))
    arms, turn = skid_arms(eight)
    assert turn == pytest.approx(radians(67.5))  # as wide, with the skids further apart
    assert arms == (1, 2, 5, 6)
    for lacking in ((60, 180, -60), (0, 90, 180, -90), (30, -30, 140, -140)):
        with pytest.raises(WishError, match=r"frame\.gear: skids need four arms"):
            skid_arms(tuple(radians(each) for each in lacking))


def test_wishes_that_contradict_each_other_are_refused(skidded: Brief) -> None:
    for changed, words in (({"feet": "pads"}, r"frame\.feet"), ({"legs": 3}, r"frame\.legs")):
        wish = replace(skidded, frame=replace(skidded.frame, **changed))  # type: ignore[arg-type]
        with pytest.raises(WishError, match=words):
            body_for(wish, ANGLES["six"], False, WIDTH, hardware())


def test_the_ground_stays_as_far_below(brief: Brief, skidded: Brief) -> None:
    bare, slid = (
        body_for(each, ANGLES["six"], False, WIDTH, hardware()) for each in (brief, skidded)
    )
    assert bare.skid is None
    assert slid.leg.height + SOLE == pytest.approx(bare.leg.height)


def test_nothing_changes_without_them(task: Task, sized: Sized) -> None:
    assert sized.frame.skid is None
    assert skid_checks(task, sized.frame, sized.assessment) == ()
    assert not any("skid" in line.where for line in sized.assessment.fasteners)


def test_half_its_mass_rides_on_each_leg(made: Sized) -> None:
    structure = made.assessment.structure
    lumps = [lump for lump in made.assessment.lumps if lump.part == "skid"]
    assert len(lumps) == 2
    half = lumps[0].mass / 2
    ride = [each.node for each in structure.frame.masses if each.mass == pytest.approx(half)]
    assert sorted(ride) == sorted(structure.feet)
    for lump in lumps:
        aside = structure.frame.nodes[list(structure.feet), 1] * np.sign(lump.centre[1])
        assert (aside > 0).sum() == 2


def test_it_stands_on_the_level_part_of_its_skids(skid_task: Task, made: Sized) -> None:
    """Wider than its legs' ends by the noses, but for what rises of them; lower by the sole."""
    assert made.frame.skid is not None
    structure = made.assessment.structure
    feet = structure.frame.nodes[list(structure.feet)]
    points = ground_points(made.frame, structure, skid_task.hardware)
    assert np.abs(points[:, 0]) == pytest.approx(np.abs(feet[:, 0]) + 0.030 - 0.008)
    assert points[:, 1] == pytest.approx(feet[:, 1])
    assert points[:, 2] == pytest.approx(feet[:, 2] - made.frame.skid.sole)


def test_solids_fit_and_weigh_about_the_estimate(skid_task: Task, made: Sized) -> None:
    solids = make_solids(skid_task, made.frame, made.layout)
    assert solids.assembly.overlaps == ()
    assert solids.made.masses["skid"] == pytest.approx(made.part_masses["skid"], rel=0.15)
    lumps = [lump.centre for lump in made.assessment.lumps if lump.part == "skid"]
    assert np.allclose(solids.made.centres["skid"], lumps, atol=8e-3)


def test_a_small_bed_gets_them_in_two_parts_that_hold(skidded: Brief) -> None:
    printer = replace(skidded.printer, bed_length=0.16, bed_width=0.16)
    small = replace(skidded, printer=printer)
    task = make_task(small, "six-x", rotor_model(small), 3.2, {})
    found = screen(task, "box", "ASA")
    assert found.frame.skid is not None
    assert found.frame.skid.lap > 0.0
    (bolts,) = (line for line in found.assessment.fasteners if "joints of" in line.where)
    assert bolts.quantity == 4
    low, high = kernel.bounds(make_skid("skid_front", found.frame, task.hardware))
    assert max(high - low) < 0.16 < 2 * max(high - low)
    checks = {each.key: each for each in skid_checks(task, found.frame, found.assessment)}
    assert "skid-pin" in checks
    assert {each.verdict for each in checks.values()} == {Verdict.HOLDS}


def test_strength_by_hand(skid_task: Task, made: Sized) -> None:
    """A bar 10 mm wide and 12 mm high over 160 mm, 50 N half-way: M = 2 N m, W = 240 mm3."""
    assert made.frame.skid is not None
    bar = replace(made.frame.skid, width=0.010, height=0.012, nose=0.03, lap=0.0)
    screw = skid_task.hardware.screws["M3"]
    stress = stressed(bar, 0.080, screw, 50.0)
    assert stress.middle == pytest.approx(2.0 / 240e-9)
    assert stress.tip == pytest.approx(1.5 / 240e-9)
    assert stress.shear == pytest.approx(1.5 * 50.0 / 120e-6)
    assert stress.pin == 0.0
    assert stress.lever == pytest.approx(1 + 30 / 160)
    jointed = stressed(replace(bar, lap=0.04), 0.080, screw, 50.0)
    assert jointed.middle == pytest.approx(2 * stress.middle)
    assert jointed.pin == pytest.approx(2.0 / 0.030 / (3e-3 * 5e-3))


def test_the_bar_is_as_stout_as_the_push_asks(skid_task: Task, made: Sized) -> None:
    body = body_for(skid_task.brief, ANGLES["six"], False, WIDTH, hardware())
    push = float(made.assessment.result("landing-one").case.foot_force[:, 2].max())
    soft, hard = (sized_skids(skid_task, body, "ASA", each).skid for each in (push, 2 * push))
    assert soft is not None
    assert hard is not None
    assert hard.width * hard.height > soft.width * soft.height
    checks = {each.key: each for each in skid_checks(skid_task, made.frame, made.assessment)}
    assert {each.verdict for each in checks.values()} == {Verdict.HOLDS}
    stress = skid_stress(made.frame, skid_task.hardware, push)
    assert checks["skid-middle"].demand == pytest.approx(stress.middle)
    assert checks["skid-middle"].load_case == "hard landing on one leg"
