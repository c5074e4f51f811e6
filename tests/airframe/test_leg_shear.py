"""A leg's bolts in the plane of the plate: the eccentric group by hand, flanges thick enough."""

from dataclasses import replace
from math import hypot

import numpy as np
import pytest

from refledge.airframe.framing import sized_flanges
from refledge.airframe.judge import reserve
from refledge.airframe.leg_root import flange_load
from refledge.airframe.leg_shear import bearing_thickness, bolt_shear_of, leg_shear_check
from refledge.airframe.sizing import Sized
from refledge.airframe.task import Task
from refledge.analysis.joints import bolt_shear
from refledge.model.checks import Verdict


def test_the_harder_bolt_of_two_side_by_side() -> None:
    """Against the general bolt group (Shigley), for a push on the foot across and along."""
    places = np.array([[0.0, -6e-3], [0.0, 6e-3]])
    for push in ([0.0, 75.0, 150.0], [-40.0, 60.0, 150.0], [75.0, 0.0, 150.0]):
        force = np.array(push)
        moment = np.cross([0.045, 0.0, -0.09], force)
        group = bolt_shear(places, force[:2], moment[2])
        hardest = float(np.linalg.norm(group, axis=1).max())
        assert bolt_shear_of(force, moment, 12e-3) == pytest.approx(hardest)


def test_bearing_of_the_hardest_leg_in_any_landing(task: Task, sized: Sized) -> None:
    frame, found = sized.frame, sized.assessment
    check = leg_shear_check(task, frame, found)
    landings = [each for each in found.results if each.case.kind == "landing"]
    assert {each.case.key for each in landings} >= {"side-load", "drift"}
    pressed = [
        bolt_shear_of(*flange_load(frame, found, each, leg), frame.clamp.pitch_y)
        for each in landings
        for leg in range(4)
    ]
    assert check.demand == pytest.approx(max(pressed) / 3e-3 / frame.leg.flange_thickness)
    assert check.capacity == pytest.approx(
        task.materials["ASA"].strength_xy / task.brief.limits.joint_factor
    )
    assert f"{max(pressed):.0f} N" in check.note
    assert check.verdict is Verdict.HOLDS
    thin = replace(frame, leg=replace(frame.leg, flange_thickness=2e-3))
    assert leg_shear_check(task, thin, found).verdict is Verdict.FAILS


def test_every_leg_counts(task: Task, sized: Sized) -> None:
    """The first one without load: the others' is taken."""
    idle = sized.assessment.structure.beams_of("leg", 0)
    results = []
    for each in sized.assessment.results:
        forces = each.forces.copy()
        forces[idle] = 0.0
        results.append(replace(each, forces=forces))
    found = replace(sized.assessment, results=tuple(results))
    whole = leg_shear_check(task, sized.frame, sized.assessment)
    assert leg_shear_check(task, sized.frame, found).demand > 0.5 * whole.demand


def test_a_flange_just_thick_enough_for_a_push_across(task: Task) -> None:
    screw, plastic = task.hardware.screws["M3"], task.materials["ASA"]
    thick = bearing_thickness(screw, 12e-3, 0.045, 150.0, plastic, 2.0)
    pressed = hypot(75.0 * 0.045 / 12e-3, 75.0 / 2)
    limit = plastic.strength_xy / 2.0 / (1.0 + reserve(plastic.strength_spread))
    assert pressed / 3e-3 / thick <= limit < pressed / 3e-3 / (thick - 0.11e-3)


def test_sizing_thickens_flanges_for_it(task: Task, sized: Sized) -> None:
    """A factor on joints, which bending does not ask for."""
    body = sized.pool.locate(sized.choice.index)[0].candidates.body
    body = replace(body, leg=replace(body.leg, flange_thickness=1.0))
    limits = replace(task.brief.limits, joint_factor=6.0)
    strict = replace(task, brief=replace(task.brief, limits=limits))
    plain, thick = (sized_flanges(each, body, "ASA", 300.0) for each in (task, strict))
    assert thick.leg.flange_thickness > 1.2 * plain.leg.flange_thickness
