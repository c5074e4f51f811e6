"""Strength, joints, fill: hand calculations, limits and monotony."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from refledge.analysis import fill, joints, strength
from refledge.errors import AnalysisError

POSITIVE = st.floats(1e-3, 1e3)


def test_bending_stress_signs():
    """Moment about +y pulls the +z fibre; about +z it presses the +y fibre; tension positive."""
    assert strength.bending_stress(0, 1, 0, 1, 2, 4, z=3, y=0) == 1.5
    assert strength.bending_stress(0, 0, 1, 1, 2, 4, z=0, y=2) == -0.5
    assert strength.bending_stress(6, 0, 0, 2, 2, 4, z=1, y=1) == 3


def test_rectangle_shear_peak():
    b, h, V = 0.02, 0.01, 50.0
    peak = strength.shear_stress(V, b * h**2 / 8, b * h**3 / 12, b)
    np.testing.assert_allclose(peak, 1.5 * V / (b * h), rtol=1e-12)


@given(sigma=st.floats(-100, 100), tau=st.floats(-100, 100))
def test_principal_tension_is_an_eigenvalue(sigma, tau):
    wanted = np.linalg.eigvalsh([[sigma, tau], [tau, 0]])[-1]
    np.testing.assert_allclose(strength.principal_tension(sigma, tau), wanted, atol=1e-9)


def test_in_plane_use_counts_either_sign():
    assert strength.in_plane_use(-30e6, 0.0, 60e6) == strength.in_plane_use(30e6, 0.0, 60e6) == 0.5
    np.testing.assert_allclose(strength.in_plane_use(0.0, 30e6, 60e6), 0.5)


def test_interlayer_use():
    """Alone each use is its own ratio; together 3-4-5; pressing layers together helps nothing."""
    assert strength.interlayer_use(10.0, 0.0, 20.0, 30.0) == 0.5
    np.testing.assert_allclose(strength.interlayer_use(3.0, 4.0, 10.0, 10.0), 0.5)
    np.testing.assert_allclose(strength.interlayer_use(-50.0, 6.0, 10.0, 12.0), 0.5)


@given(sigma=st.floats(0, 100), angle=st.floats(0, np.pi / 2))
def test_stress_on_a_layer_by_turning_the_tensor(sigma, angle):
    along = np.array([np.cos(angle), np.sin(angle)])
    traction = sigma * np.outer(along, along) @ [0.0, 1.0]
    pull, slide = strength.on_layer(sigma, angle)
    np.testing.assert_allclose([pull, slide], [traction[1], abs(traction[0])], atol=1e-9)


@given(drop=POSITIVE, static=POSITIVE)
def test_falling_weight_energy_balances(drop, static):
    """Weight times fall equals strain energy: 2 (h + d) d_st = d^2."""
    peak = strength.falling_weight_factor(drop, static) * static
    np.testing.assert_allclose(2 * (drop + peak) * static, peak**2, rtol=1e-9)


def test_impact_force_stores_the_energy():
    force = strength.impact_force(3.0, 1.5, 2.0e4)
    np.testing.assert_allclose(force**2 / (2 * 2.0e4), 0.5 * 3.0 * 1.5**2, rtol=1e-12)


def test_unknown_ends_and_wrong_drops_are_refused():
    with pytest.raises(AnalysisError, match="clamped-free"):
        strength.euler_load(1.0, 1.0, 1.0, "loose")
    with pytest.raises(AnalysisError, match="falling weight"):
        strength.falling_weight_factor(1.0, 0.0)


def test_plate_buckling_by_its_euler_strip():
    """nu = 0, k = 1: a strip of unit width and length b, hinged: pi^2 E t^2 / (12 b^2)."""
    strip = strength.euler_load(2e9, 1e-9 / 12, 0.02, "hinged-hinged") / 1e-3
    np.testing.assert_allclose(strength.plate_buckling_stress(2e9, 0.0, 1e-3, 0.02, 1.0), strip)


def test_tube_buckling_is_half_of_classical():
    """Classical 0.605 E t / r at nu = 0.3."""
    found = strength.tube_buckling_stress(70e9, 0.3, 1e-3, 10e-3)
    np.testing.assert_allclose(found, 0.5 * 0.6052 * 70e9 * 0.1, rtol=1e-3)


def test_hole_factor_limits():
    assert strength.hole_factor(0.0, 1.0) == 3
    np.testing.assert_allclose(strength.hole_factor(1 - 1e-9, 1.0), 2)
    with pytest.raises(AnalysisError, match="narrower"):
        strength.hole_factor(1.0, 1.0)


@given(factor=st.floats(0.05, 1), time=st.floats(1, 1e6))
def test_creep_modulus(factor, time):
    """Nothing in the first second, the factor at ten minutes, its square at 600^2 s; falling."""
    assert strength.creep_modulus(2e9, factor, 0.1) == 2e9
    np.testing.assert_allclose(strength.creep_modulus(2e9, factor, 600.0), 2e9 * factor)
    np.testing.assert_allclose(strength.creep_modulus(2e9, factor, 360000.0), 2e9 * factor**2)
    assert strength.creep_modulus(2e9, factor, 2 * time) <= strength.creep_modulus(
        2e9, factor, time
    )


def test_wrong_creep_factor_is_refused():
    with pytest.raises(AnalysisError, match="creep factor"):
        strength.creep_modulus(2e9, 0.0, 60.0)


def test_bearing_and_tear_out():
    assert joints.bearing_stress(-120.0, 3e-3, 4e-3) == 120.0 / 12e-6
    np.testing.assert_allclose(joints.tear_out_stress(120.0, 3e-3, 4e-3, 6.5e-3), 120 / 40e-6)
    with pytest.raises(AnalysisError, match="breaks through"):
        joints.tear_out_stress(1.0, 3e-3, 4e-3, 1.5e-3)


def test_insert_pull_out_thresholds():
    """Full at 2.4 mm and 70 %, no more above, less below."""
    full = np.pi * 4e-3 * 6e-3 * 20e6
    np.testing.assert_allclose(joints.insert_pull_out(4e-3, 6e-3, 20e6, 2.4e-3, 0.7), full)
    np.testing.assert_allclose(joints.insert_pull_out(4e-3, 6e-3, 20e6, 5e-3, 1.0), full)
    np.testing.assert_allclose(joints.insert_pull_out(4e-3, 6e-3, 20e6, 1.2e-3, 0.35), full / 4)


def test_washer_and_sleeve():
    area = np.pi / 4 * (7e-3**2 - 3.2e-3**2)
    np.testing.assert_allclose(joints.washer_pressure(500.0, 7e-3, 3.2e-3), 500 / area)
    np.testing.assert_allclose(joints.clamped_stiffness(2e9, 7e-3, 3.2e-3, 0.03), 2e9 * area / 0.03)


@given(bolt=POSITIVE, clamped=POSITIVE, creep=st.floats(0.05, 1))
def test_preload_left_by_stretch_balance(bolt, clamped, creep):
    """The stretch put in stays: F0 (1/kb + 1/kc) = F1 (1/kb + 1/(f kc)). A soft bolt keeps more."""
    left = joints.preload_left(bolt, clamped, creep)
    first, later = 1 / bolt + 1 / clamped, 1 / bolt + 1 / (creep * clamped)
    np.testing.assert_allclose(left * later, first)
    assert creep - 1e-12 <= left <= 1 + 1e-12
    assert joints.preload_left(bolt / 2, clamped, creep) >= left - 1e-12


@given(seed=st.integers(0, 1000), count=st.integers(2, 8), moment=st.floats(-10, 10))
def test_bolt_group_balances_force_and_moment(seed, count, moment):
    rng = np.random.default_rng(seed)
    places, force = rng.normal(size=(count, 2)), rng.normal(size=2)
    each = joints.bolt_shear(places, force, moment)
    arms = places - places.mean(axis=0)
    np.testing.assert_allclose(each.sum(axis=0), force, atol=1e-9)
    turned = np.sum(arms[:, 0] * each[:, 1] - arms[:, 1] * each[:, 0])
    np.testing.assert_allclose(turned, moment, atol=1e-9)


def test_four_bolts_under_a_moment():
    """Square of side a: each carries M / (2 sqrt 2 a), square to its arm."""
    a = 0.02
    places = a / 2 * np.array([[1, 1], [-1, 1], [-1, -1], [1, -1]])
    each = joints.bolt_shear(places, np.zeros(2), 0.6)
    np.testing.assert_allclose(np.linalg.norm(each, axis=1), 0.6 / (2 * np.sqrt(2) * a))
    np.testing.assert_allclose(np.sum(each * places, axis=1), 0, atol=1e-12)


def test_bolt_tension_from_tilting():
    """Two rows 20 mm apart, two bolts each: M / (2 s) a bolt."""
    pull = joints.bolt_tension(np.array([0.01, 0.01, 0.03, 0.03]), 0.8)
    np.testing.assert_allclose(pull, [-20, -20, 20, 20])


def test_impossible_groups_are_refused():
    with pytest.raises(AnalysisError, match="one bolt alone"):
        joints.bolt_shear(np.zeros((1, 2)), np.ones(2), 1.0)
    np.testing.assert_allclose(joints.bolt_shear(np.zeros((1, 2)), np.ones(2), 0.0), [[1, 1]])
    with pytest.raises(AnalysisError, match="axis of the moment"):
        joints.bolt_tension(np.zeros(3), 1.0)


def test_tube_slip():
    axial, torque = joints.tube_slip(800.0, 0.15, 0.016)
    np.testing.assert_allclose([axial, torque], [240.0, 1.92])


@given(volume=POSITIVE, area=POSITIVE, skin=st.floats(0, 1), infill=st.floats(0, 1))
def test_printed_volume_lies_between_core_and_solid(volume, area, skin, infill):
    found = fill.printed_volume(volume, area, skin, infill)
    assert infill * volume - 1e-9 <= found <= volume * (1 + 1e-12)
    np.testing.assert_allclose(fill.mass_factor(volume, area, skin, infill), found / volume)


def test_printed_volume_of_a_cube():
    """10 mm cube, 1 mm skin, 40 %: skin 600 mm3 of 1000, core 160."""
    np.testing.assert_allclose(fill.printed_volume(1000.0, 600.0, 1.0, 0.4), 760.0)
    np.testing.assert_allclose(fill.printed_volume(100.0, 600.0, 1.0, 0.4), 100.0)


def test_sandwich_by_parallel_axes():
    """Skins and core summed layer by layer about the middle."""
    t, s, r = 4.0, 1.0, 0.16
    core, skins = (t - 2 * s) ** 3 / 12, 2 * (s**3 / 12 + s * ((t - s) / 2) ** 2)
    np.testing.assert_allclose(fill.bending_factor(t, s, r), (r * core + skins) / (t**3 / 12))
    np.testing.assert_allclose(fill.membrane_factor(t, s, r), (2 * s + r * (t - 2 * s)) / t)
    assert fill.bending_factor(1.0, 1.0, r) == 1


def test_infill_modulus():
    np.testing.assert_allclose(fill.infill_modulus(0.4), 0.16)
    assert fill.infill_modulus(1.0) == 1
    with pytest.raises(AnalysisError, match="fraction"):
        fill.infill_modulus(1.2)
