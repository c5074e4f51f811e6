"""The airframe as a beam frame: symmetry, equilibrium, scaling, and one arm by hand."""

from dataclasses import replace

import numpy as np
import pytest

from refledge.airframe.inventory import Lump
from refledge.airframe.sizing import Sized
from refledge.airframe.statics import CaseResult, solve_cases
from refledge.airframe.structure import Structure
from refledge.airframe.task import Task
from refledge.analysis.beam import (
    matrices,
    modes,
    rigid_body_mass,
    rigid_shapes,
    solve_free,
)
from refledge.geometry.leg import leg_line
from tests.airframe.building import Built, built, even_brief, moved_nodes, stiffer, with_all_legs

SIXTH = np.pi / 3


def about_z(angle: float) -> np.ndarray:
    c, s = np.cos(angle), np.sin(angle)
    return np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])


@pytest.fixture(scope="module")
def even(task: Task, sized: Sized) -> Built:
    """Six arms with a leg each and nothing off the middle."""
    return built(task, with_all_legs(sized.frame), sized.layout, even_brief(task.brief))


def case_results(sized: Sized, structure: Structure) -> dict[str, CaseResult]:
    cases = tuple(
        result.case for result in sized.assessment.results if result.case.kind == "flight"
    )
    found = solve_cases(structure, sized.layout, cases)
    return {each.case.key: each for each in found}


def assert_invariant(structure: Structure, motion: np.ndarray) -> None:
    """Stiffness and mass do not change when the whole frame is moved onto itself."""
    operator = moved_nodes(structure.frame.nodes, motion)
    for matrix in matrices(structure.frame):
        dense = matrix.toarray()
        scale = np.sqrt(np.outer(dense.diagonal(), dense.diagonal())).clip(1e-12)
        change = np.abs(operator @ dense @ operator.T - dense) / scale
        assert change.max() < 1e-9


def test_six_arms_turn_onto_one_another(even: Built) -> None:
    assert_invariant(even.structure, about_z(SIXTH))


def test_left_mirrors_right_on_the_demo_itself(sized: Sized) -> None:
    assert_invariant(sized.assessment.structure, np.diag([1.0, -1.0, 1.0]))


def test_every_motor_tilts_alike_at_full_thrust(sized: Sized, even: Built) -> None:
    """Six equal arms, equal thrusts, torques that alternate: the tilts are mirror images."""
    cases = [r.case for r in sized.assessment.results if r.case.key == "full-thrust"]
    six = replace(cases[0], foot_force=np.zeros((6, 3)))
    tilt = solve_cases(even.structure, sized.layout, (six,))[0].motor_tilt
    np.testing.assert_allclose(tilt, tilt[0], rtol=1e-7)
    assert tilt[0] > 1e-4


def test_modes_of_six_arms_come_alone_or_in_pairs(even: Built) -> None:
    """Group C6v has representations of one and of two dimensions only; six arms bending up and
    down give two single modes and two pairs, so at least a third of the modes are paired."""
    found, _ = modes(even.structure.frame, 24)
    alike = np.abs(np.diff(found) / found[1:]) < 1e-6
    assert not np.any(alike[1:] & alike[:-1])
    assert alike.sum() >= 8


def test_loads_inertia_and_stiffness_balance_at_every_node(sized: Sized) -> None:
    """K u = f - M a, so nothing holds the free frame and no reaction is left."""
    frame = sized.assessment.structure.frame
    K, M = matrices(frame)
    loads = np.zeros((len(frame.nodes), 6))
    loads[sized.assessment.structure.tips[2], 2] = 10.0
    loads[sized.assessment.structure.belly, 0] = 3.0
    found = solve_free(frame, loads)
    R = rigid_shapes(frame.nodes)
    left = K @ found.displacements.ravel() - (loads.ravel() - M @ (R @ found.acceleration))
    assert np.abs(left).max() < 1e-6
    np.testing.assert_allclose(R.T @ (M @ found.displacements.ravel()), 0.0, atol=1e-9)


def test_rigid_motion_costs_nothing(sized: Sized) -> None:
    """Springs and offsets included: K times the six rigid motions is nil against K's own size."""
    frame = sized.assessment.structure.frame
    K, _ = matrices(frame)
    R = rigid_shapes(frame.nodes)
    assert np.abs(K @ R).max() < 1e-9 * np.abs(K).max()


def test_hover_accelerates_everything_by_g(task: Task, sized: Sized) -> None:
    """Rotors hold the all-up weight: inertia relief answers with g, the slung payload included."""
    result = sized.assessment.result("hover")
    mass = sum(lump.mass for lump in sized.assessment.lumps)
    expected = result.case.rotor_thrust.sum() / mass
    fixed = mass - task.brief.payload.mass
    pull = result.case.slung_force
    body = rigid_body_mass(sized.assessment.structure.frame)
    at_centre = result.acceleration[:3] + np.cross(result.acceleration[3:], body.centre)
    assert at_centre[2] == pytest.approx((result.case.rotor_thrust.sum() - pull) / fixed, rel=1e-9)
    assert at_centre[2] == pytest.approx(expected, rel=2e-2)


@pytest.mark.parametrize("factor", [2.0, 5.0])
def test_stiffness_scales_deflection_and_frequency(task: Task, sized: Sized, factor: float) -> None:
    """All moduli times k: deflections over k, frequencies times root k."""
    soft = built(task, sized.frame, sized.layout).structure
    hard = built(
        task, sized.frame, sized.layout, materials=stiffer(task.materials, factor)
    ).structure
    before, after = (case_results(sized, each)["full-thrust"] for each in (soft, hard))
    np.testing.assert_allclose(after.motor_tilt * factor, before.motor_tilt, rtol=1e-6)
    np.testing.assert_allclose(after.tip_deflection * factor, before.tip_deflection, rtol=1e-6)
    low, high = (modes(each.frame, 10)[0] for each in (soft, hard))
    np.testing.assert_allclose(high, low * np.sqrt(factor), rtol=1e-6)


def test_mass_scales_frequency_and_not_deflection(task: Task, sized: Sized) -> None:
    """Every mass times four: half the frequency, the same deflection under the same thrust."""
    frame = built(task, sized.frame, sized.layout).structure.frame
    heavy = replace(
        frame,
        mass_per_length=4 * frame.mass_per_length,
        rotary_x=4 * frame.rotary_x,
        rotary_y=4 * frame.rotary_y,
        rotary_z=4 * frame.rotary_z,
        masses=tuple(
            replace(each, mass=4 * each.mass, inertia=4 * each.inertia) for each in frame.masses
        ),
    )
    np.testing.assert_allclose(2 * modes(heavy, 10)[0], modes(frame, 10)[0], rtol=1e-6)
    loads = np.zeros((len(frame.nodes), 6))
    loads[list(sized.assessment.structure.tips), 2] = 5.0
    one, other = (solve_free(each, loads).displacements for each in (frame, heavy))
    np.testing.assert_allclose(other, one, rtol=0, atol=1e-7 * np.abs(one).max())


def test_twice_the_load_gives_twice_the_answer(sized: Sized) -> None:
    structure = sized.assessment.structure
    case = next(r.case for r in sized.assessment.results if r.case.key == "full-thrust")
    twice = replace(
        case,
        rotor_thrust=2 * case.rotor_thrust,
        rotor_torque=2 * case.rotor_torque,
        slung_force=2 * case.slung_force,
    )
    one, two = solve_cases(structure, sized.layout, (case, twice))
    np.testing.assert_allclose(two.motor_tilt, 2 * one.motor_tilt, rtol=1e-9)
    np.testing.assert_allclose(two.forces, 2 * one.forces, rtol=1e-9, atol=1e-9)


def test_legs_stand_where_they_are_drawn(task: Task, sized: Sized) -> None:
    """Strut's head and foot on the line that geometry/leg.py draws, from the outer bolts."""
    structure, frame = sized.assessment.structure, sized.frame
    (x0, z0), (x1, z1) = leg_line(frame, task.hardware)
    under = -frame.plate_gap / 2 - frame.plate.thickness
    bolts = frame.clamp.root_radius + frame.clamp.first + frame.clamp.pitch_x
    for index, foot in enumerate(structure.feet):
        place = structure.frame.nodes[foot]
        assert np.hypot(place[0], place[1]) == pytest.approx(bolts + x1)
        assert place[2] == pytest.approx(under + z1)
        head = structure.bars[structure.beams_of("leg", index)[0]].head
        assert head is not None
        assert np.hypot(head[0], head[1]) == pytest.approx(bolts + x0)
        assert head[2] == pytest.approx(under + z0)


def test_upper_plate_carries_what_lies_above(task: Task, sized: Sized) -> None:
    structure, found = sized.assessment.structure, sized.assessment.lumps

    def on(lump: Lump) -> list[int]:
        return [
            mass.node
            for mass in structure.frame.masses
            if mass.mass == lump.mass
            and np.allclose(structure.frame.nodes[mass.node] + mass.offset, lump.centre)
        ]

    controller = next(x for x in found if x.name == task.brief.flight_controller.name)
    battery = next(x for x in found if x.name == task.brief.battery.name)
    assert on(controller) == [structure.hub]
    assert on(battery) == [structure.belly]
    assert structure.frame.nodes[structure.hub, 2] > 0 > structure.frame.nodes[structure.belly, 2]
