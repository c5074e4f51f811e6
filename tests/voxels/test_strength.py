"""Use of strength: by hand on plain states of stress, and gradients against differences."""

from dataclasses import replace

import numpy as np
import pytest

from refledge.errors import AnalysisError
from refledge.solids.law import Plastic
from refledge.solids.strength import uses as solid_uses
from refledge.voxels.elasticity import Body
from refledge.voxels.grid import Grid
from refledge.voxels.history import Design
from refledge.voxels.material import isotropic
from refledge.voxels.optimise import _Run, optimise
from refledge.voxels.problem import Limit, Load, Problem, Recipe, StrengthLimit
from refledge.voxels.strains import middle_forces, middle_strains
from refledge.voxels.strength import Strength, gathered, uses
from tests.voxels.test_optimise import QUICK, whole_problem

PRINTED = Strength(plane=40e6, across=25e6, shear=18e6)


def limited(name: str, most: float = 1.0, **also) -> StrengthLimit:
    problem = whole_problem(name)
    counts = ~problem.empty
    counts[0] = False
    return StrengthLimit(PRINTED, {"lift": 1.5, "yaw": 1.2}, counts, most, **also)


@pytest.mark.parametrize("build", ["x", "y", "z"])
def test_uses_are_those_of_the_solids(build: str) -> None:
    """The same criteria, written for other arrays and any build axis."""
    stress = 1e7 * np.random.default_rng(0).standard_normal((6, 3, 4, 5))
    plastic = Plastic(
        E_xy=1e9, E_z=1e9, nu_xy=0.3, nu_xz=0.3, G_xz=4e8, rho=1e3,
        strength_xy=40e6, strength_z=25e6, shear_z=18e6,
    )  # fmt: skip
    axes = np.roll(np.eye(3), "xyz".index(build) - 2, axis=1)
    assert axes[2]["xyz".index(build)] == 1
    both = uses(np, stress, replace(PRINTED, build=build))
    wanted = solid_uses(np.moveaxis(stress, 0, -1), plastic, axes)
    for mine, theirs in zip(both, wanted, strict=True):
        assert mine.use == pytest.approx(theirs, rel=1e-12)


def test_slopes_to_stress_against_differences() -> None:
    draw = np.random.default_rng(1)
    stress, along = 1e7 * draw.standard_normal((2, 6, 3, 3, 3))
    h = 1e-4
    ends = [uses(np, stress + sign * h * along, PRINTED) for sign in (1, -1)]
    for mine, up, down in zip(uses(np, stress, PRINTED), *ends, strict=True):
        wanted = (up.use - down.use) / (2 * h)
        assert (mine.slope * along).sum(axis=0) == pytest.approx(wanted, rel=1e-5, abs=1e-9)


def test_strains_of_a_linear_motion_and_their_transpose() -> None:
    grid = whole_problem().body.grid
    x, y, z = np.broadcast_arrays(*grid.axes())
    u = np.stack([1e-3 * x + 4e-3 * y, 2e-3 * y + 5e-3 * z, 3e-3 * z + 6e-3 * x])
    found = middle_strains(np, u, grid.spacing)
    for row, wanted in zip(found, (1e-3, 2e-3, 3e-3, 5e-3, 6e-3, 4e-3), strict=True):
        assert row == pytest.approx(np.full(grid.shape, wanted))
    draw = np.random.default_rng(2)
    v, s = draw.standard_normal(grid.field), draw.standard_normal((6, *grid.shape))
    forces = middle_forces(np, s, grid.spacing)
    work = float(np.vdot(middle_strains(np, v, grid.spacing), s))
    assert float(np.vdot(forces, v)) == pytest.approx(work)


def test_the_norm_bounds_the_greatest_and_thin_plastic_counts_less() -> None:
    stress = np.zeros((6, 2, 1, 1))
    stress[0] = 20e6  # half of the strength in the plane, none of the boundaries'
    density = np.array([1.0, 0.25]).reshape(2, 1, 1)
    found = gathered(np, stress, density, np.full((2, 1, 1), 2.0), PRINTED, 0.5, 8.0)
    assert found.most == pytest.approx(1.0)
    assert found.norm == pytest.approx((1 + 0.5**8) ** (1 / 8))
    none = gathered(np, stress, 0 * density, np.ones((2, 1, 1)), PRINTED, 0.5, 8.0)
    assert none.most == none.norm == 0
    assert not none.to_stress.any()


@pytest.mark.parametrize("name", ["reference", "cpu"])
def test_gradients_of_uses_against_differences(name: str) -> None:
    """Of the p-norms, by the adjoint solves: central differences as for the other limits."""
    recipe = Recipe(filter_radius=1.5, sharpness=(2.0,), tolerance=1e-10)
    problem = replace(whole_problem(name), strength=limited(name, 1e-3))
    run = _Run(problem, recipe)
    draw = np.random.default_rng(1)
    x = draw.uniform(0.3, 0.7, int(problem.free.sum()))
    along, h = draw.standard_normal(len(x)), 1e-4

    def norms(x):
        designs = run.blueprint.draw(run._whole(x), 2.0)
        found = run.responses.evaluate(designs.eroded.density).stressed
        return designs, found

    designs, found = norms(x)
    slopes = [float(run._back(designs, slope) @ along) for slope in found.slopes]
    ends = [norms(x + sign * h * along)[1].norms for sign in (1, -1)]
    assert slopes == pytest.approx((ends[0] - ends[1]) / (2 * h), rel=1e-3)
    assert (found.norms >= found.uses).all()


def test_voxels_that_do_not_count_and_loads_that_are_not_judged() -> None:
    problem = whole_problem()
    density = np.where(problem.empty, 0, 1).astype(np.float32)
    full = limited("cpu")

    def worst(limit: StrengthLimit) -> np.ndarray:
        run = _Run(replace(problem, strength=limit), QUICK)
        return run.responses.evaluate(density).stressed.uses

    away = full.counts.copy()
    away[:5] = False  # the notch beside the empty voxels, where it is greatest
    assert (worst(replace(full, counts=away)) < 0.9 * worst(full)).all()
    only = worst(replace(full, factors={"yaw": 2.4}))
    assert only == pytest.approx(2 * worst(full)[1:])


CRISPER = Recipe(
    filter_radius=1.5, stage=12, sharpness=(1.0, 2.0, 4.0, 8.0), least_stiffness=1e-4,
    tolerance=1e-4,
)  # fmt: skip


def bracket(most: float, goal: str = "stiffness", since: float = 4.0) -> Problem:
    """A plate with a quarter cut out, hung by its top and pulled at its side: the inner corner is
    where stress is greatest, the usual trial of strength in topology optimisation."""
    n = 20
    grid = Grid((n, 3, n), 1.0)
    empty, held = np.zeros(grid.shape, bool), np.zeros(grid.field, bool)
    empty[n // 2 :, :, n // 2 :] = True
    held[:, : n // 2 + 1, :, -1] = True
    forces = np.zeros(grid.field)
    forces[2, -1, :, 4:7] = -1 / 12
    counts = ~empty
    counts[:, :, -1] = False
    counts[-3:, :, 2:8] = False
    strength = Strength(plane=1.0, across=1.0, shear=3**-0.5)
    return Problem(
        Body(grid, isotropic(1.0, 0.3), held), (Load("tip", forces),), goal, most_mass=0.4,
        empty=empty, strength=StrengthLimit(strength, {"tip": 1.0}, counts, most, since=since),
    )  # fmt: skip


@pytest.fixture(scope="module")
def free() -> Design:
    """The bracket grown for stiffness alone, its uses told."""
    return optimise(bracket(1e9), CRISPER)


def test_growing_keeps_the_limit_and_pays_with_stiffness(free: Design) -> None:
    most = 0.9 * free.best.uses[0]
    found = optimise(bracket(most), CRISPER)
    assert found.best.feasible
    assert found.best.uses[0] <= 1.003 * most
    assert 0.38 < found.best.mass <= 0.4 * 1.003
    assert free.best.compliance < found.best.compliance < 1.2 * free.best.compliance
    assert [bool(step.uses) for step in found.history] == [
        step.sharpness >= 4 for step in found.history
    ]


def test_least_mass_within_strength_and_a_motion(free: Design) -> None:
    """Allowed to give a third more, the lightest is overstressed unless told not to be; keeping
    its strength too costs mass, but little."""
    whole = bracket(1e9, "mass")
    motion = Limit("give", "tip", whole.loads[0].forces, 1.3 * free.best.compliance)
    light = optimise(replace(whole, limits=(motion,)), CRISPER).best
    most = free.best.uses[0]
    best = optimise(replace(bracket(most, "mass"), limits=(motion,)), CRISPER).best
    assert light.uses[0] > 1.03 * most
    assert light.feasible
    assert best.feasible
    assert best.uses[0] <= 1.003 * most
    assert light.mass < best.mass < 0.36


def test_strength_under_unknown_loads_and_strength_of_nothing_are_refused() -> None:
    with pytest.raises(AnalysisError, match="unknown loads"):
        replace(bracket(1.0), strength=replace(bracket(1.0).strength, factors={"other": 1.0}))
    with pytest.raises(AnalysisError, match="above 0"):
        Strength(plane=1.0, across=0.0, shear=1.0)
