"""The damped seat that the brief asks for: sizes, lists, what it passes, solids that fit."""

from dataclasses import replace
from math import hypot, pi

import numpy as np
import pytest

from refledge.airframe.access_checks import access_checks
from refledge.airframe.assessment import controller_motion
from refledge.airframe.body import body_for
from refledge.airframe.inventory import centre_of_mass
from refledge.airframe.making import make_solids
from refledge.airframe.sizing import Sized, screen
from refledge.airframe.soft_seat import on_standoffs, riding_motion, sprung
from refledge.airframe.soft_seat_checks import soft_seat_checks
from refledge.airframe.task import Task
from refledge.airframe.task_making import make_task, rotor_model
from refledge.analysis.frame import PointMass, Spring
from refledge.analysis.modal import modes
from refledge.inputs.fasteners import hardware
from refledge.model.brief import Brief
from refledge.model.checks import Verdict
from tests.airframe.test_body import ANGLES, WIDTH


@pytest.fixture(scope="module")
def soft(brief: Brief) -> Brief:
    return replace(brief, frame=replace(brief.frame, seat="damped"))


@pytest.fixture(scope="module")
def soft_task(soft: Brief) -> Task:
    return make_task(soft, "six-x", rotor_model(soft), 3.2, {})


@pytest.fixture(scope="module")
def made(soft_task: Task) -> Sized:
    return screen(soft_task, "box", "ASA")


def test_a_hard_seat_stays_as_it_was(task: Task, sized: Sized) -> None:
    assert (sized.frame.seat.rise, sized.frame.seat.turn) == (0.0, 0.0)
    assert soft_seat_checks(task, sized.frame, sized.assessment) == ()
    found = sized.assessment
    moved = controller_motion(task, sized.frame, found.structure, found.lumps,
                              found.modes.frequencies, found.modes.shapes)  # fmt: skip
    hub = found.modes.shapes[:, found.structure.hub, :3]
    assert moved == pytest.approx(np.linalg.norm(hub, axis=1))


@pytest.mark.parametrize("name", ["four", "six", "eight"])
def test_nuts_of_the_standoffs_stay_clear_of_the_arms(soft: Brief, name: str) -> None:
    found, screw = body_for(soft, ANGLES[name], False, WIDTH, hardware()), hardware().screws["M3"]
    out = found.seat.foot_pitch / 2**0.5
    assert out + screw.washer_diameter / 2 < found.clamp.root_radius
    assert found.seat.foot_pitch > soft.standoffs.diameter
    assert found.seat.rise == soft.standoffs.height


def test_solids_fit_are_reached_and_weigh_about_the_estimate(soft_task: Task, made: Sized) -> None:
    solids = make_solids(soft_task, made.frame, made.layout)
    assert solids.assembly.overlaps == ()
    names = [each.name for each in solids.assembly.placements if each.key == "standoff"]
    assert len(names) == 4
    assert solids.made.masses["seat"] == pytest.approx(made.part_masses["seat"], rel=0.2)
    (check,) = access_checks(soft_task, made.frame, made.layout, solids.assembly)
    assert check.verdict is Verdict.HOLDS, check.note


def test_standoffs_are_listed_in_place_of_screws(made: Sized, soft: Brief) -> None:
    lines = made.assessment.fasteners
    (line,) = (each for each in lines if "standoff" in each.name)
    assert (line.quantity, line.mass > soft.standoffs.mass) == (4, True)
    assert not any("from below" in each.where and "seat" in each.where for each in lines)


def test_what_rides_is_controller_carrier_and_half_the_standoffs(made: Sized, soft: Brief) -> None:
    body = sprung(soft, made.frame, made.assessment.lumps)
    carrier = made.part_masses["seat"]
    wanted = soft.flight_controller.mass + carrier + 2 * soft.standoffs.mass
    assert body.mass == pytest.approx(wanted)
    heave = (4 * soft.standoffs.stiffness / wanted) ** 0.5 / (2 * pi)
    assert np.abs(body.frequencies() - heave).min() < 1e-6
    about_z = (
        soft.flight_controller.mass
        * (soft.flight_controller.length**2 + soft.flight_controller.width**2)
        / 12
        + carrier * made.frame.seat.side**2 / 6
    )
    about_z += 2 * soft.standoffs.mass * made.frame.seat.foot_pitch**2 / 2
    assert body.inertia[2, 2] == pytest.approx(about_z)
    names = {each.name for each in on_standoffs(soft, made.frame, made.assessment.lumps)}
    assert names == {soft.flight_controller.name, "flight-controller seat"}


def test_the_default_standoffs_isolate_and_let_it_steer(soft_task: Task, made: Sized) -> None:
    checks = {each.key: each for each in soft_seat_checks(soft_task, made.frame, made.assessment)}
    assert {each.verdict for each in checks.values()} == {Verdict.HOLDS}
    assert checks["seat-isolation"].demand < 0.5 < checks["seat-mode"].demand


@pytest.mark.parametrize(("factor", "failing"), [(4.0, "seat-isolation"), (0.3, "seat-mode")])
def test_too_stiff_passes_the_shaking_and_too_soft_does_not_steer(
    soft_task: Task, made: Sized, factor: float, failing: str
) -> None:
    old = soft_task.brief.standoffs
    other = replace(old, stiffness=factor * old.stiffness,
                    side_stiffness=factor * old.side_stiffness)  # fmt: skip
    task = replace(soft_task, brief=replace(soft_task.brief, standoffs=other))
    checks = soft_seat_checks(task, made.frame, made.assessment)
    assert [each.key for each in checks if each.verdict is Verdict.FAILS] == [failing]


def test_travel_is_what_it_feels_over_four_stiffnesses(soft_task: Task, made: Sized) -> None:
    found, soft = made.assessment, soft_task.brief.standoffs
    (check,) = (each for each in soft_seat_checks(soft_task, made.frame, found)
                if each.key == "seat-travel")  # fmt: skip
    mass = sprung(soft_task.brief, made.frame, found.lumps).mass
    wanted = max(
        hypot(mass * (up + 9.80665) / (4 * soft.stiffness), mass * side / (4 * soft.side_stiffness))
        for up, side in (each.felt for each in found.results if each.case.kind == "flight")
    )
    assert check.demand == pytest.approx(wanted)


def test_the_motion_is_that_of_a_frame_that_holds_the_standoffs_as_a_spring(
    soft_task: Task, made: Sized
) -> None:
    """Without loss, in each mode of the frame with carrier and controller on a spring of their
    own, they move as the plate's motion in that mode tells: exactly."""
    found, brief = made.assessment, soft_task.brief
    body = replace(sprung(brief, made.frame, found.lumps), loss=0.0)
    riding = on_standoffs(brief, made.frame, found.lumps)
    centre, bare, hub = centre_of_mass(riding), found.structure.frame, found.structure.hub
    node = len(bare.nodes)
    masses = (*(each for each in bare.masses if each.mass not in {one.mass for one in riding}),
              PointMass(node, body.mass, body.inertia, np.zeros(3)))  # fmt: skip
    assert len(masses) == len(bare.masses) - 1
    whole = replace(
        bare, nodes=np.vstack([bare.nodes, centre]), masses=masses,
        springs=(*bare.springs, Spring(hub, node, body.K)),
    )  # fmt: skip
    frequencies, shapes = modes(whole, 24)
    told = riding_motion(body, centre, bare.nodes[hub], shapes[:, hub], frequencies)
    assert told == pytest.approx(np.linalg.norm(shapes[:, node, :3], axis=1), rel=1e-3, abs=1e-6)


def test_high_modes_are_felt_less_through_it(soft_task: Task, made: Sized) -> None:
    found = made.assessment
    hub = np.linalg.norm(found.modes.shapes[:, found.structure.hub, :3], axis=1)
    moved = controller_motion(soft_task, made.frame, found.structure, found.lumps,
                              found.modes.frequencies, found.modes.shapes)  # fmt: skip
    high = (hub > 0.02) & (found.modes.frequencies > 150.0)
    assert high.any()
    assert np.all(moved[high] < 0.5 * hub[high])
