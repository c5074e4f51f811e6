"""The layered law and its strength criteria."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from refledge.errors import AnalysisError
from refledge.solids.law import in_axes, isotropic, layer_axes, rotated
from refledge.solids.strength import layer_use, tsai_wu_use, uses
from tests.solids.arm_part import PETG

ANGLES = st.floats(-3, 3)


def voigt(tensor: np.ndarray) -> np.ndarray:
    return np.array([tensor[i, j] for i, j in ((0, 0), (1, 1), (2, 2), (1, 2), (0, 2), (0, 1))])


def test_isotropic_law_is_hookes() -> None:
    C = isotropic(200e9, 0.3, 1.0).stiffness()
    lame, shear = 200e9 * 0.3 / (1.3 * 0.4), 200e9 / 2.6
    assert C[0, 0] == pytest.approx(lame + 2 * shear)
    assert C[0, 1] == pytest.approx(lame)
    assert C[5, 5] == pytest.approx(shear)


def test_layered_law_gives_back_its_moduli() -> None:
    S = np.linalg.inv(PETG.stiffness())
    assert 1 / S[2, 2] == pytest.approx(PETG.E_z)
    assert 1 / S[1, 1] == pytest.approx(PETG.E_xy)
    assert 1 / S[3, 3] == pytest.approx(PETG.G_xz)
    assert -S[2, 0] / S[0, 0] == pytest.approx(PETG.nu_xz)


def test_a_law_that_makes_energy_is_refused() -> None:
    with pytest.raises(AnalysisError, match="not positive definite"):
        replace(PETG, nu_xz=1.2).stiffness()
    with pytest.raises(AnalysisError, match="not positive definite"):
        replace(PETG, E_z=-1e9).stiffness()


def test_turning_about_the_layers_normal_changes_nothing() -> None:
    C = PETG.stiffness()
    turned = rotated(C, Rotation.from_rotvec([0, 0, 0.7]).as_matrix().T)
    np.testing.assert_allclose(turned, C, atol=1e-9 * C.max())


@settings(max_examples=25, deadline=None)
@given(ANGLES, ANGLES, ANGLES)
def test_rotated_law_stores_the_same_energy(a: float, b: float, c: float) -> None:
    """Strain energy of a strain seen from turned axes."""
    Q = Rotation.from_euler("xyz", [a, b, c]).as_matrix()
    strain = np.array([[1.0, 0.3, -0.2], [0.3, -0.5, 0.4], [-0.2, 0.4, 0.8]])
    double = np.array([1, 1, 1, 2, 2, 2])
    own = voigt(Q @ strain @ Q.T) * double  # rows of Q are the layer axes
    C = PETG.stiffness()
    part = voigt(strain) * double
    assert part @ rotated(C, Q) @ part == pytest.approx(own @ C @ own, rel=1e-10)


def test_layer_axes_stand_on_the_normal() -> None:
    axes = layer_axes(np.array([1.0, 2.0, -2.0]))
    np.testing.assert_allclose(axes @ axes.T, np.eye(3), atol=1e-14)
    np.testing.assert_allclose(axes[2], np.array([1, 2, -2]) / 3)
    assert np.linalg.det(axes) == pytest.approx(1.0)


def test_stress_across_layers_is_found_in_any_orientation() -> None:
    stress = np.array([4.0, 0, 0, 0, 0, 0])
    own = in_axes(stress, layer_axes(np.array([1.0, 0.0, 0.0])))
    np.testing.assert_allclose(own, [0, 0, 4.0, 0, 0, 0], atol=1e-14)


@pytest.mark.parametrize(
    ("stress", "strength"),
    [
        ([1, 0, 0, 0, 0, 0], PETG.strength_xy),
        ([0, -1, 0, 0, 0, 0], PETG.strength_xy),
        ([0, 0, 1, 0, 0, 0], PETG.strength_z),
        ([0, 0, 0, 0, 1, 0], PETG.shear_z),
        ([0, 0, 0, 0, 0, 1], PETG.strength_xy / np.sqrt(3)),
    ],
)
def test_tsai_wu_breaks_at_each_strength(stress: list[float], strength: float) -> None:
    assert tsai_wu_use(np.array(stress) * strength, PETG) == pytest.approx(1.0)
    assert tsai_wu_use(np.array(stress) * strength * 0.4, PETG) == pytest.approx(0.4)


def test_tsai_wu_of_isotropic_strengths_is_von_mises() -> None:
    equal = replace(PETG, strength_z=45e6, shear_z=45e6 / np.sqrt(3))
    s = np.array([12e6, -7e6, 3e6, 4e6, -6e6, 9e6])
    mises = np.sqrt(
        ((s[0] - s[1]) ** 2 + (s[1] - s[2]) ** 2 + (s[2] - s[0]) ** 2) / 2 + 3 * sum(s[3:] ** 2)
    )
    assert tsai_wu_use(s, equal) == pytest.approx(mises / 45e6)


def test_compressive_strength_counts_where_it_is_known() -> None:
    strong = replace(PETG, compressive_z=60e6)
    squeezed = np.array([0, 0, -60e6, 0, 0, 0])
    assert tsai_wu_use(squeezed, strong) == pytest.approx(1.0)
    assert tsai_wu_use(-squeezed * 25 / 60, strong) == pytest.approx(1.0)


def test_layers_do_not_mind_compression_but_mind_shear() -> None:
    assert layer_use(np.array([0, 0, -50e6, 0, 0, 0]), PETG) == 0.0
    assert layer_use(np.array([0, 0, 15e6, 16e6, 0, 0]), PETG) == pytest.approx(1.0)


def test_uses_turn_the_stress_into_the_layers() -> None:
    pull = np.array([[25e6, 0, 0, 0, 0, 0]])
    along, layers = uses(pull, PETG, layer_axes(np.array([1.0, 0, 0])))
    assert along[0] == pytest.approx(1.0)
    assert layers[0] == pytest.approx(1.0)
    assert uses(pull, PETG, np.eye(3))[1][0] == 0.0
