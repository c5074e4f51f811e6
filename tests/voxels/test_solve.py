"""Solves against an independent code and a sparse factor; multigrid as grids refine."""

import numpy as np
import pytest
from scipy.sparse.linalg import spsolve

from refledge.errors import AnalysisError
from refledge.typed import Floats
from refledge.voxels.backend import backend
from refledge.voxels.elasticity import Body
from refledge.voxels.grid import Grid, Shape, touched
from refledge.voxels.loads import Loads
from refledge.voxels.material import Layered, isotropic
from tests.voxels import plain

LAW = Layered(
    E_in=2.1e9, E_across=1.5e9, nu_in=0.36, nu_across=0.3, G_across=0.6e9, rho=1270, build="y"
)


def clamped(shape: Shape, law: Layered = LAW, spacing: float = 1e-3, name: str = "cpu") -> Body:
    """Held at x = 0."""
    grid = Grid(shape, spacing)
    held = np.zeros(grid.field, bool)
    held[:, 0] = True
    return Body(grid, law, held, backend(name))


def tip_load(body: Body, axis: int = 2) -> Floats:
    """(1, 3, nodes): 1 N in all on the far face, evenly by node."""
    loads = np.zeros((1, *body.grid.field))
    face = loads[0, axis, -1]
    face[...] = 1 / face.size
    return loads


def direct(body: Body, scale: Floats, loads: Floats) -> Floats:
    """(3, nodes) by the independent code and a sparse factor; motions of no element at zero."""
    K = plain.stiffness(body.law.stiffness(), body.grid.spacing, scale)
    free = (~body.held & touched(scale > 0)).transpose(1, 2, 3, 0).ravel()
    u = np.zeros(free.size)
    u[free] = spsolve(K[free][:, free].tocsc(), loads.transpose(1, 2, 3, 0).ravel()[free])
    return u.reshape(*body.grid.nodes, 3).transpose(3, 0, 1, 2)


@pytest.mark.parametrize("name", ["cpu", "reference"])
def test_motions_are_those_of_an_independent_code(name: str) -> None:
    """To 1e-6 of the greatest; the solve's own tolerance is set below that."""
    body = clamped((9, 6, 7), name=name)
    scale = np.random.default_rng(0).uniform(0.05, 1, body.grid.shape)
    scale[3:5, :3, 2:4] = 0
    loads = tip_load(body)
    wanted = direct(body, scale.astype(np.float32).astype(float), loads[0])
    found = body.at(scale).solve(loads, tolerance=1e-10).x[0]
    assert np.abs(found - wanted).max() < 1e-6 * np.abs(wanted).max()


def test_uniform_pull_is_exact() -> None:
    """Patch test on the grid: rollers on three faces, F / E A and its contraction."""
    grid = Grid((6, 5, 4), 2e-3)
    held = np.zeros(grid.field, bool)
    held[0, 0] = held[1, :, 0] = held[2, :, :, 0] = True
    body = Body(grid, LAW, held)
    weights = [np.r_[0.5, np.ones(n - 1), 0.5] for n in grid.shape[1:]]
    loads = np.zeros((1, *grid.field))
    stress = 1e6
    loads[0, 0, -1] = stress * grid.spacing**2 * np.outer(*weights)
    u = body.at(np.ones(grid.shape)).solve(loads, tolerance=1e-9).x[0]
    x, y, z = grid.axes()
    strain = stress / LAW.E_in
    exact = strain * x, -LAW.nu_across * strain * y, -LAW.nu_in * strain * z
    for found, wanted in zip(u, exact, strict=True):
        assert np.abs(found - wanted).max() < 1e-7 * strain * 12e-3


@pytest.mark.parametrize("length", [32, 64, 128, 256])
def test_iterations_do_not_grow_with_the_grid(length: int) -> None:
    """Residuals fall at least threefold an iteration however long the beam."""
    body = clamped((length, 8, 8), isotropic(1.0, 0.3), 1.0)
    solved = body.at(np.ones(body.grid.shape)).solve(tip_load(body), tolerance=1e-6)
    assert 1e-6 ** (1 / solved.iterations[0]) < 1 / 3
    assert solved.residuals[0] <= 1.5e-6


def test_deflection_of_a_long_beam() -> None:
    """F L^3 / 3 E I + shear (Timoshenko); 8 trilinear voxels over the depth are 2 % too stiff."""
    L, b = 96, 8
    body = clamped((L, b, b), isotropic(1.0, 0.0), 1.0)
    solved = body.at(np.ones(body.grid.shape)).solve(tip_load(body))
    exact = L**3 / (3 * b**4 / 12) + L / (5 / 6 * b * b * 0.5)
    found = float((solved.x * tip_load(body)).sum())
    assert 0.97 * exact < found < exact


@pytest.mark.parametrize("contrast", [1e2, 1e4, 1e6])
def test_random_two_phase_stiffness(contrast: float) -> None:
    """Each voxel stiff or soft by a coin; larger grids are in benchmarks/shape_robustness.py."""
    body = clamped((24, 24, 24), isotropic(1.0, 0.3), 1.0)
    stiff = np.random.default_rng(0).random(body.grid.shape) < 0.5
    solved = body.at(np.where(stiff, 1.0, 1 / contrast)).solve(tip_load(body), limit=200)
    assert solved.iterations[0] <= 60  # 19 to 40 measured at 16 and 40 voxels a side
    assert solved.residuals[0] <= 1.1e-5


def test_slender_beams_need_no_more_iterations() -> None:
    """512 voxels long: fp32 stencils took 88 iterations here, fp64 ones 10."""
    body = clamped((512, 8, 8), isotropic(1.0, 0.3), 1.0)
    solved = body.at(np.ones(body.grid.shape)).solve(tip_load(body))
    assert solved.iterations[0] <= 20
    assert solved.residuals[0] <= 1.1e-5


def test_cases_side_by_side_are_the_cases_alone() -> None:
    body = clamped((12, 6, 6))
    scale = np.random.default_rng(1).uniform(0.1, 1, body.grid.shape)
    loads = np.concatenate([tip_load(body, axis) for axis in range(3)])
    loads[1] = 0  # a case without loads must not spoil the others
    together = body.at(scale, 3).solve(loads, tolerance=1e-9)
    for case in (0, 2):
        alone = body.at(scale).solve(loads[case : case + 1], tolerance=1e-9).x[0]
        assert np.abs(together.x[case] - alone).max() < 1e-7 * np.abs(alone).max()
    assert together.iterations[1] == 0
    assert not together.x[1].any()


def test_a_good_guess_saves_iterations() -> None:
    body = clamped((12, 6, 6))
    stiffness = body.at(np.ones(body.grid.shape))
    first = stiffness.solve(tip_load(body))
    again = stiffness.solve(tip_load(body), guess=first.x.copy())
    assert first.iterations[0] > 2
    assert again.iterations[0] <= 1


def test_energies_sum_to_the_work() -> None:
    body = clamped((10, 5, 5))
    scale = np.random.default_rng(2).uniform(0.1, 1, body.grid.shape).astype(np.float32)
    stiffness, loads = body.at(scale), tip_load(body)
    u = stiffness.solve(loads, tolerance=1e-9).x
    energy = float((stiffness.energies(u, u)[0] * scale).sum())
    assert energy == pytest.approx(float((u * loads).sum()), rel=1e-6)


def test_a_tight_tolerance_is_met_by_the_true_residual() -> None:
    """1e-12: only a few digits above what rounding in fp64 leaves of so small a body."""
    body = clamped((12, 6, 6))
    stiffness, loads = body.at(np.ones(body.grid.shape)), tip_load(body)
    solved = stiffness.solve(loads, tolerance=1e-12)
    left = np.empty_like(solved.x)
    stiffness.multigrid.levels[0].residual(loads * ~body.held, solved.x, left)
    found = np.linalg.norm(left) / np.linalg.norm(loads)
    assert found <= 1.02e-12
    assert solved.residuals[0] == pytest.approx(found, rel=0.1)


def test_what_rounding_keeps_out_of_reach_is_told() -> None:
    body = clamped((96, 4, 4), isotropic(1.0, 0.3), 1.0)
    with pytest.raises(AnalysisError, match="as near as motions of float64 come"):
        body.at(np.ones(body.grid.shape)).solve(tip_load(body), tolerance=1e-15)


def test_loads_are_a_list_without_what_is_held() -> None:
    body = clamped((4, 3, 3))
    fields = np.zeros((2, *body.grid.field))
    fields[0, 2, -1, 0, 0], fields[0, 1, 0, 1, 1], fields[1, 0, 2, 2, 2] = 3.0, 7.0, -2.0
    loads = Loads.of(body.backend, fields, body.held)
    wanted = fields * ~body.held
    found = np.ones_like(fields)
    loads.add(found)
    assert np.array_equal(found, 1 + wanted)
    u = np.random.default_rng(0).standard_normal(fields.shape)
    assert loads.work(u) == pytest.approx([np.vdot(w, v) for w, v in zip(wanted, u, strict=True)])
    assert loads.case(1).work(u[1:]) == pytest.approx(loads.work(u)[1:])
    assert list(loads.squares) == [9.0, 4.0]
    stiffness = body.at(np.ones(body.grid.shape), 2)
    assert np.array_equal(stiffness.solve(loads).x, stiffness.solve(fields).x)


def test_a_guess_becomes_the_answer() -> None:
    body = clamped((6, 4, 4))
    stiffness, guess = (
        body.at(np.ones(body.grid.shape)),
        np.zeros((1, *clamped((6, 4, 4)).grid.field)),
    )
    assert stiffness.solve(tip_load(body), guess).x is guess


def test_a_body_that_floats_is_refused() -> None:
    grid = Grid((6, 4, 4), 1.0)
    body = Body(grid, isotropic(1.0, 0.3), np.zeros(grid.field, bool))
    with pytest.raises(AnalysisError, match="not held"):
        body.at(np.ones(grid.shape)).solve(tip_load(body), limit=40)


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda body: body.at(np.ones((2, 2, 2))), "is needed"),
        (lambda body: body.at(np.zeros(body.grid.shape)), "above 0"),
        (lambda body: body.at(np.full(body.grid.shape, np.nan)), "at least 0"),
        (lambda body: body.at(np.ones(body.grid.shape)).solve(np.ones((2, 3, 4, 4, 4))), "loads"),
        (lambda body: Body(body.grid, LAW, np.zeros((3, 1, 1, 1), bool)), "held motions"),
        (lambda _: Grid((0, 1, 1), 1.0), "three counts"),
        (lambda _: Grid((1, 1, 1), 0.0), "spacing above 0"),
    ],
)
def test_wrong_arguments_are_told(call, said: str) -> None:
    with pytest.raises(AnalysisError, match=said):
        call(clamped((4, 3, 3)))
