"""The GPU backend: its kernels against the reference, and what it finds against that too.

Without a device only what needs none is run; ``scripts/gpu_check.sh`` runs all on one.
"""

import numpy as np
import pytest

from refledge.errors import AnalysisError
from refledge.voxels.backend import Backend, backend
from refledge.voxels.elasticity import Body
from refledge.voxels.gpu import CASE_BYTES, SHARED_BYTES, GpuBackend, gpu_here, refuse
from refledge.voxels.gpu_launch import pool
from refledge.voxels.grid import Grid, Shape, nodes_of
from refledge.voxels.history import Design
from refledge.voxels.material import isotropic
from refledge.voxels.modes import Mass, natural_modes, trial_motions
from refledge.voxels.optimise import optimise
from refledge.voxels.problem import Load, Problem, Recipe
from refledge.voxels.reference import ReferenceBackend
from tests.voxels import test_kernels as kernels

needs_gpu = pytest.mark.skipif(not gpu_here(), reason="no CuPy or no device")


@pytest.fixture(scope="module")
def tested() -> Backend:
    return GpuBackend(stored=0)


@pytest.fixture(scope="module", params=[(0, 0), (10**9, 10**9)], ids=["large", "small"])
def either(request: pytest.FixtureRequest) -> Backend:
    """As it does large grids and small ones."""
    stored, exact = request.param
    return GpuBackend(stored, exact)


@needs_gpu
@pytest.mark.parametrize("shape", kernels.SHAPES, ids=str)
def test_the_first_coarse_grid_stored(shape: Shape) -> None:
    """With its stencil kept, and in fp32, and the one below made from that."""
    which = GpuBackend(exact=0)
    for depth in (1, 2):
        one, two = kernels.both(which, shape, depth)
        draw = np.random.default_rng(depth)
        x, b = (draw.standard_normal((2, 3, *nodes_of(one.shape))) * two.free for _ in range(2))
        X, B = (which.put(each, np.float32) for each in (x, b))
        found, wanted = which.put(9 + 0 * x, np.float32), np.empty_like(x)
        one.residual(B, X, found)
        two.residual(b, x, wanted)
        kernels.same(which, found, wanted, kernels.LOOSE)


test_level_kernels = needs_gpu(kernels.test_level_kernels)
test_transfers = needs_gpu(kernels.test_transfers_are_trilinear_and_transposes)
test_coarsest_inverse = needs_gpu(kernels.test_coarsest_inverse)
test_vector_kernels = needs_gpu(kernels.test_vector_kernels)


@needs_gpu
@pytest.mark.parametrize("dtype", [np.float32, np.float64])
@pytest.mark.parametrize("shape", kernels.SHAPES, ids=str)
def test_energies(tested: Backend, shape: Shape, dtype: type) -> None:
    draw = np.random.default_rng(5)
    u, v = (draw.standard_normal((2, *Grid(shape, 1.0).field)) for _ in range(2))
    found = tested.energies(kernels.cube(), tested.put(u, dtype), tested.put(v, dtype))
    wanted = ReferenceBackend().energies(kernels.cube(), u, v)
    kernels.same(tested, found, wanted, kernels.LOOSE if dtype is np.float32 else kernels.TIGHT)


@needs_gpu
@pytest.mark.parametrize("window", [(1, 1, 1), (3, 3, 3), (5, 3, 7)])
def test_windows(tested: Backend, window: Shape) -> None:
    draw = np.random.default_rng(6)
    field, weights = draw.random((7, 6, 9)).astype(np.float32), draw.random(window)
    wanted = ReferenceBackend().convolve(field, weights)
    kernels.same(tested, tested.convolve(tested.put(field, np.float32), weights), wanted, 1e-5)


@needs_gpu
def test_acceleration(tested: Backend) -> None:
    z, d, x = np.random.default_rng(7).standard_normal((3, 2, 3, 4, 5, 6)).astype(np.float32)
    D, X = tested.put(d, np.float32), tested.put(x, np.float32)
    tested.accelerate(tested.put(z, np.float32), 0.4, 0.9, D, X)
    ReferenceBackend().accelerate(z, 0.4, 0.9, d, x)
    kernels.same(tested, D, d, kernels.LOOSE)
    kernels.same(tested, X, x, kernels.LOOSE)


@needs_gpu
def test_fp32_search_motions_are_multiplied_in_fp64(tested: Backend) -> None:
    """A rigid motion far from zero: what is left of A x is rounding, and less of it in fp64."""
    one, _ = kernels.both(tested, (8, 4, 12), 0)
    x = tested.put(np.full((1, 3, 9, 5, 13), 1000.0), np.float32)
    out = tested.put(0 * tested.get(x), np.float32)
    one.apply(x, out)
    assert abs(tested.get(out)[:, :, 4:8, 2:4, 2:12]).max() < 1e-10


@needs_gpu
@pytest.mark.parametrize("shape", kernels.SHAPES, ids=str)
def test_the_first_coarse_grid_through_the_given_one(tested: Backend, shape: Shape) -> None:
    """Child by child and near held motions: the same as Galerkin's product, not nearly."""
    one, two = kernels.both(tested, shape, 1)
    x = np.random.default_rng(8).standard_normal((2, 3, *nodes_of(one.shape))) * two.free
    found, wanted = tested.put(9 + x, np.float64), np.empty_like(x)
    one.apply(tested.put(x, np.float64), found)
    two.apply(x, wanted)
    kernels.same(tested, found, wanted, kernels.TIGHT)


@needs_gpu
def test_low_digits() -> None:
    """A thousand small steps: fp32 alone is wrong in its last bits, with 16 bits more it is not."""
    which = GpuBackend(exact=0)
    draw = np.random.default_rng(9)
    x, p = draw.standard_normal((2, 1, 3, 4, 5, 6)).astype(np.float32)
    X, P, R = (which.put(each.copy(), np.float32) for each in (x, p, p))
    low, rest = which.low(X), which.put(0 * x, np.float32)
    for _ in range(1000):
        which.advance(which.put([1e-5], np.float64), P, P, X, low, R)
    which.rest(X, low, rest)
    wanted = x.astype(float) + 1000 * 1e-5 * p
    found = which.get(X).astype(float) + which.get(rest)
    most = 1000 * np.abs(wanted).max() * 2.0**-40  # half a step of the digits, a thousand times
    assert np.abs(found - wanted).max() < most
    assert np.abs(which.get(X) - wanted).max() > 10 * most
    assert GpuBackend().low(which.put(x, np.float64)) is None


@needs_gpu
def test_a_solve_takes_no_more_than_it_says() -> None:
    which = GpuBackend(stored=0, exact=0)
    shape = (192, 96, 96)
    grid = Grid(shape, 1.0)
    held, forces = np.zeros(grid.field, bool), np.zeros((1, *grid.field))
    held[:, 0] = True
    forces[0, 2, -1, :, 0] = -1
    body = Body(grid, isotropic(1.0, 0.3), held, which)
    scale = which.put(np.ones(shape), np.float32)
    which.tidy()
    before, pool().peak = pool().taken(), 0
    body.at(scale).solve(forces, tolerance=1e-3)
    which.tidy()
    assert (pool().peak - before) / grid.size < 1.15 * (SHARED_BYTES + CASE_BYTES)


def bar(which: Backend, shape: Shape = (96, 8, 8)) -> tuple[Body, np.ndarray]:
    grid = Grid(shape, 1.0)
    held, forces = np.zeros(grid.field, bool), np.zeros((1, *grid.field))
    held[:, 0] = True
    forces[0, 2, -1, :, 0] = -1 / (shape[1] + 1)
    return Body(grid, isotropic(1.0, 0.3), held, which), forces


@needs_gpu
def test_a_slender_bar_meets_its_residual(either: Backend) -> None:
    body, forces = bar(either)
    solved = body.at(np.ones(body.grid.shape)).solve(forces, tolerance=1e-7)
    plain, _ = bar(ReferenceBackend())
    wanted = plain.at(np.ones(body.grid.shape)).solve(forces, tolerance=1e-9)
    assert solved.residuals[0] < 1.02e-7  # the true one: fp32 rounds 2e-7 off the one iterated
    kernels.same(either, solved.x, wanted.x, 1e-5)


@needs_gpu
def test_voxels_as_soft_as_rounding(either: Backend) -> None:
    """1e-9 of solid; iterations stalled where sums of rows were rounded otherwise than blocks."""
    body, forces = bar(either, (30, 2, 10))
    scale = np.full(body.grid.shape, 1e-9)
    for i in range(30):
        scale[i, :, [0, 1, 8, 9]] = 1
        scale[i, :, 1 + abs((i % 16) - 8)] = 1
    assert body.at(scale).solve(forces, limit=60).residuals[0] < 1.02e-5


@needs_gpu
@pytest.mark.parametrize("stored", [0, 10**9])
def test_a_thin_plate_on_rollers(stored: int) -> None:
    """One voxel thick and held on one side: two coarse motions move each node of the other, so that
    their difference is none; with stencils in fp32 it was taken for a soft one."""
    grid = Grid((60, 1, 20), 1.0)
    held, forces = np.zeros(grid.field, bool), np.zeros((1, *grid.field))
    held[0, 0] = held[2, -1, :, 0] = held[1, :, 0] = True
    forces[0, 2, 0, :, -1] = -0.5
    x, _, z = np.indices(grid.shape)
    scale = np.clip(np.sin(x / 4) * np.cos(z / 3), 0.1, 1) ** 3
    stiffness = Body(grid, isotropic(1.0, 0.3), held, GpuBackend(stored)).at(scale)
    assert stiffness.solve(forces).iterations[0] < 20


@needs_gpu
def test_modes_are_those_of_the_reference(either: Backend) -> None:
    found = []
    for which in (either, ReferenceBackend()):
        body, _ = bar(which, (24, 6, 4))
        stiffness = body.at(np.ones(body.grid.shape), trial_motions(2))
        density = which.put(np.ones(body.grid.shape), np.float32)
        found.append(natural_modes(stiffness, Mass(stiffness, density), 2).frequencies)
    assert found[0] == pytest.approx(found[1], rel=1e-6)


def grown(which: Backend) -> Design:
    body, forces = bar(which, (24, 12, 12))
    problem = Problem(body, (Load("tip", forces[0]),), "stiffness", most_mass=0.2)
    return optimise(problem, Recipe(filter_radius=1.75, sharpness=(1.0, 4.0), stage=10))


@needs_gpu
def test_the_same_design_as_by_the_reference(either: Backend) -> None:
    one, two = grown(either), grown(ReferenceBackend())
    assert one.best.compliance == pytest.approx(two.best.compliance, rel=1e-3)
    assert np.abs(one.density - two.density).mean() < 1e-3


def test_a_grid_too_large_is_refused_with_the_size_that_fits() -> None:
    with pytest.raises(AnalysisError, match=r"1000 x 500 x 500 voxels.* would fit") as told:
        refuse((1000, 500, 500), 2, 10**10)
    words = str(told.value).split("; ")[1].split()
    refuse((int(words[0]), int(words[2]), int(words[4])), 2, 10**10)  # does not raise
    refuse((10, 10, 10), 1, 10**10)


@needs_gpu
def test_a_body_is_refused_before_anything_is_built(
    tested: Backend, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tested, "room", lambda: 10**5)
    monkeypatch.setattr(tested, "fine", lambda *_: pytest.fail("built"))
    body, _ = bar(tested, (30, 10, 10))
    with pytest.raises(AnalysisError, match="2 load case"):
        body.at(np.ones(body.grid.shape), cases=2)


@pytest.mark.skipif(gpu_here(), reason="there is a device")
def test_without_a_device_gpu_is_refused_and_auto_is_the_cpu() -> None:
    with pytest.raises(AnalysisError, match="no GPU"):
        backend("gpu")
    assert backend("auto").name == "cpu"
