"""Skids tie two legs together: as a beam between their ends does, by the beam solver."""

from dataclasses import replace
from types import SimpleNamespace
from typing import cast

import numpy as np
import pytest

from refledge.airframe.assessment import airframe_modes
from refledge.airframe.sizing import Sized, screen
from refledge.airframe.skid_checks import skid_checks, tie_stress
from refledge.airframe.skid_ties import (
    bar_section,
    end_stiffness,
    sides,
    tie_axes,
    tie_forces,
    tied,
    untied,
)
from refledge.airframe.statics import solve_cases
from refledge.airframe.stressing import part_stresses
from refledge.airframe.task import Task
from refledge.airframe.task_making import make_task, rotor_model
from refledge.analysis.beam import BeamFrame, all_dofs, solve_static
from refledge.model.brief import Brief
from refledge.model.gear import SkidDesign
from refledge.repair.reduced import without
from refledge.study import Study
from refledge.verify.beam_forces import worst_foot

LONG = 0.21


@pytest.fixture(scope="module")
def skid_task(brief: Brief) -> Task:
    wish = replace(brief, frame=replace(brief.frame, gear="skids"))
    return make_task(wish, "six-x", rotor_model(wish), 3.2, {})


@pytest.fixture(scope="module")
def made(skid_task: Task) -> Sized:
    return screen(skid_task, "box", "ASA")


def skid_of(made: Sized) -> SkidDesign:
    assert made.frame.skid is not None
    return made.frame.skid


@pytest.mark.parametrize("lap", [0.0, 0.04])
def test_a_tie_is_a_beam_held_at_its_other_end(skid_task: Task, made: Sized, lap: float) -> None:
    """Loaded one way at a time by the beam solver; torsion by its own constant, 15 mm by 10 mm."""
    skid, material = replace(skid_of(made), lap=lap), skid_task.materials["ASA"]
    wide, high = bar_section(skid)
    K, one, none = end_stiffness(skid, material, LONG), np.ones(1), np.zeros(1)
    torsion = K[3, 3] * LONG / material.G_xz
    bar = BeamFrame(
        nodes=np.array([[0.0, 0.0, 0.0], [LONG, 0.0, 0.0]]), elements=np.array([[0, 1]]),
        E=material.E * one, G=material.G_xz * one, A=wide * high * one,
        Iy=wide * high**3 / 12 * one, Iz=high * wide**3 / 12 * one, J=torsion * one,
        Ay=np.inf * one, Az=np.inf * one, mass_per_length=one, rotary_x=none, rotary_y=none,
        rotary_z=none, z_axis=np.array([[0.0, 0.0, 1.0]]), offsets=np.zeros((1, 2, 3)),
    )  # fmt: skip
    loads = np.zeros((6, 2, 6))
    loads[:, 1] = np.diag([10.0, 10.0, 10.0, 0.1, 0.1, 0.1])
    moved = solve_static(bar, loads, all_dofs(0)).displacements[:, 1]
    assert moved @ K == pytest.approx(loads[:, 1], abs=1e-9)


def test_torsion_of_a_square_bar() -> None:
    """0.1406 a^4 (Timoshenko and Goodier, Theory of Elasticity), to the formula's 0.5 %."""
    square = SkidDesign(
        turn=0.5, nose=0.03, width=0.012, height=0.012, sleeve=0.014, wall=0.0024, sole=0.004,
        flare=0.002, lap=0.0, screw="M3", material="ASA",
    )  # fmt: skip

    class Soft:
        E, G_xz = 2e9, 0.7e9

    stiff = end_stiffness(square, Soft(), 1.0)  # type: ignore[arg-type]
    assert stiff[3, 3] == pytest.approx(0.7e9 * 0.1406 * 0.012**4, rel=5e-3)


def test_ties_stand_between_the_feet_of_either_side(made: Sized) -> None:
    structure = made.assessment.structure
    nodes = structure.frame.nodes
    for (rear, front), way in zip(sides(structure), (1.0, -1.0), strict=True):
        assert way * nodes[rear][1] > 0.0
        assert way * nodes[front][1] > 0.0
        assert nodes[front][0] > nodes[rear][0]
        assert tie_axes(structure, rear, front)[0] == pytest.approx([1.0, 0.0, 0.0], abs=1e-9)
    feet = set(structure.feet)
    ties = [s for s in structure.frame.springs if {s.node_a, s.node_b} <= feet]
    assert len(ties) == 2
    assert len(untied(structure).frame.springs) == len(structure.frame.springs) - 2
    assert tied(structure, None, None) is structure


def test_moving_all_as_one_costs_nothing_and_ends_balance(made: Sized) -> None:
    structure, rng = made.assessment.structure, np.random.default_rng(3)
    shift, turn = rng.normal(size=3), 1e-3 * rng.normal(size=3)
    nodes = structure.frame.nodes
    rigid = np.hstack([shift + np.cross(turn, nodes), np.broadcast_to(turn, nodes.shape)])
    assert tie_forces(structure, rigid) == pytest.approx(0.0, abs=1e-6)
    free = 1e-4 * rng.normal(size=(len(nodes), 6))
    for (rear, front), (there, here) in zip(
        sides(structure), tie_forces(structure, free), strict=True
    ):
        lever = tie_axes(structure, rear, front) @ (nodes[front] - nodes[rear])
        assert there[:3] + here[:3] == pytest.approx(0.0, abs=1e-6)
        whole = there[3:] + here[3:] + np.cross(lever, here[:3])
        assert whole == pytest.approx(0.0, abs=1e-6)


def test_ties_spare_the_leg_that_lands_alone(made: Sized) -> None:
    """The same push: the skid takes part of it to the other leg."""
    found = made.assessment
    loose = untied(found.structure)
    cases = tuple(each.case for each in found.results if each.case.key == "landing-one")
    (one,) = solve_cases(loose, made.layout, cases)
    (both,) = solve_cases(found.structure, made.layout, cases)
    use = [
        next(s.in_plane for s in part_stresses(each, result) if s.part == "leg")
        for each, result in ((loose, one), (found.structure, both))
    ]
    assert use[1] < 0.8 * use[0]
    assert tie_stress(found, skid_of(made), both.displacements) > 1e5


def test_modes_rise_with_ties_and_the_check_can_fail(skid_task: Task, made: Sized) -> None:
    found, frame = made.assessment, made.frame
    loose = airframe_modes(skid_task, frame, untied(found.structure), found.lumps)
    assert np.all(found.modes.frequencies > loose.frequencies - 1e-6)
    assert found.modes.frequencies[2] > 1.001 * loose.frequencies[2]
    good = {each.key: each for each in skid_checks(skid_task, frame, found)}["skid-tie"]
    assert good.margin > 0.0
    thin = replace(frame, skid=replace(skid_of(made), width=0.002, height=0.004))
    assert {x.key: x for x in skid_checks(skid_task, thin, found)}["skid-tie"].margin < 0.0


def test_a_broken_leg_takes_its_tie_along(made: Sized) -> None:
    structure = made.assessment.structure
    left = without(structure.frame, structure, frozenset({"leg 1"}))
    assert len(left.springs) == len(structure.frame.springs) - 1
    gone = structure.feet[0]
    assert all(gone not in (s.node_a, s.node_b) for s in left.springs)


def test_the_leg_as_a_solid_gets_what_ground_and_tie_leave(made: Sized) -> None:
    """As large as at the end of its last beam, but for the inertia of half a skid; the moment is
    what spares the leg."""
    study = SimpleNamespace(assessment=made.assessment, frame=made.frame, layout=made.layout)
    result = made.assessment.result("landing-one")
    leg = int(np.argmax(np.linalg.norm(result.case.foot_force, axis=1)))
    row = made.assessment.structure.beams_of("leg", leg)[-1]
    force, moment = worst_foot(cast(Study, study), result)
    end = result.forces[row, 1]
    assert np.linalg.norm(force) == pytest.approx(np.linalg.norm(end[:3]), rel=0.02)
    assert np.linalg.norm(moment) == pytest.approx(np.linalg.norm(end[3:]), rel=0.02)
    assert np.linalg.norm(moment) > 1.0
