"""Propeller guards that the brief asks for: sizes, mass at the tips, strength by closed forms."""

from dataclasses import replace
from math import radians, sin

import numpy as np
import pytest

from refledge.airframe.access_checks import access_checks
from refledge.airframe.body import body_for
from refledge.airframe.fastening import bolts_list
from refledge.airframe.framing import frame_for
from refledge.airframe.guard import CLEAR, LEFT, guard_stress, side_push, sized_guard
from refledge.airframe.guard_checks import guard_checks
from refledge.airframe.making import make_solids
from refledge.airframe.sizing import Sized, screen
from refledge.airframe.task import Task
from refledge.airframe.task_making import make_task, rotor_model
from refledge.errors import WishError
from refledge.geometry.guard import hub_radius
from refledge.geometry.parts import part_quantities
from refledge.inputs.fasteners import hardware
from refledge.model.brief import Brief
from refledge.model.checks import Verdict
from refledge.model.parts import GuardDesign
from tests.airframe.test_body import ANGLES, WIDTH

E, G = 2e9, 0.75e9


@pytest.fixture(scope="module")
def guarded(brief: Brief) -> Brief:
    return replace(brief, frame=replace(brief.frame, guards="rims"))


@pytest.fixture(scope="module")
def guard_task(guarded: Brief) -> Task:
    return make_task(guarded, "six-x", rotor_model(guarded), 3.7, {})


@pytest.fixture(scope="module")
def made(guard_task: Task) -> Sized:
    return screen(guard_task, "box", "ASA")


def own(made: Sized) -> GuardDesign:
    assert made.frame.guard is not None
    return made.frame.guard


def test_nothing_changes_without_them(task: Task, sized: Sized) -> None:
    assert sized.frame.guard is None
    assert guard_checks(task, sized.frame) == ()
    assert not any("guard" in line.where for line in sized.assessment.fasteners)


def test_they_ride_at_the_tips_and_lengthen_the_mounts_bolts(made: Sized, sized: Sized) -> None:
    lumps = [lump for lump in made.assessment.lumps if lump.part == "guard"]
    assert sorted(lump.arm for lump in lumps) == list(range(6))

    def bolts(one: Sized) -> str:
        (line,) = (f for f in one.assessment.fasteners if f.where == "motor mounts on the arms")
        return line.name

    assert bolts(made) != bolts(sized)
    assert not any("guards" in f.where for f in made.assessment.fasteners)


def test_two_bolts_join_the_halves_of_each(guard_task: Task, made: Sized) -> None:
    halves = replace(made.frame, guard=replace(own(made), screw="M3"))
    bolts = bolts_list(halves, made.layout, guard_task.hardware, guard_task.lengths, 500.0)
    (joint,) = (f for f in bolts if "guards" in f.where)
    assert joint.quantity == 12
    assert part_quantities(halves)["guard_right"] == 6


def test_solids_fit_are_reached_and_weigh_about_the_estimate(guard_task: Task, made: Sized) -> None:
    solids = make_solids(guard_task, made.frame, made.layout)
    assert solids.assembly.overlaps == ()
    assert solids.assembly.least_gap > 5e-3
    assert solids.made.masses["guard"] == pytest.approx(made.part_masses["guard"], rel=0.15)
    lumps = [lump.centre for lump in made.assessment.lumps if lump.part == "guard"]
    assert np.allclose(solids.made.centres["guard"], lumps, atol=15e-3)
    (check,) = access_checks(guard_task, made.frame, made.layout, solids.assembly)
    assert check.demand == 0.0, check.note


def test_strut_alone_is_a_cantilever(made: Sized) -> None:
    """A rim so stiff that it moves as one body; struts side by side, pushed along the arm."""
    guard = replace(own(made), strut_at=1e-3, span=2.2e-3, rim=0.4, height=own(made).thickness)
    length = guard.radius + guard.rim / 2 - hub_radius(guard)
    found = guard_stress(guard, E, G, 10.0, guard.height / 2)
    area = guard.strut * guard.thickness
    assert found.inward == pytest.approx(10.0 * length / (2 * E * area), rel=0.02)


def test_a_free_end_of_the_rim_bends_as_a_curved_cantilever(made: Sized) -> None:
    """Beyond a stiff strut a thin rim deflects by F R^3 / (E I) (a - sin(2 a) / 2) / 2.

    Castigliano; Timoshenko, Strength of Materials, curved bars.
    """
    wide = replace(own(made), span=radians(120.0), strut_at=radians(37.0))
    guard = replace(wide, strut=60e-3, thickness=wide.height, rim=1e-3)
    free = guard.span / 2 - guard.strut_at
    middle, push = guard.radius + guard.rim / 2, 0.1
    inertia = guard.height * guard.rim**3 / 12
    bent = push * middle**3 / (E * inertia) * (free - sin(2 * free) / 2) / 2
    found = guard_stress(guard, E, G, push, guard.height / 2)
    assert found.inward == pytest.approx(bent, rel=0.1)
    moment = push * middle * sin(free)
    assert found.stress == pytest.approx(6 * moment / (guard.height * guard.rim**2), rel=0.1)


def test_stout_enough_for_the_push(guard_task: Task, made: Sized) -> None:
    checks = {each.key: each for each in guard_checks(guard_task, made.frame)}
    assert {each.verdict for each in checks.values()} == {Verdict.HOLDS}
    material, line = guard_task.materials["ASA"], guard_task.brief.printer.extrusion_width
    guard, level = own(made), guard_task.brief.motor.height
    push = side_push(guard_task.all_up_mass)
    found = guard_stress(guard, material.E, material.G, push, level)
    assert checks["guard-gap"].demand == pytest.approx(CLEAR - found.inward)
    assert checks["guard-gap"].capacity == LEFT
    assert checks["guard-strength"].demand == pytest.approx(found.stress)
    harder = sized_guard(guard, material, 2 * push, level, line, 1.3)
    assert harder.rim * harder.strut > guard.rim * guard.strut


def test_whole_where_the_bed_is_large(guarded: Brief) -> None:
    printer = replace(guarded.printer, bed_length=0.17, bed_width=0.17)
    small = replace(guarded, printer=printer)
    for each, screw in ((small, "M3"), (guarded, "")):
        body = body_for(each, ANGLES["six"], False, WIDTH, hardware())
        assert body.guard is not None
        assert body.guard.screw == screw
        outside = body.guard.radius - each.propeller.diameter / 2
        assert outside == pytest.approx(CLEAR)
        assert body.guard.span == pytest.approx(radians(70.0))  # six arms, and 10 degrees
    four = body_for(guarded, ANGLES["four"], False, WIDTH, hardware())
    assert four.guard is not None
    assert four.guard.span == pytest.approx(radians(100.0))


def test_what_cannot_be_guarded_is_refused(guarded: Brief) -> None:
    with pytest.raises(WishError, match="this layout has pairs"):
        body_for(guarded, ANGLES["three"], True, WIDTH, hardware())
    flat = replace(guarded, motor=replace(guarded.motor, height=0.012))
    with pytest.raises(WishError, match=r"motor\.height"):
        body_for(flat, ANGLES["six"], False, WIDTH, hardware())


def test_sized_where_the_frame_is_put_together(guard_task: Task, made: Sized) -> None:
    body = body_for(guard_task.brief, ANGLES["six"], False, made.frame.arm.width, hardware())
    frame = frame_for(guard_task, body, made.frame.arm, "ASA", 5e-3)
    assert frame.guard == made.frame.guard
