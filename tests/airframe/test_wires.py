"""The motor wires' way: inside where they fit, else on top in clips; their bends."""

from dataclasses import replace
from itertools import pairwise
from math import atan2, pi

import pytest

from refledge.airframe.access_checks import access_checks
from refledge.airframe.framing import frame_for
from refledge.airframe.making import make_solids
from refledge.airframe.pooling import settings_of
from refledge.airframe.sizing import Sized, finish
from refledge.airframe.task import Task
from refledge.airframe.wire_checks import tightest, wire_checks
from refledge.airframe.wires import APART, arm_bundle, clip_stations, evenly, motor_lead
from refledge.errors import WishError
from refledge.model.checks import Verdict
from refledge.model.parts import FrameDesign


def wishing(task: Task, wires: str) -> Task:
    return replace(task, brief=replace(task.brief, frame=replace(task.brief.frame, wires=wires)))


def framed(task: Task, sized: Sized) -> FrameDesign:
    settings = settings_of(task, "box")
    body = next(s.body for s in settings if s.body.arm_width == sized.frame.arm.width)
    return frame_for(task, body, sized.frame.arm, "ASA", 4e-3)


@pytest.fixture(scope="module")
def clipped(task: Task, sized: Sized) -> Sized:
    """The same frame with clips."""
    own = wishing(task, "clips")
    settings = settings_of(own, "box")
    return finish(own, sized.pool, settings, sized.frame.plate.thickness, sized.learnt)


def test_they_run_inside_where_they_fit_and_outside_where_not(task: Task, sized: Sized) -> None:
    assert arm_bundle(task) < sized.frame.arm.bore
    assert framed(task, sized).clip is None
    assert framed(wishing(task, "inside"), sized).clip is None
    asked = framed(wishing(task, "clips"), sized).clip
    assert asked is not None
    thick = replace(task, full=replace(task.full, rotors=tuple(
        replace(each, current=3 * each.current) for each in task.full.rotors)))  # fmt: skip
    assert arm_bundle(thick) > sized.frame.arm.bore
    found = framed(thick, sized).clip
    assert found is not None
    assert found.bundle == arm_bundle(thick)
    inside = wire_checks(thick, framed(wishing(thick, "inside"), sized))
    assert next(c for c in inside if c.key == "wires-through").verdict is Verdict.FAILS
    huge = replace(task, full=replace(task.full, rotors=tuple(
        replace(each, current=20 * each.current) for each in task.full.rotors)))  # fmt: skip
    assert framed(huge, sized).clip is None, "no arm is wide enough for a clip"
    tube = replace(sized.frame.arm, family="tube", bore=0.014)
    body = settings_of(task, "box")[0].body
    own = wishing(thick, "clips")
    assert frame_for(own, body, tube, "ASA", 4e-3).clip is None


def test_no_clip_stands_in_the_propeller_s_way(task: Task, sized: Sized) -> None:
    """A flat motor: clips asked for are refused, those that nobody asked for left out."""
    brief = task.brief
    flat = replace(task, brief=replace(brief, motor=replace(brief.motor, height=6e-3)))
    thick = replace(flat, full=replace(task.full, rotors=tuple(
        replace(each, current=3 * each.current) for each in task.full.rotors)))  # fmt: skip
    assert arm_bundle(thick) > sized.frame.arm.bore
    assert framed(thick, sized).clip is None
    with pytest.raises(WishError, match="propellers' way"):
        framed(wishing(flat, "clips"), sized)


def test_a_pair_sends_six_wires_along_its_arm(task: Task) -> None:
    pair = replace(task, paired=True)
    assert arm_bundle(pair) == pytest.approx(3 * motor_lead(task).outside)


def test_clips_stand_near_enough_and_clear_of_a_lap(task: Task, sized: Sized) -> None:
    body, arm = settings_of(task, "box")[0].body, sized.frame.arm
    found = clip_stations(body, arm)
    steps = [b - a for a, b in pairwise(found)]
    assert max(steps) <= APART
    assert max(steps) == pytest.approx(min(steps))
    split = replace(arm, split=0.5 * arm.length, lap=0.04, lap_screw="M3")
    for x in clip_stations(body, split):
        assert abs(x - split.split) >= 0.02 + 4.5e-3
    assert evenly(0.1, 0.11) == pytest.approx((0.105,))


def test_bends_are_as_wide_as_the_space_less_the_wires(task: Task, sized: Sized) -> None:
    bundle = arm_bundle(task)
    where, radius = tightest(sized.frame, bundle)
    arm = sized.frame.arm
    assert where.startswith("through the arm's side")
    assert radius == pytest.approx(arm.width - 2 * arm.side - bundle)
    open_arm = replace(sized.frame, arm=replace(arm, family="truss"))
    assert tightest(open_arm, bundle)[1] == pytest.approx(sized.frame.clamp.root_radius - bundle)
    checks = {each.key: each for each in wire_checks(task, sized.frame)}
    assert {each.verdict for each in checks.values()} == {Verdict.HOLDS}
    assert checks["wire-bend"].capacity == pytest.approx(4 * motor_lead(task).outside)
    narrow = replace(sized.frame, arm=replace(arm, width=0.016))
    worse = {each.key: each.verdict for each in wire_checks(task, narrow)}
    assert worse["wire-bend"] is Verdict.FAILS


def test_clips_are_listed_weighed_and_out_of_the_way(task: Task, clipped: Sized) -> None:
    own = wishing(task, "clips")
    clip = clipped.frame.clip
    assert clip is not None
    count = clipped.frame.n_arms * len(clip.places)
    (line,) = (each for each in clipped.assessment.fasteners if "clips" in each.where)
    assert line.quantity == count
    solids = make_solids(own, clipped.frame, clipped.layout)
    assert solids.assembly.overlaps == ()
    assert solids.made.masses["clip"] == pytest.approx(clipped.part_masses["clip"], rel=0.02)
    lumps = [each for each in clipped.assessment.lumps if each.part == "clip"]
    assert len(lumps) == count
    for lump in lumps:
        angle = float(clipped.layout.arm_angles[lump.arm])
        apart = angle - atan2(lump.centre[1], lump.centre[0])
        assert abs((apart + pi) % (2 * pi) - pi) < 1e-9, "on the arm that carries it"
    (check,) = access_checks(own, clipped.frame, clipped.layout, solids.assembly)
    assert check.verdict is Verdict.HOLDS, check.note
