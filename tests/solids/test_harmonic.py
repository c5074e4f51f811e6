"""Forced response against closed forms and a direct solution."""

import numpy as np
import pytest
from scipy.sparse import csc_matrix, kron
from scipy.sparse.linalg import spsolve

from refledge.errors import AnalysisError
from refledge.solids import faces
from refledge.solids.assembly import dofs
from refledge.solids.cases import Support
from refledge.solids.harmonic import Shaker, harmonic, unbalance
from refledge.solids.modal import modes
from refledge.solids.system import build
from tests.solids.bars import AREA, HEIGHT, LENGTH, WIDTH, bar, plain

MESH = bar((8, 1, 1))
TIP = np.array([LENGTH, WIDTH / 2, HEIGHT / 2])
CLAMPED = modes(build(MESH, plain(MESH), [Support(("x0",))]), 8)


def push(count: int, axis: int = 2) -> Shaker:
    wrench = np.zeros((count, 6), dtype=np.complex128)
    wrench[:, axis] = 1.0
    return Shaker("x1", TIP, wrench)


def test_undamped_response_between_resonances_is_the_direct_solution() -> None:
    """K - w^2 M solved outright; few modes and the residual do as well."""
    system, omega = CLAMPED.system, 2 * np.pi * 40.0
    patch = faces.patch(MESH, "x1")
    load = np.zeros(MESH.dofs)
    load[dofs(patch.nodes)] = patch.mean.T @ np.eye(6)[2]
    T = system.T
    M = kron(system.matrices.mass, np.eye(3))
    dynamic = csc_matrix(T.T @ (system.matrices.stiffness - omega**2 * M) @ T)
    u = T @ spsolve(dynamic, T.T @ load)
    direct = -(omega**2) * (patch.mean @ u[dofs(patch.nodes)])[2]
    found = harmonic(CLAMPED, 1e-9, push(1), np.array([40.0]), ("x1",))
    assert found.accelerations["x1"][0, 2].real == pytest.approx(direct, rel=1e-5)


def test_at_resonance_the_mode_rings_with_its_damping() -> None:
    f = CLAMPED.frequencies[:1]
    found = harmonic(CLAMPED, 0.02, push(1), f, ("x1",))
    share = CLAMPED.motion("x1")[0, 2]
    assert abs(found.accelerations["x1"][0, 2]) == pytest.approx(share**2 / 0.04, rel=1e-2)


def test_a_free_bar_shaken_slowly_moves_as_a_whole() -> None:
    free = modes(build(MESH, plain(MESH)), 4)
    middle = Shaker("x1", TIP, push(1, 0).wrench)
    found = harmonic(free, 0.02, middle, np.array([1.0]), ("x0", "x1"))
    for face in ("x0", "x1"):
        acceleration = found.accelerations[face][0, 0]
        assert acceleration.real == pytest.approx(1 / (1240.0 * AREA * LENGTH), rel=1e-3)


def test_unbalance_turns_and_grows_with_speed_squared() -> None:
    wrench = unbalance(np.array([10.0, 20.0]), 2e-6, 1, np.array([0.0, 0.0, 1.0]))
    assert np.linalg.norm(wrench[0].real) == pytest.approx(2e-6 * (20 * np.pi) ** 2)
    assert np.abs(wrench[1]).max() == pytest.approx(4 * np.abs(wrench[0]).max())
    quarter = (wrench[0] * 1j).real  # a quarter turn later
    cross = np.cross(wrench[0].real[:3], quarter[:3])
    assert cross[2] > 0


def test_damping_must_be_a_fraction() -> None:
    with pytest.raises(AnalysisError, match="damping"):
        harmonic(CLAMPED, 0.0, push(1), np.array([10.0]), ("x1",))
