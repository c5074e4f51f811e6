"""Strength judged on a part that is held by what yields, motions on one that is held fast."""

from dataclasses import replace

import numpy as np
import pytest

from refledge.geometry import kernel
from refledge.solids.blocks import brick_mesh
from refledge.solids.cases import Bedding, FaceLoad, FaceStress, SolidCase, Support
from refledge.solids.figures import SolidResults
from refledge.solids.part import PrintedBody, meshed, refine, solve_on, solve_part
from refledge.solids.port import MeshSize
from refledge.solids.regions import Plane, Ring
from tests.solids.arm_part import PETG

LENGTH, WIDTH, HEIGHT = 0.06, 0.012, 0.008
PULL = 2e6
HELD = (Support(("x0",)),)
CASES = (SolidCase("pull", (FaceStress("x1", np.diag([PULL, 0.0, 0.0])),)),)
BED = Bedding("x0", 4e10, 1e4)
EDGES = (3e-3, 2e-3)


def test_on_what_yields_a_pull_is_uniform_to_the_end_and_motions_stay() -> None:
    """Held fast the end cannot grow thinner and is torn at its corners; on springs that only bear
    across it the stress is the pull everywhere, and it sinks by stress over bedding."""
    mesh = brick_mesh((12, 3, 2), lambda p: p * [LENGTH, WIDTH, HEIGHT])
    mesh = replace(mesh, bodies=("bar",))
    body = {"bar": PrintedBody(kernel.box((0, 0, 0), (1, 1, 1)), PETG, (0.0, 0.0, 1.0))}
    fast = solve_on(mesh, body, HELD, CASES, n_modes=1)
    soft = solve_on(mesh, body, HELD, CASES, n_modes=1, yielding=(BED,))
    np.testing.assert_allclose(soft.stresses[0].nodes[:, 0], PULL, rtol=1e-3)
    assert fast.stresses[0].nodes[:, 0].max() > 1.05 * PULL
    assert fast.judged is fast.system
    load = np.zeros((len(mesh.nodes), 3))
    end = mesh.face_nodes("x1")
    load[end, 0] = PULL * WIDTH * HEIGHT / len(end)
    root = soft.judged.solve(load.ravel()).reshape(-1, 3)[mesh.face_nodes("x0"), 0]
    assert root.mean() == pytest.approx(PULL / BED.normal, rel=1e-2)
    assert soft.static is not None
    assert fast.static is not None
    moved = fast.static.displacements
    np.testing.assert_allclose(
        soft.static.displacements, moved, rtol=0, atol=1e-9 * np.abs(moved).max()
    )
    assert soft.modes is not None
    assert fast.modes is not None
    np.testing.assert_allclose(soft.modes.frequencies, fast.modes.frequencies, rtol=1e-9)


def test_the_edge_of_a_yielding_ring_is_torn_less_by_finer_meshes() -> None:
    """A ring held fast is a corner without a finite stress, r to the power of -1/2 or so; where
    springs push on a ring the stress at its edge grows as a logarithm only."""
    block = kernel.box((0, -0.01, 0), (LENGTH, 0.01, HEIGHT))
    body = {"block": PrintedBody(block, PETG, (0.0, 0.0, 1.0))}
    faces = {
        "ring": Ring((0.012, 0, 0), (0, 0, -1), 0.0, 0.005),
        "tip": Plane((LENGTH, 0, 0), (1, 0, 0)),
    }
    tip = np.array([LENGTH, 0.0, HEIGHT / 2])
    case = SolidCase("push", (FaceLoad("tip", np.array([0.0, 0.0, 8.0]), tip),))
    bed = Bedding("ring", PETG.E_z / 5e-3, PETG.G_xz / 5e-3)

    def torn(edge: float, *yielding: Bedding) -> float:
        mesh = meshed(body, faces, MeshSize(edge))
        run = solve_on(mesh, body, [Support(("ring",))], [case], yielding=yielding)
        return run.uses[0].worst_plastic.unrestricted

    fast, soft = [torn(edge) for edge in EDGES], [torn(edge, bed) for edge in EDGES]
    assert fast[1] / fast[0] > (EDGES[0] / EDGES[1]) ** 0.5
    assert soft[1] / soft[0] < (EDGES[0] / EDGES[1]) ** 0.5
    assert soft[1] < 0.7 * fast[1]


def test_both_meshes_and_a_refined_one_are_judged_on_what_yields() -> None:
    """What lies on the bedding is left out as what lies on a support is."""
    solid = kernel.box((0, 0, 0), (LENGTH, WIDTH, HEIGHT))
    body = {"bar": PrintedBody(solid, PETG, (0.0, 0.0, 1.0))}
    faces = {"x0": Plane((0, 0, 0), (1, 0, 0)), "x1": Plane((LENGTH, 0, 0), (1, 0, 0))}
    size, full = MeshSize(4e-3), 1.0 / PETG.strength_xy
    fast = solve_part(body, faces, HELD, CASES, size=size)
    soft = solve_part(body, faces, HELD, CASES, size=size, yielding=(BED,))
    for run in (soft.coarse, soft.finest):
        assert run.uses[0].worst_plastic.use == pytest.approx(PULL * full, rel=0.01)
    assert fast.finest.uses[0].worst_plastic.use > 1.02 * PULL * full
    near = np.array([0.002, WIDTH / 2, HEIGHT / 2])
    finer = replace(size, spots=((*map(float, near), 0.7e-3),))

    def again(known: SolidResults, *yielding: Bedding) -> float:
        found = refine(known, [near], body, faces, HELD, CASES, size=finer, yielding=yielding)
        assert found is not known
        return found.finest.uses[0].worst_plastic.use

    assert again(soft, BED) == pytest.approx(PULL * full, rel=0.01)
    assert again(fast) > 1.02 * PULL * full
