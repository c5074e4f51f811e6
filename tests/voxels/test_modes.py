"""Grips and natural modes against beams, rigid bodies and a sparse eigensolver."""

import numpy as np
import pytest
from scipy.sparse import diags_array
from scipy.sparse.linalg import eigsh

from refledge.errors import AnalysisError
from refledge.typed import Floats
from refledge.voxels.grid import CORNERS, Grid, at_corner
from refledge.voxels.grips import Grip
from refledge.voxels.material import isotropic
from refledge.voxels.modes import Lump, Mass, natural_modes, trial_motions
from tests.voxels import plain
from tests.voxels.test_solve import LAW, clamped


def far_grip(grid: Grid) -> Grip:
    nodes = np.zeros(grid.nodes, bool)
    nodes[-1] = True
    nx, ny, nz = (n * grid.spacing for n in grid.shape)
    return Grip(grid, nodes, (nx, ny / 2, nz / 2))


def test_a_grip_feels_rigid_motion_exactly() -> None:
    grid = Grid((4, 3, 5), 2e-3, (0.1, -0.2, 0.3))
    nodes = np.random.default_rng(0).random(grid.nodes) < 0.2
    grip = Grip(grid, nodes, (0.11, -0.19, 0.28))
    q = np.array([1e-3, -2e-3, 3e-3, 0.02, -0.01, 0.03])
    x, y, z = (a - c for a, c in zip(np.broadcast_arrays(*grid.axes()), grip.centre, strict=True))
    u = q[:3, None, None, None] + np.stack(
        [q[4] * z - q[5] * y, q[5] * x - q[3] * z, q[3] * y - q[4] * x]
    )
    assert grip.motion(u) == pytest.approx(q)


def test_a_grips_forces_have_its_resultant_and_work() -> None:
    grid = Grid((4, 3, 5), 2e-3)
    grip = far_grip(grid)
    wrench = np.array([1.0, -2.0, 3.0, 4e-3, 5e-3, -6e-3])
    f = grip.field(wrench)
    arm = [a - c for a, c in zip(np.broadcast_arrays(*grid.axes()), grip.centre, strict=True)]
    moment = np.cross(np.stack(arm), f, axis=0).reshape(3, -1).sum(axis=1)
    assert np.concatenate([f.reshape(3, -1).sum(axis=1), moment]) == pytest.approx(wrench)
    u = np.random.default_rng(1).standard_normal(grid.field)
    assert np.vdot(f, u) == pytest.approx(wrench @ grip.motion(u))


def test_a_grip_in_one_line_is_refused() -> None:
    grid = Grid((4, 3, 5), 2e-3)
    nodes = np.zeros(grid.nodes, bool)
    nodes[:, 0, 0] = True
    with pytest.raises(AnalysisError, match="one line"):
        Grip(grid, nodes, (0, 0, 0)).field(np.ones(6))


def test_modes_are_those_of_a_sparse_eigensolver() -> None:
    """Frequencies to 1e-6: their error is the square of the residual."""
    body = clamped((12, 4, 5))
    density = np.random.default_rng(3).uniform(0.3, 1, body.grid.shape)
    count = 4
    stiffness = body.at(density**3, trial_motions(count))
    found = natural_modes(stiffness, Mass(stiffness, density), count, tolerance=1e-5)
    K = plain.stiffness(LAW.stiffness(), body.grid.spacing, (density**3).astype(np.float32))
    nodal = np.zeros(body.grid.nodes)
    for corner in CORNERS:
        nodal[at_corner(body.grid.shape, corner)] += LAW.rho * body.grid.spacing**3 / 8 * density
    free = (~body.held).transpose(1, 2, 3, 0).ravel()
    M = diags_array(np.repeat(nodal.ravel(), 3)[free])
    values = eigsh(K[free][:, free], count, M.tocsr(), sigma=0, return_eigenvectors=False)
    assert found.frequencies == pytest.approx(np.sqrt(np.sort(values)) / (2 * np.pi), rel=1e-6)
    modal = np.einsum("kcxyz,xyz,jcxyz->kj", found.shapes, nodal, found.shapes)
    assert modal == pytest.approx(np.eye(count), abs=1e-6)


def test_a_beam_with_a_motor() -> None:
    """Massless cantilever with a mass at its end: 2 pi f = sqrt(3 E I / m L^3), Rayleigh's share
    of the beam's own mass 33/140; Timoshenko's shear and 10 voxels' depth within 2 %."""
    L, b, h = 80, 10, 1e-3
    body = clamped((L, b, b), isotropic(2e9, 0.0, 1200.0), h)
    stiffness = body.at(np.ones(body.grid.shape), trial_motions(2))
    lump = Lump(far_grip(body.grid), 0.05, np.eye(3) * 1e-9)
    found = natural_modes(stiffness, Mass(stiffness, np.ones(body.grid.shape), (lump,)), 2)
    m = 0.05 + 33 / 140 * 1200 * (b * h) ** 2 * L * h
    k = 3 * 2e9 * (b * h) ** 4 / 12 / (L * h) ** 3
    assert found.frequencies == pytest.approx(np.sqrt(k / m) / (2 * np.pi), rel=0.02)


@pytest.mark.parametrize("offset", [(0.0, 0.0, 0.0), (0.01, -0.02, 0.03)])
def test_a_lump_is_a_rigid_body(offset: tuple[float, float, float]) -> None:
    """Energy of turning about the grip is that of translation and turning of the mass centre."""
    grid = Grid((2, 2, 2), 1e-2)
    inertia = np.diag([1e-4, 2e-4, 3e-4])
    M = Lump(far_grip(grid), 0.5, inertia, offset).matrix()
    q = np.random.default_rng(2).standard_normal(6)
    speed = q[:3] + np.cross(q[3:], offset)
    assert q @ M @ q == pytest.approx(0.5 * speed @ speed + q[3:] @ inertia @ q[3:])


def test_inertia_of_a_lump_lowers_torsion_only() -> None:
    body = clamped((20, 4, 4), isotropic(2e9, 0.3, 1200.0))

    def frequencies(inertia: Floats) -> Floats:
        stiffness = body.at(np.ones(body.grid.shape), trial_motions(3))
        lump = Lump(far_grip(body.grid), 0.02, inertia)
        return natural_modes(
            stiffness, Mass(stiffness, np.ones(body.grid.shape), (lump,)), 3
        ).frequencies

    small, large = (frequencies(np.diag([roll, 1e-9, 1e-9])) for roll in (2e-7, 8e-7))
    assert large[:2] == pytest.approx(small[:2], rel=1e-4)
    J_share = 1200 * 4e-3**2 * (4e-3**2) / 6 * 20e-3 / 3  # a third of the beam's own
    wanted = np.sqrt((2e-7 + J_share) / (8e-7 + J_share))
    assert large[2] / small[2] == pytest.approx(wanted, rel=0.02)


def test_modes_that_do_not_settle_are_told() -> None:
    body = clamped((12, 4, 4))
    stiffness = body.at(np.ones(body.grid.shape), trial_motions(2))
    mass = Mass(stiffness, np.ones(body.grid.shape))
    with pytest.raises(AnalysisError, match="after 1 iterations"):
        natural_modes(stiffness, mass, 2, tolerance=1e-9, limit=1)
    with pytest.raises(AnalysisError, match="make the stiffness for 5"):
        natural_modes(stiffness, mass, 3)
