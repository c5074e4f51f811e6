"""Filter, projection, ties and overhang: what they promise, and their transposes."""

import numpy as np
import pytest

from refledge.errors import AnalysisError
from refledge.typed import Floats
from refledge.voxels.backend import backend
from refledge.voxels.fields import ConeFilter, Projection, Ties
from refledge.voxels.overhang import Overhang

SHAPE = (7, 6, 8)


def random(seed: int = 0) -> Floats:
    return np.random.default_rng(seed).uniform(0.05, 0.95, SHAPE)


@pytest.mark.parametrize("name", ["cpu", "reference"])
@pytest.mark.parametrize("radius", [1.0, 1.5, 2.5, 4.5])
def test_filter_keeps_constants_and_has_its_transpose(name: str, radius: float) -> None:
    cone = ConeFilter(backend(name), SHAPE, radius)
    assert cone.forward(np.full(SHAPE, 0.3, np.float32)) == pytest.approx(0.3, rel=1e-5)
    x, g = random(), random(1)
    assert np.vdot(cone.forward(x), g) == pytest.approx(np.vdot(x, cone.backward(g)), rel=1e-5)


def test_filter_reaches_its_radius_and_no_further() -> None:
    x = np.zeros((9, 9, 9), np.float32)
    x[4, 4, 4] = 1
    spread = ConeFilter(backend("reference"), x.shape, 2.5).forward(x)
    i, j, k = np.indices(x.shape) - 4
    far = np.sqrt(i**2 + j**2 + k**2)
    assert (spread[far >= 2.5] == 0).all()
    assert (spread[far < 2.4] > 0).all()
    assert spread[4, 4, 6] / spread[4, 4, 4] == pytest.approx(0.5 / 2.5)


def test_projection_sharpens_about_its_threshold() -> None:
    x = np.linspace(0, 1, 101)
    sharp = Projection(64.0, 0.3).forward(np, x)
    assert sharp[[0, -1]] == pytest.approx([0, 1], abs=1e-12)
    assert (sharp[x < 0.25] < 0.01).all()
    assert (sharp[x > 0.35] > 0.99).all()
    assert Projection(1e-3).forward(np, x) == pytest.approx(x, abs=1e-6)
    slope = Projection(5.0, 0.4).backward(np, x, np.ones_like(x))
    h = 1e-6
    wanted = (Projection(5.0, 0.4).forward(np, x + h) - Projection(5.0, 0.4).forward(np, x - h)) / (
        2 * h
    )
    assert slope == pytest.approx(wanted, rel=1e-6)


def test_ties_average_mirrors_and_cells() -> None:
    ties = Ties(mirrored=("y",), repeats=(("z", 4),))
    x = ties.average(random())
    assert x == pytest.approx(x[:, ::-1])
    assert x[:, :, :2] == pytest.approx(x[:, :, 4:6])
    assert ties.average(x) == pytest.approx(x)
    assert x.mean() == pytest.approx(random().mean())
    g = random(2)
    assert np.vdot(ties.average(random()), g) == pytest.approx(np.vdot(random(), ties.average(g)))
    with pytest.raises(AnalysisError, match="cannot be 4 equal cells"):
        Ties(repeats=(("x", 4),)).average(random())


@pytest.mark.parametrize("axis", [0, 1, 2])
@pytest.mark.parametrize("start", ["low", "high"])
def test_nothing_is_printed_on_air(axis: int, start: str) -> None:
    """A slab high up needs a pillar below; 45 degrees out it holds, further it does not."""
    drawn = np.zeros((11, 11, 11))
    drawn[:, :, 5] = 1  # a slab in the middle
    drawn[5, 5, :5] = 1  # on one pillar
    moved = np.moveaxis(drawn if start == "low" else drawn[:, :, ::-1], 2, axis)
    printed = np.moveaxis(Overhang(axis, start).forward(np, moved), axis, 2)
    printed = printed if start == "low" else printed[:, :, ::-1]
    assert (printed[5, 5, :6] > 0.9).all()
    assert printed[6, 5, 5] > 0.9
    assert printed[7, 5, 5] < 0.1
    assert (printed[:, :, 6:] < 0.05).all()


def test_a_cone_of_45_degrees_prints_whole() -> None:
    i, j, k = np.indices((11, 11, 5))
    cone = (np.abs(i - 5) + np.abs(j - 5) <= k).astype(float)
    assert np.abs(Overhang(2).forward(np, cone) - cone).max() < 0.1


@pytest.mark.parametrize("axis", [0, 2])
@pytest.mark.parametrize("start", ["low", "high"])
def test_overhang_gradient(axis: int, start: str) -> None:
    overhang, x, g = Overhang(axis, start), random(), random(3)
    found = overhang.backward(np, x, overhang.forward(np, x), g)
    draw, h = np.random.default_rng(4).standard_normal(SHAPE), 1e-6
    change = overhang.forward(np, x + h * draw) - overhang.forward(np, x - h * draw)
    assert np.vdot(found, draw) == pytest.approx(np.vdot(g, change) / (2 * h), rel=1e-6)


def test_a_filter_below_one_voxel_is_refused() -> None:
    with pytest.raises(AnalysisError, match="at least 1"):
        ConeFilter(backend("reference"), SHAPE, 0.5)
