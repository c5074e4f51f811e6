"""How legs hang on the plate: rocking by hand, loads by statics, flanges by what they bear."""

from dataclasses import replace

import numpy as np
import pytest

from refledge.airframe.framing import sized_flanges, sized_legs
from refledge.airframe.gear import least_flange
from refledge.airframe.judge import reserve
from refledge.airframe.leg_root import Rest, flange_for, flange_load, leg_root_checks, rocked
from refledge.airframe.sizing import Sized, screen
from refledge.airframe.task import Task
from refledge.geometry.features import part_features
from refledge.geometry.leg import leg_line, plate_reach
from refledge.geometry.named import Plane, Rectangle
from refledge.model.checks import Verdict

REST = Rest(edge=0.015, back=0.005, fillet=0.005, apart=0.012, width=0.024)
NOTHING = np.zeros(3)


def pushed(x: float, height: float, *force: float) -> tuple[np.ndarray, np.ndarray]:
    """A force at a foot, about the middle of the bolts."""
    return np.array(force), np.cross([x, 0.0, -height], force)


def test_a_foot_beyond_the_plate_rocks_about_its_edge() -> None:
    """T = F (x - edge) / edge on two bolts; the flange bends by T on its way to the fillet."""
    found = rocked(REST, *pushed(0.045, 0.09, 0.0, 0.0, 300.0))
    total = 300.0 * (0.045 - 0.015) / 0.015
    assert found.pull == pytest.approx(total / 2)
    assert found.moment == pytest.approx(total * 0.005)


def test_a_foot_under_the_plate_pulls_on_nothing() -> None:
    assert rocked(REST, *pushed(0.01, 0.09, 0.0, 0.0, 300.0)).pull == 0.0


def test_a_push_inwards_rocks_about_the_flange() -> None:
    """H h - F (x + back) about the inner edge; the flange bears what the strut brings to it."""
    found = rocked(REST, *pushed(0.02, 0.09, -200.0, 0.0, 100.0))
    total = (200.0 * 0.09 - 100.0 * (0.02 + 0.005)) / 0.005
    assert found.pull == pytest.approx(total / 2)
    assert found.moment == pytest.approx(200.0 * 0.09 - 100.0 * (0.02 - 0.005))


def test_a_push_sideways_rocks_about_the_side() -> None:
    """Bolts pull as they stand off the side: far / (far2 + near2)."""
    found = rocked(REST, *pushed(0.0, 0.09, 0.0, 100.0, 50.0))
    moment = 100.0 * 0.09 - 50.0 * 0.012
    assert found.pull == pytest.approx(moment * 0.018 / (0.018**2 + 0.006**2))


def test_a_leg_that_hangs_pulls_on_both_bolts() -> None:
    assert rocked(REST, np.array([0.0, 0.0, -40.0]), NOTHING).pull >= 20.0


def test_the_strut_brings_what_the_ground_does(task: Task, sized: Sized) -> None:
    """Foot force at the foot, about the bolts, but for the leg's own inertia."""
    found, frame = sized.assessment, sized.frame
    result = found.result("landing-one")
    force, moment = flange_load(frame, found, result, 0)
    foot = result.case.foot_force[0]
    x, z = leg_line(frame, task.hardware)[1]
    wanted = np.cross([x, 0.0, z], [0.0, 0.0, foot[2]])
    assert force[2] == pytest.approx(foot[2], rel=0.04)
    assert moment == pytest.approx(wanted, rel=0.04, abs=0.02 * abs(wanted[1]))
    assert moment[1] < -5.0  # lifts the outer end


def test_flanges_are_as_thick_as_landings_ask(task: Task, sized: Sized) -> None:
    washer, flange = leg_root_checks(task, sized.frame, sized.assessment)
    assert (washer.verdict, flange.verdict) == (Verdict.HOLDS, Verdict.HOLDS)
    thin = replace(sized.frame, leg=replace(sized.frame.leg, flange_thickness=3e-3))
    _, bent = leg_root_checks(task, thin, sized.assessment)
    assert bent.verdict is Verdict.FAILS
    assert bent.demand == pytest.approx(
        flange.demand * (sized.frame.leg.flange_thickness / 3e-3) ** 2, rel=1e-9
    )


def test_room_is_kept_for_a_thick_flange_and_given_back(task: Task, sized: Sized) -> None:
    """Before the airframe is known legs count as stiff; what they feel makes them thinner."""
    body = sized.pool.locate(sized.choice.index)[0].candidates.body
    first, _ = sized_legs(task, body, "ASA")
    push = float(sized.assessment.result("landing-one").case.foot_force[:, 2].max())
    later = sized_flanges(task, first, "ASA", push)
    least = least_flange(task.hardware.screws[body.clamp.screw])
    assert least <= later.leg.flange_thickness <= first.leg.flange_thickness
    assert first.leg.flange_thickness > least
    soft = sized_flanges(task, first, "ASA", 1.0)
    assert soft.leg.flange_thickness == least
    assert screen(task, "box", "ASA").frame.leg.flange_thickness >= least


def test_a_steep_legs_flange_bears_a_push_inwards(task: Task, sized: Sized) -> None:
    """Its foot stands under the plate's edge: only side force inwards bends the flange."""
    leg, plastic = sized.frame.leg, task.materials["ASA"]
    force, foot = 200.0, REST.fillet
    thick = flange_for(leg, REST, foot, force, plastic, 1.3)
    inwards = 0.5 * force * leg.height - force * (foot - REST.fillet)
    allowed = plastic.strength_xy / 1.3 / (1.0 + reserve(plastic.strength_spread))
    assert thick == pytest.approx((6 * inwards / (REST.width * allowed)) ** 0.5, abs=1e-4)


def test_a_strut_stands_half_under_the_plate(task: Task, sized: Sized) -> None:
    """The plate's edge is beyond the strut's inner face, and the solid is held only under it."""
    frame = sized.frame
    (x, _), _ = leg_line(frame, task.hardware)
    assert plate_reach(frame) > x - frame.leg.depth_top / 2
    top = part_features("leg", frame, task.hardware)["flange_top"]
    assert isinstance(top, Plane)
    assert isinstance(top.outline, Rectangle)
    assert top.origin[0] + top.outline.length / 2 == pytest.approx(plate_reach(frame))
