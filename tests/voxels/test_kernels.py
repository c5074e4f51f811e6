"""Every kernel of a backend against the reference on random data.

Tolerances: 1e-12 in fp64 and 1e-5 in fp32, a few hundred roundings of the greatest value.
"""

import numpy as np
import pytest

from refledge.errors import AnalysisError
from refledge.voxels.backend import Backend, Level, backend
from refledge.voxels.cpu import CpuBackend
from refledge.voxels.grid import Shape, bits_of, coarser, nodes_of
from refledge.voxels.hexahedron import Element, element
from refledge.voxels.material import Layered
from refledge.voxels.reference import ReferenceBackend

SHAPES = [(7, 5, 6), (8, 4, 12), (3, 30, 9), (1, 1, 1), (2, 70, 40)]
LAW = Layered(E_in=2, E_across=1, nu_in=0.3, nu_across=0.35, G_across=0.5, rho=1, build="x")
TIGHT, LOOSE = 1e-12, 1e-5


@pytest.fixture(scope="module", params=["cpu"])
def tested(request: pytest.FixtureRequest) -> Backend:
    return backend(request.param)


def cube() -> Element:
    return element(LAW.stiffness(), LAW.rho, 1.0)


def both(tested: Backend, shape: Shape, depth: int) -> tuple[Level, Level]:
    """The same level of both backends: an empty corner, a held face, a roller."""
    draw = np.random.default_rng(sum(shape))
    scale = draw.uniform(0.1, 1, shape).astype(np.float32)
    if min(shape) > 2:
        scale[:2, :2, :2] = 0
    held = np.zeros((3, *nodes_of(shape)), bool)
    held[:, :, 0] = True
    held[1, :, :, -1] = True
    plain = ReferenceBackend()
    bits = bits_of(held)
    one = tested.fine(cube(), tested.put(scale, np.float32), tested.put(bits, np.uint8))
    two = plain.fine(cube(), scale.astype(float), bits)
    for _ in range(depth):
        one, two = tested.coarsen(one), plain.coarsen(two)
    return one, two


def same(tested: Backend, found: np.ndarray, wanted: np.ndarray, within: float) -> None:
    size = np.abs(wanted).max()
    assert np.abs(tested.get(found) - wanted).max() <= within * max(size, 1e-30)


@pytest.mark.parametrize("depth", [0, 1, 2])
@pytest.mark.parametrize("shape", SHAPES, ids=str)
def test_level_kernels(tested: Backend, shape: Shape, depth: int) -> None:
    one, two = both(tested, shape, depth)
    assert one.shape == two.shape
    draw, nodes = np.random.default_rng(depth), nodes_of(one.shape)
    x, b, d = (draw.standard_normal((2, 3, *nodes)) * two.free for _ in range(3))
    rounded = tested.name == "cpu" and depth > 0  # its stencils are kept in fp32
    exact = LOOSE if rounded else TIGHT
    for dtype, within in ((np.float64, exact), (np.float32, LOOSE)):
        X, B = tested.put(x, dtype), tested.put(b, dtype)
        found, wanted = tested.put(9 + 0 * x, dtype), np.empty_like(x)
        one.apply(X, found)
        two.apply(x, wanted)
        same(tested, found, wanted, within)
        one.residual(B, X, found)
        two.residual(b, x, wanted)
        same(tested, found, wanted, within)
    found, wanted = tested.put(d, np.float32), d.copy()  # the iterate before
    one.smooth(B, X, 0.3, 0.7, found)
    two.smooth(b, x, 0.3, 0.7, wanted)
    same(tested, found, wanted, LOOSE)
    before = tested.put(d, np.float32)
    one.start(B, 0.6, before, found)
    two.start(b, 0.6, d, wanted)
    same(tested, found, wanted, LOOSE)
    assert not tested.get(before).any()


@pytest.mark.parametrize("depth", [1, 2])
@pytest.mark.parametrize("shape", SHAPES, ids=str)
def test_stencils_are_galerkins_product(shape: Shape, depth: int) -> None:
    one, two = both(CpuBackend(np.float64), shape, depth)
    x = np.random.default_rng(depth).standard_normal((2, 3, *nodes_of(one.shape))) * two.free
    found, wanted = np.empty_like(x), np.empty_like(x)
    one.apply(x, found)
    two.apply(x, wanted)
    assert np.abs(found - wanted).max() <= TIGHT * max(np.abs(wanted).max(), 1e-30)


def test_moving_as_one_costs_nothing_in_fp32() -> None:
    """Far from what is held: sums of rows are kept apart, so that nothing is rounded."""
    scale = np.random.default_rng(4).uniform(1e-6, 1, (24, 8, 8)).astype(np.float32)
    held = np.zeros((3, *nodes_of(scale.shape)), bool)
    held[:, 0] = True
    backend = CpuBackend()
    level = backend.coarsen(backend.fine(cube(), scale, bits_of(held)))
    x = np.ones((1, 3, *nodes_of(level.shape)), np.float32)
    forces = np.empty_like(x)
    level.apply(x, forces)
    assert np.abs(forces[:, :, 2:]).max() < 1e-12 * np.abs(forces).max()


@pytest.mark.parametrize("depth", [0, 1])
@pytest.mark.parametrize("shape", SHAPES, ids=str)
def test_transfers_are_trilinear_and_transposes(tested: Backend, shape: Shape, depth: int) -> None:
    one, two = both(tested, shape, depth)
    draw, below = np.random.default_rng(1), nodes_of(coarser(one.shape))
    r = draw.standard_normal((2, 3, *nodes_of(one.shape))) * two.free
    c = draw.standard_normal((2, 3, *below))
    found, wanted = tested.put(np.ones((2, 3, *below)), np.float32), np.empty((2, 3, *below))
    one.restrict(tested.put(r, np.float32), found)
    two.restrict(r, wanted)
    same(tested, found, wanted, LOOSE)
    x = tested.put(0.5 * r, np.float32)
    one.prolong(tested.put(c, np.float32), x)
    fine = np.zeros_like(r)
    two.prolong(c, fine)
    same(tested, x, 0.5 * r + fine, LOOSE)
    assert np.vdot(wanted, c) == pytest.approx(np.vdot(r, fine))


@pytest.mark.parametrize("shape", SHAPES[:3], ids=str)
def test_coarsest_inverse(tested: Backend, shape: Shape) -> None:
    one, two = both(tested, shape, 2)
    found, wanted = tested.inverse(one), ReferenceBackend().inverse(two)
    same(tested, found, wanted, LOOSE)
    b = np.random.default_rng(0).standard_normal((2, 3, *nodes_of(one.shape)))
    out = tested.put(b, np.float32)
    tested.dense(found, tested.put(b, np.float32), out)
    same(tested, out, (b.reshape(2, -1) @ wanted).reshape(b.shape), LOOSE)


@pytest.mark.parametrize("dtype", [np.float32, np.float64])
def test_vector_kernels(tested: Backend, dtype: type) -> None:
    plain, draw = ReferenceBackend(), np.random.default_rng(3)
    p, q, x, r = (draw.standard_normal((3, 3, 21, 22, 23)).astype(dtype) for _ in range(4))
    z = draw.standard_normal(p.shape).astype(np.float32)
    within = LOOSE if dtype is np.float32 else TIGHT
    P, Q, X, R = (tested.put(each.copy(), dtype) for each in (p, q, x, r))
    same(tested, tested.dots(P, tested.put(z, np.float32)), plain.dots(p, z), TIGHT)
    alpha = tested.put([0.5, -2.0, 0.0], np.float64)
    found, wanted = (
        tested.advance(alpha, P, Q, X, None, R),
        plain.advance(tested.get(alpha), p, q, x, None, r),
    )
    same(tested, found, wanted, within)
    same(tested, X, x, within)
    same(tested, R, r, within)
    tested.turn(tested.put(z, np.float32), alpha, P)
    plain.turn(z, tested.get(alpha), p)
    same(tested, P, p, within)


def test_dots_sum_in_double(tested: Backend) -> None:
    """Ten million ones and a few of 1e-4: fp32 sums would stop counting."""
    a = np.full((1, 10_000_000), 1e-4, np.float32)
    a[0, :100] = 1.0
    exact = float(np.sum(a.astype(np.float64) ** 2))
    assert float(tested.dots(tested.put(a, np.float32), tested.put(a, np.float32))[0]) == (
        pytest.approx(exact, rel=1e-12)
    )


@pytest.mark.parametrize("shape", SHAPES, ids=str)
def test_energies(tested: Backend, shape: Shape) -> None:
    draw = np.random.default_rng(5)
    u, v = (draw.standard_normal((2, 3, *nodes_of(shape))) for _ in range(2))
    for dtype, within in ((np.float64, TIGHT), (np.float32, LOOSE)):
        found = tested.energies(cube(), tested.put(u, dtype), tested.put(v, dtype))
        assert found.shape == (2, *shape)
        same(tested, found, ReferenceBackend().energies(cube(), u, v), within)


@pytest.mark.parametrize("side", [1, 3, 7])
def test_convolution(tested: Backend, side: int) -> None:
    draw = np.random.default_rng(6)
    field, weights = draw.random((9, 2, 11)), draw.random((side, side, side))
    wanted = ReferenceBackend().convolve(field, weights)
    same(tested, tested.convolve(tested.put(field, np.float32), weights), wanted, LOOSE)


def test_backend_names() -> None:
    assert backend("reference").name == "reference"
    assert backend().name in {"cpu", "gpu"}
    with pytest.raises(AnalysisError, match="allowed: auto, cpu"):
        backend("abacus")


def test_too_long_a_last_axis_is_refused() -> None:
    with pytest.raises(AnalysisError, match="turn the grid"):
        backend("cpu").fine(
            cube(), np.ones((1, 1, 2000), np.float32), np.zeros((2, 2, 2001), np.uint8)
        )
