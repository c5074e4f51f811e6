"""The arm evaluator against a beam frame of the same arm, hand formulas, and its own symmetries."""

from dataclasses import replace
from unittest.mock import patch

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from refledge.analysis import bars
from refledge.analysis.arms import (
    FAMILIES,
    ArmClamp,
    ArmLoads,
    ArmMaterial,
    ArmShape,
    cut_arms,
    evaluate_arms,
    evaluate_cut,
    span_section,
    stress_cut,
)
from refledge.analysis.beam import end_forces, modes, rigid_body_mass, solve_static
from refledge.analysis.strength import euler_load
from refledge.errors import AnalysisError
from tests.analysis.arm_frame import arm_frame

BOX = ArmShape(
    length=0.24,
    width=0.024,
    depth_root=0.026,
    depth_tip=0.018,
    root_length=0.04,
    tenon_length=0.034,
    side=1.8e-3,
    top=1.6e-3,
    bottom=1.2e-3,
    pitch=0.0166,
    web=1.8e-3,
    bore=6e-3,
)
TUBE = replace(BOX, width=0.016, depth_root=0.016, depth_tip=0.016, bore=0.014)
MATERIAL = ArmMaterial(E=2.2e9, G=0.75e9, rho=1270.0, nu=0.38)
LOADS = ArmLoads(
    force_z=12.0,
    force_y=2.0,
    torque_z=0.2,
    moment_y=0.1,
    torque_x=0.05,
    tip_mass=0.12,
    tip_offset=0.02,
    tip_inertia_x=2e-5,
    tip_inertia_y=3e-5,
    tip_inertia_z=4e-5,
)
CLAMP = ArmClamp(x=0.03, stiffness_y=400.0, stiffness_z=800.0, stiffness_x=300.0)


def shape_of(family: str) -> ArmShape:
    return TUBE if family == "tube" else BOX


def evaluate(family: str, **changes):
    shape = replace(shape_of(family), **changes.pop("shape", {}))
    loads = replace(LOADS, **changes)
    return evaluate_arms(family, shape, MATERIAL, loads, CLAMP)


@pytest.mark.parametrize("family", FAMILIES)
def test_static_equals_beam_frame(family):
    """Within 0.5 %: the frame cuts the taper four times finer. Without taper to rounding."""
    frame, held = arm_frame(family, shape_of(family), MATERIAL, LOADS, CLAMP)
    load = np.zeros((len(frame.nodes), 6))
    top = shape_of(family).depth_root / 2  # sideways force acts, and is felt, at the top face
    turning = LOADS.torque_x - top * LOADS.force_y
    # A beam rotates positively about y when its outer end sinks: the tilt's moment is reversed.
    load[-1] = [0, LOADS.force_y, LOADS.force_z, turning, -LOADS.moment_y, LOADS.torque_z]
    tip = solve_static(frame, load, held).displacements[-1]
    tip[1] -= top * tip[3]
    found = evaluate(family)
    got = [found.deflection_y, found.deflection_z, found.twist, -found.tilt, found.yaw]
    np.testing.assert_allclose(np.ravel(got), tip[1:], rtol=1e-9 if family == "tube" else 5e-3)


@pytest.mark.parametrize("family", FAMILIES)
def test_frequencies_equal_beam_frame(family):
    """Within 1 %: Rayleigh with one Stodola step, and two shapes for sideways with twist."""
    frame, held = arm_frame(family, shape_of(family), MATERIAL, LOADS, CLAMP)
    wanted, shapes = modes(frame, 6, held)
    lively = np.argmax(np.abs(shapes[:, -1, [2, 1]]), axis=1)
    vertical = wanted[lively == 0][0]
    sideways = wanted[lively == 1][:2]
    found = evaluate(family)
    np.testing.assert_allclose(found.frequency_vertical[0], vertical, rtol=1e-2)
    pair = sorted([found.frequency_lateral[0], found.frequency_torsion[0]])
    np.testing.assert_allclose(pair[0], sideways[0], rtol=1e-2)
    np.testing.assert_allclose(pair[1], sideways[1], rtol=1e-2)


@pytest.mark.parametrize("family", FAMILIES)
def test_bare_arm_frequency_equals_beam_frame(family):
    """With no tip mass the static shape is worst; one Stodola step still holds 1 %."""
    bare = ArmLoads()
    stiff = ArmClamp(x=0.03)
    shape = shape_of(family)
    frame, held = arm_frame(
        family,
        shape,
        MATERIAL,
        bare,
        replace(stiff, stiffness_y=1e9, stiffness_x=1e9, stiffness_z=1e9),
    )
    wanted, shapes = modes(frame, 3, held)
    vertical = wanted[np.argmax(np.abs(shapes[:, -1, [2, 1]]), axis=1) == 0][0]
    found = evaluate_arms(family, shape, MATERIAL, bare, stiff)
    np.testing.assert_allclose(found.frequency_vertical[0], vertical, rtol=1e-2)


@pytest.mark.parametrize("family", FAMILIES)
def test_mass_equals_beam_frame_with_its_root(family):
    frame, _ = arm_frame(family, shape_of(family), MATERIAL, LOADS, replace(CLAMP, x=0.0))
    mass = rigid_body_mass(frame).mass - LOADS.tip_mass
    np.testing.assert_allclose(evaluate(family).mass[0], mass, rtol=2e-3)


def test_box_stress_equals_hand_calculation():
    """M c / I at the clamp side of the first span element, from the box formulas by hand."""
    found = evaluate("box", shape={"depth_tip": 0.026}, force_y=0.0, torque_z=0.0, torque_x=0.0)
    inner = 0.024 - 2 * 1.8e-3
    height = 0.026 - 2.8e-3
    area = 0.024 * 0.026 - inner * height
    low = (0.024 * 0.026 * 0.013 - inner * height * (1.2e-3 + height / 2)) / area
    middle = 1.2e-3 + height / 2
    second = 0.024 * 0.026**3 / 12 + 0.024 * 0.026 * (0.013 - low) ** 2
    second -= inner * height**3 / 12 + inner * height * (middle - low) ** 2
    moment = 12.0 * (0.24 - 0.017 - 0.04) + 0.1
    np.testing.assert_allclose(found.stress_bottom[0], moment * low / second, rtol=1e-9)
    np.testing.assert_allclose(found.stress_top[0], -moment * (0.026 - low) / second, rtol=1e-9)


def test_stress_resultants_match_frame_end_forces():
    frame, held = arm_frame("box", BOX, MATERIAL, LOADS, CLAMP)
    load = np.zeros((len(frame.nodes), 6))
    load[-1, 2] = 12.0
    forces = end_forces(frame, solve_static(frame, load, held).displacements)
    root_moment = 12.0 * (0.24 - 0.017 - 0.03)
    np.testing.assert_allclose(abs(forces[0, 0, 4]), root_moment, rtol=1e-9)
    np.testing.assert_allclose(forces[:, 1, 2], 12.0, rtol=1e-9)


def test_truss_diagonals_by_method_of_joints():
    """V splits between two trusses; one inclined bar carries V / (2 sin a) in each."""
    found = evaluate("truss", shape={"depth_tip": 0.026}, torque_x=0.0)
    rise, run = 0.026 - (1.6e-3 + 1.2e-3) / 2, 0.0083
    angle = np.arctan2(rise, run)
    force = 12.0 / (2 * np.sin(angle))
    np.testing.assert_allclose(found.diagonal_stress[0], force / (1.8e-3 * 1.8e-3), rtol=1e-12)
    pull = found.diagonal_stress[0] * np.sin(angle) ** 2
    np.testing.assert_allclose(found.interlayer_tension[0], pull, rtol=1e-12)
    limit = euler_load(2.2e9, 1.8e-3**4 / 12, np.hypot(rise, run), "hinged-hinged")
    np.testing.assert_allclose(found.diagonal_use[0], force / limit, rtol=1e-12)


@pytest.mark.parametrize("family", ["channel", "truss"])
def test_torque_in_open_sections_bends_the_side_walls(family):
    """Both walls bend as a couple T / b: M gains T span / b, V gains 2 T / b. Untapered arm."""
    straight = {"depth_tip": 0.026}
    still = evaluate(family, shape=straight, torque_x=0.0, force_y=0.0, torque_z=0.0)
    turned = evaluate(family, shape=straight, torque_x=0.05, force_y=0.0, torque_z=0.0)
    section = span_section(family, replace(BOX, **straight), np.array(0.026), MATERIAL.layered())
    couple, span = 0.05 / (0.024 - 1.8e-3), 0.24 - 0.04 - 0.034
    gained = turned.stress_bottom - still.stress_bottom
    np.testing.assert_allclose(gained, couple * span * section.bottom / section.Iy, rtol=1e-9)
    gained = turned.interlayer_shear - still.interlayer_shear
    flow = 2 * couple * section.Q / (section.Iy * section.web)
    np.testing.assert_allclose(gained, flow + 0.05 / section.Wt, rtol=1e-9)


def test_channel_free_edge_buckles_between_ribs():
    """Pulled down, the free edge is pressed: k = 0.425 + (h / pitch)^2 (Timoshenko and Gere)."""
    found = evaluate(
        "channel",
        force_z=-12.0,
        torque_x=0.0,
        force_y=0.0,
        torque_z=0.0,
        moment_y=0.0,
        shape={"depth_tip": 0.026},
    )
    height = 0.026 - 1.6e-3
    k = 0.425 + (height / 0.0166) ** 2
    limit = k * np.pi**2 * 2.2e9 / (12 * (1 - 0.38**2)) * (1.8e-3 / height) ** 2
    np.testing.assert_allclose(found.wall_use, -found.stress_bottom / limit, rtol=1e-9)


@pytest.mark.parametrize("family", ["box", "channel", "truss"])
def test_wall_use_grows_as_wall_thins(family):
    """Local buckling stress goes with thickness squared: much thinner top, much higher use."""
    thick, thin = evaluate(family), evaluate(family, shape={"top": 0.8e-3})
    assert thin.wall_use[0] > 3 * thick.wall_use[0]


@pytest.mark.parametrize("family", FAMILIES)
def test_a_block_gives_what_each_arm_gives_alone(family):
    lengths = np.array([0.2, 0.24, 0.28])
    together = evaluate(family, shape={"length": lengths})
    for row, length in enumerate(lengths):
        alone = evaluate(family, shape={"length": length})
        for name in together.__dataclass_fields__:
            value = getattr(together, name)
            assert value.shape == (3,)
            np.testing.assert_allclose(value[row], getattr(alone, name)[0], rtol=1e-12)


@pytest.mark.parametrize("family", FAMILIES)
def test_arms_cut_once_answer_every_load_as_arms_cut_for_it(family):
    """Lengths and places of the tip's mass differ from arm to arm."""
    shape = replace(shape_of(family), length=np.array([0.2, 0.24, 0.28]))
    arms = cut_arms(family, shape, MATERIAL, CLAMP)
    for loads in (replace(LOADS, tip_offset=np.array([0.0, 0.01, 0.02])), ArmLoads(force_z=-5.0)):
        wanted = evaluate_arms(family, shape, MATERIAL, loads, CLAMP)
        whole, stress = evaluate_cut(arms, loads), stress_cut(arms, loads)
        for name in wanted.__dataclass_fields__:
            np.testing.assert_array_equal(getattr(whole, name), getattr(wanted, name))
        for name in stress._fields:
            np.testing.assert_array_equal(getattr(stress, name), getattr(wanted, name))


@settings(max_examples=25, deadline=None)
@given(factor=st.floats(0.1, 10), family=st.sampled_from(FAMILIES))
def test_results_are_linear_in_load(factor, family):
    one = evaluate(family)
    names = ("force_z", "force_y", "torque_z", "moment_y", "torque_x")
    more = evaluate(family, **{n: factor * getattr(LOADS, n) for n in names})
    for name in ("deflection_z", "tilt", "twist", "stress_top", "shear", "diagonal_use"):
        np.testing.assert_allclose(getattr(more, name), factor * getattr(one, name), rtol=1e-9)


@settings(max_examples=25, deadline=None)
@given(factor=st.floats(0.2, 5), family=st.sampled_from(FAMILIES))
def test_frequency_goes_with_root_of_stiffness_over_mass(factor, family):
    rigid = ArmClamp(x=0.03)
    one = evaluate_arms(family, shape_of(family), MATERIAL, LOADS, rigid)
    stiffer = replace(MATERIAL, E=MATERIAL.E * factor, G=MATERIAL.G * factor)
    more = evaluate_arms(family, shape_of(family), stiffer, LOADS, rigid)
    for name in ("frequency_vertical", "frequency_lateral", "frequency_torsion"):
        ratio = getattr(more, name) / getattr(one, name)
        np.testing.assert_allclose(ratio, np.sqrt(factor), rtol=1e-9)


@settings(max_examples=25, deadline=None)
@given(scale=st.floats(0.5, 2), family=st.sampled_from(FAMILIES))
def test_deflection_of_similar_arms(scale, family):
    """All lengths times s at one force: F L^3 / (E I) goes with 1 / s, stress with 1 / s^2."""
    shape = shape_of(family)
    bigger = ArmShape(**{n: getattr(shape, n) * scale for n in shape.__dataclass_fields__})
    pull = ArmLoads(force_z=10.0)
    one = evaluate_arms(family, shape, MATERIAL, pull, ArmClamp(x=0.03))
    with patch.object(bars, "FILLET", scale * bars.FILLET):
        more = evaluate_arms(family, bigger, MATERIAL, pull, ArmClamp(x=0.03 * scale))
    np.testing.assert_allclose(more.deflection_z, one.deflection_z / scale, rtol=1e-6)
    np.testing.assert_allclose(more.stress_bottom, one.stress_bottom / scale**2, rtol=1e-6)
    np.testing.assert_allclose(more.mass, one.mass * scale**3, rtol=1e-9)


@pytest.mark.parametrize(
    ("family", "changes", "words"),
    [
        ("box", {"side": 0.012}, "walls fill the width"),
        ("box", {"top": 0.02}, "walls fill the depth"),
        ("truss", {"bottom": 0.0}, "no bottom"),
        ("channel", {"pitch": 0.0}, "no ribs"),
        ("box", {"length": 0.07}, "no free span"),
        ("box", {"bore": 0.019}, "bore does not fit"),
    ],
)
def test_impossible_arms_are_refused_by_number(family, changes, words):
    values = {name: np.array([getattr(BOX, name), value]) for name, value in changes.items()}
    with pytest.raises(AnalysisError, match=f"{family} arm 1: {words}"):
        evaluate(family, shape=values)


def test_unknown_family_is_refused():
    with pytest.raises(AnalysisError, match="allowed are box"):
        evaluate_arms("plank", BOX, MATERIAL, LOADS, CLAMP)
