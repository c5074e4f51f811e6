"""Voxels' own forces: a beam's bending by hand, resultants of a block, gradients by differences.

Bending of a built-in bar by its own weight: w L^4 / 8 EI (Gere and Timoshenko, Mechanics of
Materials, table of beam deflections), and by shear w L^2 / (2 k G A), k = 10 / 12 for no lateral
contraction (Cowper, The Shear Coefficient in Timoshenko's Beam Theory, 1966).
"""

from dataclasses import replace

import numpy as np
import pytest

from refledge.voxels.backend import backend
from refledge.voxels.elasticity import Body
from refledge.voxels.grid import Grid
from refledge.voxels.loads import Field
from refledge.voxels.material import Layered
from refledge.voxels.optimise import _Run
from refledge.voxels.own_forces import Felt, own_forces, own_work
from refledge.voxels.problem import Load, Problem, Recipe
from tests.voxels.test_optimise import whole_problem
from tests.voxels.test_strength import limited

PLASTIC = Layered(E_in=2e9, E_across=2e9, nu_in=0.0, nu_across=0.0, G_across=1e9, rho=1240)
SHAKEN = Felt((2e4, -1e4, 3e4), (1e6, -2e6, 3e6), (1e-3, 2e-3, 3e-3))
"""As strong on the small block of ``whole_problem`` as the forces on its end."""


def sag(across: int, felt: float) -> float:
    """Of a bar 10 x 10 x 200 mm held at one end, voxels ``across`` its depth, m."""
    grid = Grid((20 * across, across, across), 1e-2 / across)
    held = np.zeros(grid.field, bool)
    held[:, 0] = True
    body = Body(grid, PLASTIC, held)
    forces = own_forces(body, Felt((0.0, 0.0, -felt)), np.ones(grid.shape))
    u = body.at(np.ones(grid.shape)).solve(Field.of(body.backend, forces[None], held)).x
    return -float(u[0, 2, -1].mean())


def test_a_bar_bends_by_its_own_weight_as_a_beam_does() -> None:
    """The error of bricks falls with their size squared, so two sizes give the limit: 0.1 %."""
    a, L, g = 1e-2, 0.2, 300.0
    w, E, G = PLASTIC.rho * a**2 * g, PLASTIC.E_in, PLASTIC.G_across
    wanted = w * L**4 / (8 * E * a**4 / 12) + w * L**2 / (2 * 10 / 12 * G * a**2)
    coarse, fine = sag(4, g), sag(8, g)
    assert coarse < fine < wanted
    assert fine + (fine - coarse) / 3 == pytest.approx(wanted, rel=1e-3)


@pytest.mark.parametrize("name", ["reference", "cpu"])
def test_resultants_of_a_block_are_those_of_its_mass_and_inertia(name: str) -> None:
    """Less m h^2 / 6 of inertia about each axis, which voxels have about their own middles."""
    grid = Grid((8, 5, 6), 1e-3, (1e-3, -2e-3, 5e-3))
    body = Body(grid, PLASTIC, np.zeros(grid.field, bool), backend(name))
    felt = Felt((3.0, -2.0, 5.0), (40.0, 50.0, -60.0), (0.1, 0.2, -0.3))
    forces = body.backend.get(own_forces(body, felt, np.ones(grid.shape)))
    m, sides = PLASTIC.rho * grid.size * 1e-9, 1e-3 * np.array(grid.shape)
    centre = np.array(grid.origin) + sides / 2
    there = np.array(felt.field) + np.cross(felt.turn, centre - felt.about)
    assert forces.sum(axis=(1, 2, 3)) == pytest.approx(m * there)
    at = np.stack(np.broadcast_arrays(*grid.axes())).reshape(3, -1).T - centre
    moment = np.cross(at, forces.reshape(3, -1).T).sum(axis=0)
    inertia = m / 12 * ((sides**2).sum() - sides**2) - m * 1e-6 / 6
    assert moment == pytest.approx(inertia * felt.turn)


def test_work_is_that_of_the_forces() -> None:
    body = whole_problem().body
    draw = np.random.default_rng(0)
    weight, u = draw.uniform(0, 1, body.grid.shape), draw.standard_normal(body.grid.field)
    forces = own_forces(body, SHAKEN, weight)
    assert float((weight * own_work(body, SHAKEN, u)).sum()) == pytest.approx(np.vdot(forces, u))


def heavy(name: str) -> Problem:
    """Everything at once, its first load and a third one shaken; strength too."""
    problem = whole_problem(name)
    lift, yaw = problem.loads
    shake = Load("shake", 0 * lift.forces, 0.3, SHAKEN)
    limit = limited(name, 1e-3)
    strength = replace(limit, factors={**limit.factors, "shake": 1.0})
    return replace(
        problem, loads=(replace(lift, felt=SHAKEN), yaw, shake), strength=strength,
        limits=(*problem.limits, replace(problem.limits[0], name="sway", load="shake")),
    )  # fmt: skip


@pytest.mark.parametrize("name", ["reference", "cpu"])
@pytest.mark.parametrize("goal", ["mass", "stiffness"])
def test_gradients_with_own_forces_against_differences(name: str, goal: str) -> None:
    """Of compliance, motions, uses' p-norms: central differences, some densities near nothing."""
    recipe = Recipe(filter_radius=1.5, sharpness=(4.0,), tolerance=1e-10)
    problem = replace(heavy(name), goal=goal)
    run = _Run(problem, recipe)
    draw = np.random.default_rng(1)
    x = draw.uniform(0.15, 0.7, int(problem.free.sum()))
    along, h = draw.standard_normal(len(x)), 1e-4

    def figures(x):
        designs = run.blueprint.draw(run._whole(x), 4.0)
        found = run.responses.evaluate(designs.eroded.density)
        slopes = [found.compliance_slope, *found.motion_slopes, *found.stressed.slopes]
        values = [found.compliance, *found.motions, *found.stressed.norms]
        return np.array(values), [float(run._back(designs, each) @ along) for each in slopes]

    values, slopes = figures(x)
    wanted = (figures(x + h * along)[0] - figures(x - h * along)[0]) / (2 * h)
    assert slopes == pytest.approx(wanted, rel=1e-3)
    plain = _Run(
        replace(problem, loads=whole_problem(name).loads, limits=(), strength=None), recipe
    )
    designs = plain.blueprint.draw(plain._whole(x), 4.0)
    assert plain.responses.evaluate(designs.eroded.density).compliance < 0.9 * values[0]
