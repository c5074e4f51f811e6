"""The eight-node cube against exact integrals, rigid motions and uniform strains."""

import numpy as np
import pytest

from refledge.errors import AnalysisError
from refledge.voxels.grid import CORNERS
from refledge.voxels.hexahedron import element, modes, stiffness
from refledge.voxels.material import Layered, isotropic
from tests.voxels import plain

LAW = Layered(E_in=2.1e9, E_across=1.5e9, nu_in=0.36, nu_across=0.3, G_across=0.6e9, rho=1270)
H = 0.7e-3


def turned(build: str) -> np.ndarray:
    values = {name: getattr(LAW, name) for name in LAW.__dataclass_fields__}
    return Layered(**(values | {"build": build})).stiffness()


@pytest.mark.parametrize("build", ["x", "y", "z"])
def test_stiffness_is_that_of_exact_integrals(build: str) -> None:
    C = turned(build)
    wanted = plain.element(C, H).transpose(1, 0, 3, 2)
    assert stiffness(C, H) == pytest.approx(wanted, rel=1e-12, abs=1e-12 * wanted.max())


def test_layers_are_square_to_the_build_axis() -> None:
    for axis, build in enumerate("xyz"):
        S = np.linalg.inv(turned(build))
        assert 1 / S[axis, axis] == pytest.approx(LAW.E_across)
        assert 1 / S[3 + axis, 3 + axis] == pytest.approx(LAW.E_in / 2 / (1 + LAW.nu_in))
        assert sum(np.isclose(1 / np.diag(S)[:3], LAW.E_in)) == 2
        other = (axis + 1) % 3
        assert -S[axis, other] * LAW.E_in == pytest.approx(LAW.nu_across)


def test_rigid_motions_take_no_force() -> None:
    K = element(turned("y"), 1.0, H).K
    places = H * np.array(CORNERS, float)
    turn = np.array([[0.0, -0.3, 0.2], [0.3, 0.0, -0.5], [-0.2, 0.5, 0.0]])
    u = (np.array([0.1, -0.4, 0.3]) + places @ turn.T).T
    assert np.abs(np.einsum("iajb,jb->ia", K, u)).max() < 1e-9 * K.max()


def test_uniform_strain_takes_its_energy() -> None:
    """Patch test: half V e' C e for a motion of uniform strain."""
    C = turned("x")
    K, places = element(C, 1.0, H).K, H * np.array(CORNERS, float)
    e = np.random.default_rng(0).standard_normal((3, 3))
    e = e + e.T
    u = (places @ e).T
    voigt = np.array([e[0, 0], e[1, 1], e[2, 2], 2 * e[1, 2], 2 * e[0, 2], 2 * e[0, 1]])
    assert np.einsum("ia,iajb,jb", u, K, u) == pytest.approx(H**3 * voigt @ C @ voigt)


def test_pairs_hold_the_whole_stiffness() -> None:
    one = element(turned("z"), 1.0, H)
    blocks = np.zeros((3, 8, 3, 8))
    for g in range(4):
        for half, across in enumerate(((4, 0, 0), (0, 4, 4))):
            place = [across[c] + (g ^ (0, 2, 1)[c]) for c in range(3)]
            upper = iter(one.pairs[g, 6 * half : 6 * half + 6])
            for i in range(3):
                for j in range(i, 3):
                    value = next(upper)
                    blocks[i, place[i], j, place[j]] = blocks[j, place[j], i, place[i]] = value
    again = np.einsum("ma,imjn,nb->iajb", modes(), blocks, modes())
    assert again == pytest.approx(one.K, rel=1e-12, abs=1e-12 * one.K.max())


def test_spread_bounds_the_scaled_stiffness() -> None:
    one = element(isotropic(1.0, 0.3).stiffness(), 1.0, 1.0)
    blocks = np.einsum("iaja->aij", one.K)
    D = np.zeros((3, 8, 3, 8))
    for a in range(8):
        D[:, a, :, a] = np.linalg.inv(blocks[a])
    values = np.linalg.eigvals(D.reshape(24, 24) @ one.K.reshape(24, 24)).real
    assert one.spread == pytest.approx(values.max())
    assert 1 < one.spread <= 8  # corners of an element


def test_a_law_off_the_grid_is_refused() -> None:
    C = isotropic(1.0, 0.3).stiffness()
    C[0, 5] = C[5, 0] = 0.1
    with pytest.raises(AnalysisError, match="not aligned"):
        element(C, 1.0, 1.0)


@pytest.mark.parametrize("change", [{"nu_in": 0.99}, {"E_in": -1.0}, {"rho": 0.0}])
def test_an_impossible_law_is_refused(change: dict[str, float]) -> None:
    values = {name: getattr(LAW, name) for name in LAW.__dataclass_fields__}
    with pytest.raises(AnalysisError, match=r"Poisson|above 0"):
        Layered(**(values | change)).stiffness()
