"""Published tables of single formulas.

Torsion of rectangles (C2.3): J = beta a b^3, tau = T / (alpha a b^2); the table of Timoshenko and
Goodier, Theory of Elasticity (RECALL), agrees with the series (DERIVED). Four digits printed.
Bredt box 20 x 10 x 2 (C2.3): 3190.15 mm4 from the mid-lines alone (DERIVED); the thick-walled
value is tested against elements in tests/analysis/test_sections.py.
Euler columns (C2.4, DERIVED): c = 1/4, 1, 2.0457, 4, Timoshenko and Gere, Theory of Elastic
Stability.
Falling weight (C3.1, DERIVED): delta / delta_st = 1 + sqrt(1 + 2 h / delta_st); Timoshenko,
Strength of Materials (RECALL).
Preload (C3.2): Shigley, Mechanical Engineering Design, F = 0.75 At Sp, T = K F d (DERIVED; table
values of At and Sp RECALL).
Residual unbalance (C7.1): ISO 21940-11:2016, G = e omega (READ definition, values DERIVED; the
worked case of 3600 kg RECALL).
Tolerances are half of the last digit printed, unless said otherwise.
"""

import numpy as np
import pytest

from refledge.analysis.balance import (
    permissible_eccentricity,
    permissible_unbalance,
    unbalance_force,
)
from refledge.analysis.joints import bolt_preload, bolt_torque, stress_area
from refledge.analysis.strength import EULER, euler_load, falling_weight_factor
from refledge.analysis.torsion import box_torsion, rectangle_torsion

RPM = 2 * np.pi / 60

TORSION = [
    (1, 0.1406, 0.2082),
    (1.2, 0.1661, 0.2189),
    (1.5, 0.1958, 0.2310),
    (2, 0.2287, 0.2459),
    (2.5, 0.2494, 0.2576),
    (3, 0.2633, 0.2672),
    (4, 0.2808, 0.2817),
    (5, 0.2913, 0.2915),
    (6, 0.2983, 0.2984),
    (10, 0.3123, 0.3123),
]


@pytest.mark.parametrize(("ratio", "beta", "alpha"), TORSION)
def test_torsion_of_rectangles(ratio, beta, alpha):
    J, W = rectangle_torsion(np.array(2.0 * ratio), np.array(2.0))
    assert abs(J / (2.0 * ratio * 8.0) - beta) < 6e-5
    assert abs(W / (2.0 * ratio * 4.0) - alpha) < 6e-5
    turned = rectangle_torsion(np.array(2.0), np.array(2.0 * ratio))
    assert turned == (J, W)


def test_thin_rectangle_is_a_third():
    J, _ = rectangle_torsion(np.array(1e4), np.array(1.0))
    np.testing.assert_allclose(J / 1e4, 1 / 3, rtol=1e-4)


def test_thin_box_tends_to_bredt():
    """2 t (b - t)^2 (h - t)^2 / (b + h - 2 t), within 0.1 % for walls of 1/500."""
    wall = 0.02
    b, h = 20.0, 10.0
    J, _ = box_torsion(*(np.array(v) for v in (b, h, wall, wall, wall)))
    bredt = 2 * wall * (b - wall) ** 2 * (h - wall) ** 2 / (b + h - 2 * wall)
    np.testing.assert_allclose(J, bredt, rtol=1e-3)


def test_box_20_10_2_against_bredt_alone():
    """Walls of a fifth of the depth need the thick-wall terms: 8 % to 14 % above 3190.15 mm4."""
    J, _ = box_torsion(*(np.array(v) for v in (20.0, 10.0, 2.0, 2.0, 2.0)))
    assert 1.08 < J / 3190.15 < 1.14


@pytest.mark.parametrize(
    ("ends", "factor"),
    [
        ("clamped-free", 0.25),
        ("hinged-hinged", 1),
        ("clamped-hinged", 2.0457),
        ("clamped-clamped", 4),
    ],
)
def test_euler_columns(ends, factor):
    found = euler_load(2.0e9, 1e-10, 0.1, ends) / (np.pi**2 * 2.0e9 * 1e-10 / 0.01)
    assert abs(found - factor) < 5e-5


def test_clamped_hinged_root():
    root = np.pi * np.sqrt(EULER["clamped-hinged"])
    assert abs(np.tan(root) - root) < 1e-6


@pytest.mark.parametrize(
    ("ratio", "factor"),
    [(0, 2), (1, 2.73205), (2, 3.23607), (5, 4.31662), (10, 5.58258), (50, 11.04988)],
)
def test_falling_weight(ratio, factor):
    assert abs(falling_weight_factor(0.003 * ratio, 0.003) - factor) < 5e-6


BOLTS = [
    (2.5, 0.45, 3.39, 1526, 0.763),
    (3, 0.5, 5.03, 2264, 1.358),
    (4, 0.7, 8.78, 3951, 3.161),
    (5, 0.8, 14.2, 6390, 6.390),
]


@pytest.mark.parametrize(("d", "pitch", "area", "force", "torque"), BOLTS)
def test_preload_of_class_8_8(d, pitch, area, force, torque):
    found = bolt_preload(area * 1e-6, 600e6)
    assert abs(found - force) < 0.6
    assert abs(bolt_torque(found, d * 1e-3) - torque) < 6e-4
    np.testing.assert_allclose(stress_area(d * 1e-3, pitch * 1e-3), area * 1e-6, rtol=3e-3)


@pytest.mark.parametrize(
    ("grade", "rpm", "e"),
    [(6.3, 3000, 20.054), (2.5, 3000, 7.958), (6.3, 10000, 6.016), (2.5, 20000, 1.194)],
)
def test_permissible_eccentricity(grade, rpm, e):
    assert abs(permissible_eccentricity(grade * 1e-3, rpm * RPM) * 1e6 - e) < 6e-4


def test_permissible_unbalance_worked_case():
    found = permissible_unbalance(2.5e-3, 3600.0, 3000 * RPM)
    assert abs(found * 1e6 - 28648) < 0.5


def test_unbalance_force():
    """F = m e omega^2; at half the service speed a quarter."""
    mass, service = 0.1, 6000 * RPM
    e = permissible_eccentricity(6.3e-3, service)
    np.testing.assert_allclose(
        unbalance_force(6.3e-3, mass, service, service / 2), mass * e * service**2 / 4, rtol=1e-12
    )
