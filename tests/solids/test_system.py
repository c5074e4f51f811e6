"""Supports, loads through faces, coupled masses, springs, free bodies."""

import numpy as np
import pytest

from refledge.errors import AnalysisError
from refledge.solids import assembly, faces
from refledge.solids.blocks import brick_mesh
from refledge.solids.cases import (
    Bedding,
    FaceLoad,
    FaceSpring,
    PointMass,
    Pressure,
    SolidCase,
    Support,
)
from refledge.solids.modal import alike, mac, modes
from refledge.solids.port import factor_plain
from refledge.solids.probe import section_motion
from refledge.solids.static import case_load, static
from refledge.solids.system import build
from tests.solids.bars import AREA, HEIGHT, I_Y, LENGTH, PLAIN, WIDTH, bar, plain

MESH = bar()
MATERIAL = plain(MESH)
CLAMP = [Support(("x0",))]
TIP = np.array([LENGTH, WIDTH / 2, HEIGHT / 2])
ABOVE = TIP + np.array([0, 0, 0.02])
E, RHO = 3e9, 1240.0
MASS = RHO * AREA * LENGTH


def pull(force: list[float], point: np.ndarray = TIP) -> SolidCase:
    return SolidCase("tip", (FaceLoad("x1", np.array(force), point),))


def test_tip_load_bends_as_timoshenkos_beam_and_balances() -> None:
    found = static(build(MESH, MATERIAL, CLAMP), [pull([0, 0, 2.0]), pull([0, 3.0, 0])])
    bending = LENGTH**3 / (3 * E * I_Y) + 1.2 * LENGTH / (E / 2 * AREA)
    assert found.motion("x1")[0, 2] == pytest.approx(2.0 * bending, rel=2e-3)
    np.testing.assert_allclose(found.reactions[0, :3], [0, 0, -2.0], atol=1e-8)
    np.testing.assert_allclose(found.reactions[1, 3:], -np.cross(TIP, [0, 3.0, 0]), atol=1e-8)


def test_load_through_an_offset_point_is_force_and_moment() -> None:
    above = TIP + np.array([0.01, 0, 0.03])
    force, arm = np.array([1.0, 2.0, -3.0]), np.array([0.01, 0, 0.03])
    both = FaceLoad("x1", force, TIP, np.cross(arm, force))
    system = build(MESH, MATERIAL, CLAMP)
    one = case_load(system, pull(list(force), above))
    np.testing.assert_allclose(one, case_load(system, SolidCase("", (both,))), atol=1e-12)


def test_mean_motion_of_a_face_is_the_rigid_motion_it_was_given() -> None:
    patch = faces.patch(MESH, "x1")
    assert patch.area == pytest.approx(WIDTH * HEIGHT)
    np.testing.assert_allclose(patch.centre, TIP, atol=1e-12)
    np.testing.assert_allclose(patch.mean @ patch.rigid, np.eye(6), atol=1e-9)


def test_pressure_and_gravity_have_their_resultants() -> None:
    system = build(MESH, MATERIAL, CLAMP, [PointMass("x1", 0.3, ABOVE)])
    case = SolidCase("both", (Pressure("z1", 5e3),), np.array([0.0, 0.0, -9.81]))
    found = static(system, [case])
    down = 5e3 * WIDTH * LENGTH + 9.81 * (MASS + 0.3)
    assert found.reactions[0, 2] == pytest.approx(down, rel=1e-9)
    about = LENGTH / 2 * (down - 0.3 * 9.81) + LENGTH * 0.3 * 9.81
    assert found.reactions[0, 4] == pytest.approx(-about, rel=1e-9)


def test_a_part_without_a_clamp_is_refused() -> None:
    with pytest.raises(AnalysisError, match="no clamp: the supports leave 3 rigid motions"):
        build(MESH, MATERIAL, [Support(("z0",), x=False, y=False)])


def test_faces_without_a_common_edge_are_refused() -> None:
    with pytest.raises(AnalysisError, match="share no edge"):
        build(MESH, MATERIAL, [Support(("x0", "x1"), shared=True)])


def test_a_shared_edge_holds_only_the_edge() -> None:
    system = build(MESH, MATERIAL, [*CLAMP, Support(("x1", "z0"), y=False, x=False, shared=True)])
    held = np.unique(system.held // 3)
    at_tip = held[MESH.nodes[held, 0] > LENGTH / 2]
    np.testing.assert_allclose(MESH.nodes[at_tip, 2], 0.0)
    assert len(at_tip) == 5


def test_a_free_body_is_held_by_its_inertia() -> None:
    """Pushed at one end, a bar accelerates: the normal force falls linearly to the other."""
    system = build(MESH, MATERIAL)
    assert system.loose.shape == (MESH.dofs, 6)
    push = static(system, [pull([6.0, 0, 0])])
    squeeze = push.motion("x1")[0, 0] - push.motion("x0")[0, 0]
    assert squeeze == pytest.approx(6.0 * LENGTH / (2 * E * AREA), rel=1e-3)


def test_both_factorizations_agree() -> None:
    one = static(build(MESH, MATERIAL, CLAMP), [pull([0, 0, 1.0])])
    other = static(build(MESH, MATERIAL, CLAMP, factorize=factor_plain), [pull([0, 0, 1.0])])
    np.testing.assert_allclose(one.displacements, other.displacements, atol=1e-12)


def test_a_stiff_spring_is_a_clamp_and_a_soft_one_carries_all() -> None:
    clamped = static(build(MESH, MATERIAL, CLAMP), [pull([0, 0, 1.0])]).motion("x1")[0, 2]
    stiff = FaceSpring("x0", np.diag([1e9] * 3 + [1e6] * 3))
    sprung = static(build(MESH, MATERIAL, (), (), [stiff]), [pull([0, 0, 1.0])])
    assert sprung.motion("x1")[0, 2] == pytest.approx(clamped, rel=5e-3)
    soft = Bedding("x0", 1e9, 1e9)
    moved = static(build(MESH, MATERIAL, (), (), [soft]), [pull([1.0, 0, 0])])
    assert moved.motion("x0")[0, 0] == pytest.approx(1.0 / (1e9 * AREA), rel=1e-6)


def test_rigid_face_moves_as_one_and_stiffens() -> None:
    motor = PointMass("x1", 0.05, ABOVE, np.eye(3) * 1e-5, rigid=True)
    system = build(MESH, MATERIAL, CLAMP, [motor])
    found = static(system, [pull([0, 5.0, 1.0])])
    patch = faces.patch(MESH, "x1")
    moved = found.displacements[0, patch.nodes].ravel()
    np.testing.assert_allclose(moved, patch.rigid @ (patch.mean @ moved), atol=1e-13)
    loose = build(MESH, MATERIAL, CLAMP, [PointMass("x1", 0.05, ABOVE, np.eye(3) * 1e-5)])
    assert modes(system, 3).frequencies == pytest.approx(modes(loose, 3).frequencies, rel=2e-2)


def test_rigid_face_must_not_overlap_a_support() -> None:
    with pytest.raises(AnalysisError, match="overlaps"):
        build(MESH, MATERIAL, CLAMP, [PointMass("z1", 0.05, TIP, rigid=True)])


def test_free_modes_hold_no_rigid_motion_and_repeat_in_pairs() -> None:
    square = brick_mesh((12, 2, 2), lambda p: p * [0.2, 0.01, 0.01])
    found = modes(build(square, plain(square)), 4)
    expected = 4.73004074**2 / (2 * np.pi * 0.2**2) * np.sqrt(E * 0.01**2 / 12 / RHO)
    assert found.frequencies[:2] == pytest.approx([expected] * 2, rel=1e-2)
    whole = np.abs(found.effective_mass()).max()
    assert whole < 1e-9 * RHO * 0.2 * 1e-4


def test_shapes_have_unit_modal_mass_and_mac_tells_them_apart() -> None:
    system = build(MESH, MATERIAL, CLAMP, [PointMass("x1", 0.02, TIP)])
    found = modes(system, 5)
    flat = found.shapes.reshape(5, -1).T
    np.testing.assert_allclose(flat.T @ system.mass_times(flat), np.eye(5), atol=1e-6)
    np.testing.assert_allclose(mac(found.shapes, -3 * found.shapes).diagonal(), 1.0)
    assert mac(found.shapes[:1], found.shapes[1:2])[0, 0] < 1e-3


def test_held_body_carries_its_whole_mass_in_its_modes() -> None:
    system = build(bar((6, 1, 1)), plain(bar((6, 1, 1))), CLAMP)
    carried = modes(system, 40).effective_mass()[:, 2].sum()
    assert carried == pytest.approx(MASS, rel=0.08)
    assert carried < MASS


def test_too_many_modes_are_refused() -> None:
    with pytest.raises(AnalysisError, match="freedoms"):
        modes(build(bar((1, 1, 1)), plain(bar((1, 1, 1))), CLAMP), 500)


def test_sections_of_a_bent_bar_turn_as_the_beam_does() -> None:
    found = static(build(MESH, MATERIAL, CLAMP), [pull([0, 0, 1.0])])
    stations = np.array([0.5, 1.0]) * LENGTH
    axis = np.array([0, WIDTH / 2, HEIGHT / 2])
    motion = section_motion(found.system, found.displacements, axis, np.eye(3)[0], stations, 1e-9)
    slope = -(LENGTH * stations - stations**2 / 2) / (E * I_Y)
    np.testing.assert_allclose(motion[0, :, 4], slope, rtol=5e-3)
    shear = 1.2 * stations / (E / 2 * AREA)
    sag = (LENGTH * stations**2 / 2 - stations**3 / 6) / (E * I_Y) + shear
    np.testing.assert_allclose(motion[0, :, 2], sag, rtol=5e-3)
    with pytest.raises(AnalysisError, match="no slice"):
        section_motion(found.system, found.displacements, axis, np.eye(3)[0], stations + 1, 1e-9)


def test_residual_is_told() -> None:
    assert static(build(MESH, MATERIAL, CLAMP), [pull([0, 0, 1.0])]).residual < 1e-8


def test_density_is_that_of_the_plastic() -> None:
    whole = build(MESH, MATERIAL, CLAMP).matrices.mass.sum()
    assert whole == pytest.approx(PLAIN.rho * AREA * LENGTH)


def test_inertia_about_another_point_keeps_the_kinetic_energy() -> None:
    own, offset = np.diag([1e-5, 2e-5, 3e-5]), np.array([0.01, -0.02, 0.03])
    speed, spin = np.array([1.0, 2.0, -1.0]), np.array([30.0, -20.0, 10.0])
    centre = speed + np.cross(spin, offset)
    both = np.concatenate((speed, spin))
    found = both @ faces.point_inertia(0.2, own, offset) @ both
    assert found == pytest.approx(0.2 * centre @ centre + spin @ own @ spin)


def test_assembly_in_pieces_is_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = assembly.assemble(MESH, MATERIAL).stiffness
    monkeypatch.setattr(assembly, "_CHUNK", 50)
    pieces = assembly.assemble(MESH, MATERIAL).stiffness
    assert abs(whole - pieces).max() < 1e-12 * abs(whole).max()


def test_a_turning_body_feels_what_its_place_does_to_it() -> None:
    """Force m (g + turn x (c - o)), moment about the centre I turn, of a uniform bar."""
    system = build(bar((4, 1, 1)), plain(bar((4, 1, 1))), [Support(("x0",))])
    about, turn = np.array([-0.03, 0.0, 0.0]), np.array([0.0, 7.0, 0.0])
    case = SolidCase("landing", field=np.array([0.0, 0.0, -20.0]), turn=turn, about=about)
    force = case_load(system, case).reshape(-1, 3)
    mass, centre = 1240.0 * AREA * LENGTH, np.array([LENGTH, WIDTH, HEIGHT]) / 2
    wanted = mass * (case.field + np.cross(turn, centre - about))
    assert force.sum(axis=0) == pytest.approx(wanted)
    moment = np.cross(system.mesh.nodes - centre, force).sum(axis=0)
    inertia = mass / 12 * (LENGTH**2 + HEIGHT**2)
    assert moment[1] == pytest.approx(7.0 * inertia)


def test_point_masses_feel_the_field_unless_the_loads_hold_it() -> None:
    tip = np.array([LENGTH, WIDTH / 2, HEIGHT / 2])
    mesh = bar((4, 1, 1))
    system = build(mesh, plain(mesh), [Support(("x0",))], [PointMass("x1", 0.5, tip)])
    down, turn = np.array([0.0, 0.0, -10.0]), np.array([0.0, 3.0, 0.0])
    own = 1240.0 * AREA * LENGTH
    with_it = case_load(system, SolidCase("a", field=down, turn=turn)).reshape(-1, 3).sum(axis=0)
    without = case_load(system, SolidCase("a", field=down, turn=turn, riders_feel=False))
    assert without.reshape(-1, 3).sum(axis=0)[2] == pytest.approx(own * (-10 - 3 * LENGTH / 2))
    assert with_it[2] - without.reshape(-1, 3).sum(axis=0)[2] == pytest.approx(
        0.5 * (-10.0 - 3.0 * LENGTH)
    )


def test_modes_that_swap_places_find_their_like() -> None:
    shapes = np.random.default_rng(3).standard_normal((4, 5, 3))
    partner, assurance = alike(shapes[:3], shapes[[2, 0, 3, 1]])
    assert list(partner) == [1, 3, 0]
    assert assurance == pytest.approx(1.0)
    crowded = np.stack([shapes[0], shapes[0] + 0.1 * shapes[1]])
    assert sorted(alike(crowded, shapes)[0])[0] != sorted(alike(crowded, shapes)[0])[1]
    with pytest.raises(AnalysisError, match="cannot be paired"):
        alike(shapes, shapes[:3])


def test_of_modes_that_look_alike_the_nearer_frequency_is_taken() -> None:
    """Read at the tip alone, first and second bending are the same shape."""
    shapes = np.ones((2, 3))
    partner, _ = alike(shapes, shapes, 1.0, (np.array([90.0, 20.0]), np.array([21.0, 95.0])))
    assert list(partner) == [1, 0]
    better = np.array([[1.0, 0.0, 0.0], [1.0, 0.6, 0.0]])
    partner, _ = alike(better[:1], better[::-1], 1.0, (np.array([90.0]), np.array([91.0, 20.0])))
    assert list(partner) == [1]  # a clear likeness counts more
