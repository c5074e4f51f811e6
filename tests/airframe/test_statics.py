"""Landing force by energy, carrying by equilibrium, tilt and deflection by rigid turns."""

from dataclasses import replace

import numpy as np
import pytest

from refledge.airframe.sizing import Sized
from refledge.airframe.statics import CaseResult, foot_stiffness, relative_motion, solve_cases
from refledge.airframe.structure import Structure
from refledge.airframe.task import Task
from refledge.analysis.beam import matrices, rigid_body_mass, rigid_shapes, solve_free
from refledge.flight.air import GRAVITY


def landing(sized: Sized) -> tuple[Structure, np.ndarray, np.ndarray]:
    """Structure, loads and displacements of the hard landing on all legs."""
    structure = sized.assessment.structure
    result = sized.assessment.result("landing-all")
    loads = np.zeros((len(structure.frame.nodes), 6))
    loads[list(structure.feet), :3] = result.case.foot_force
    return structure, loads, solve_free(structure.frame, loads).displacements


def test_landing_energy_balances(task: Task, sized: Sized) -> None:
    """Speed's energy and the weight's work on the way down are all strain at the turning point.

    Taken node by node from the stiffness matrix, not from the falling-weight formula.
    """
    structure, _, moved = landing(sized)
    K, _ = matrices(structure.frame)
    strain = 0.5 * moved.ravel() @ (K @ moved.ravel())
    mass, speed = task.landing_mass, task.brief.mission.landing_speed
    sunk = moved[list(structure.feet), 2].mean()
    given = 0.5 * mass * speed**2 + mass * GRAVITY * sunk
    assert strain == pytest.approx(given, rel=1e-9)


def test_foot_stiffness_is_the_slope_of_force_over_feet(sized: Sized) -> None:
    structure, loads, moved = landing(sized)
    found = foot_stiffness(structure, structure.feet)
    sunk = moved[list(structure.feet), 2].mean()
    assert found == pytest.approx(loads[:, 2].sum() / sunk, rel=1e-9)


def test_feet_give_more_on_the_whole_airframe_than_their_legs_alone(sized: Sized) -> None:
    """Arms and plates in series with the legs: softer than the legs held at their clamps."""
    structure = sized.assessment.structure
    whole = foot_stiffness(structure, structure.feet)
    stiff = replace(
        structure,
        frame=replace(
            structure.frame,
            E=np.where([bar.part == "leg" for bar in structure.bars], 1.0, 100.0)
            * structure.frame.E,
        ),
    )
    assert whole < foot_stiffness(stiff, structure.feet)


def carried(sized: Sized) -> tuple[Structure, CaseResult]:
    return sized.assessment.structure, sized.assessment.result("carried")


def test_the_hand_that_carries_feels_all_the_weight(task: Task, sized: Sized) -> None:
    """Elastic forces less weight leave a reaction at the held motor alone, the slung load in it."""
    structure, result = carried(sized)
    K, M = matrices(structure.frame)
    down = np.array([0.0, 0.0, -GRAVITY, 0.0, 0.0, 0.0])
    weight = (M @ (rigid_shapes(structure.frame.nodes) @ down)).reshape(-1, 6)
    weight[structure.belly, 2] -= task.brief.payload.mass * GRAVITY
    reaction = (K @ result.displacements.ravel()).reshape(-1, 6) - weight
    held = structure.tips[result.case.held_arm]
    total = sum(lump.mass for lump in sized.assessment.lumps)
    assert reaction[held, 2] == pytest.approx(total * GRAVITY, rel=1e-9)
    others = np.delete(reaction, held, axis=0)
    assert np.abs(others).max() < 1e-6
    np.testing.assert_allclose(result.displacements[held], 0.0, atol=1e-12)


def test_the_held_arm_bends_by_the_weight_of_the_rest(sized: Sized) -> None:
    """Moment at its outer bolts: every weight that hangs inboard, with its lever arm.

    The lumps' places of arms and legs are estimates and the held arm's own root is left out: 3 %.
    """
    structure, result = carried(sized)
    held = result.case.held_arm
    root = structure.frame.nodes[structure.roots[held], :2]
    reach = np.hypot(*root)
    own = next(lump for lump in sized.assessment.lumps if lump.part == "arm")
    moment = sum(
        lump.mass * GRAVITY * (reach - lump.centre[:2] @ root / reach)
        for lump in sized.assessment.lumps
        if lump.arm != held and lump is not own
    )
    ends = result.forces[structure.beams_of("arm", held)[1], 0]
    assert abs(ends[4]) == pytest.approx(moment, rel=0.03)


def test_a_rigid_turn_is_neither_tilt_nor_deflection(sized: Sized) -> None:
    """Every motor tilts against the hub and every tip moves against its clamp, or not at all."""
    structure = sized.assessment.structure
    case = sized.assessment.result("full-thrust").case
    still = replace(
        case,
        rotor_thrust=0 * case.rotor_thrust,
        rotor_torque=0 * case.rotor_torque,
        slung_force=0.0,
    )

    turned = rigid_shapes(structure.frame.nodes) @ np.array([0.1, 0.2, 0.3, 1e-3, -2e-3, 3e-3])
    tilt, tip = relative_motion(structure, sized.layout, turned.reshape(-1, 6))
    np.testing.assert_allclose(tilt, 0.0, atol=1e-15)
    np.testing.assert_allclose(tip, 0.0, atol=1e-15)
    nothing = solve_cases(structure, sized.layout, (still,))[0]
    np.testing.assert_allclose(nothing.displacements, 0.0, atol=1e-15)


def test_results_stand_in_the_order_of_their_cases(sized: Sized) -> None:
    cases = tuple(result.case for result in sized.assessment.results)
    backwards = solve_cases(sized.assessment.structure, sized.layout, cases[::-1])
    assert [each.case.key for each in backwards] == [case.key for case in cases[::-1]]
    for one, other in zip(backwards[::-1], sized.assessment.results, strict=True):
        np.testing.assert_allclose(one.forces, other.forces, rtol=1e-6, atol=1e-6)


def test_landing_on_one_leg_turns_the_body(sized: Sized) -> None:
    """Force off the centre of mass: angular acceleration by Euler's law about the centre."""
    structure = sized.assessment.structure
    result = sized.assessment.result("landing-one")
    body = rigid_body_mass(structure.frame)
    force = result.case.foot_force[0]
    foot = structure.frame.nodes[structure.feet[0]]
    expected = np.linalg.solve(body.inertia, np.cross(foot - body.centre, force))
    np.testing.assert_allclose(result.acceleration[3:], expected, rtol=1e-7, atol=1e-9)
