"""Stress recovery, averaging, and the rule for the worst point."""

import numpy as np
import pytest

from refledge.errors import AnalysisError
from refledge.geometry import kernel
from refledge.solids.blocks import brick_mesh
from refledge.solids.cases import FaceStress, SolidCase, Support
from refledge.solids.hotspot import utilisation
from refledge.solids.law import in_axes, isotropic, layer_axes
from refledge.solids.part import PrintedBody, solve_on
from refledge.solids.port import MeshSize, mesh_solids
from refledge.solids.regions import Plane
from refledge.solids.skin import Skin, core, in_walls
from refledge.solids.static import static
from refledge.solids.stress import recover, volume_averaged
from refledge.solids.system import build
from tests.solids.arm_part import PETG
from tests.solids.bars import HEIGHT, LENGTH, WIDTH, bar, plain

MESH = bar()


def pulled(field: float = 0.0):
    tension = FaceStress("x1", np.diag([2e6, 0.0, 0.0]))
    system = build(MESH, plain(MESH), [Support(("x0",))])
    found = static(system, [SolidCase("pull", (tension,), np.array([field, 0, 0]))])
    return recover(MESH, system.material, found.displacements[0])


def test_uniform_tension_is_uniform_everywhere() -> None:
    stress = pulled()
    for values in (stress.nodes, stress.elements, stress.corners.reshape(-1, 6)):
        np.testing.assert_allclose(values[:, 0], 2e6, rtol=1e-9)
        np.testing.assert_allclose(values[:, 1:], 0.0, atol=1e-2)


def test_average_over_a_ball_of_linear_stress_is_its_middle() -> None:
    """Own weight: stress is linear along the bar, so a whole ball averages to its centre."""
    stress = pulled(1e4)
    inside = np.flatnonzero(np.abs(MESH.nodes[: MESH.corners, 0] - 0.1) < 1e-9)
    mean = volume_averaged(MESH, stress, inside, 0.03)
    np.testing.assert_allclose(mean[:, 0], 2e6 + 1e4 * 1240 * 0.1, rtol=2e-2)


def test_free_heat_does_no_stress_and_held_heat_does() -> None:
    hot = isotropic(3e9, 0.0, 1000.0, expansion=1e-4)
    mesh = brick_mesh((4, 2, 2), lambda p: p)
    rise = np.full(len(mesh.nodes), 20.0)
    material = plain(mesh, hot)
    free = static(build(mesh, material), [SolidCase("heat", rise=rise)])
    assert np.abs(recover(mesh, material, free.displacements[0], rise).nodes).max() < 1.0
    ends = [Support(("x0", "x1"), y=False, z=False), Support(("y0",), x=False, z=False)]
    held = build(mesh, material, [*ends, Support(("z0",), x=False, y=False)])
    found = static(held, [SolidCase("heat", rise=rise)])
    stress = recover(mesh, material, found.displacements[0], rise).nodes
    np.testing.assert_allclose(stress[:, 0], -3e9 * 1e-4 * 20.0, rtol=1e-9)


def test_the_rule_settles_where_the_worst_node_does_not() -> None:
    """An L-bracket with a sharp inner corner, on meshes that shrink."""
    corner = kernel.box((0.01, -1, 0.01), (1, 1, 1))
    bracket = kernel.cut(kernel.box((0, 0, 0), (0.03, 0.01, 0.03)), corner)
    body = {"bracket": PrintedBody(bracket, PETG, (0, 1, 0))}
    faces = {"foot": Plane((0, 0, 0.03), (0, 0, 1)), "end": Plane((0.03, 0, 0), (1, 0, 0))}
    shear = FaceStress("end", np.array([[0, 0, 2e6], [0, 0, 0], [2e6, 0, 0.0]]))
    case = [SolidCase("push", (shear,))]
    worst = []
    for near in (1.2e-3, 0.6e-3):
        mesh = mesh_solids({"bracket": bracket}, faces | {"root": Plane((0.01, 0, 0), (1, 0, 0))},
                           MeshSize(4e-3, {"root": near}))  # fmt: skip
        run = solve_on(mesh, body, [Support(("foot",))], case, reach=2e-3)
        worst.append(run.uses[0].worst_plastic)
    assert worst[1].unrestricted > 1.15 * worst[0].unrestricted
    assert worst[1].use == pytest.approx(worst[0].use, rel=0.08)
    np.testing.assert_allclose(worst[1].point[[0, 2]], 0.01, atol=2.5e-3)


def test_points_by_a_support_do_not_count() -> None:
    stress = pulled()
    stress.nodes[np.abs(MESH.nodes[: MESH.corners, 0]) < 1e-9] *= 10
    stress.corners[np.abs(MESH.nodes[MESH.tets[:, :4], 0]) < 1e-9] *= 10
    one = utilisation(MESH, stress, (PETG,), (np.eye(3),), ("x0",), 0.02)
    assert one.worst_plastic.unrestricted == pytest.approx(20e6 / 45e6)
    free = utilisation(MESH, stress, (PETG,), (np.eye(3),), (), 0.02)
    assert one.worst_plastic.use < 0.5 * free.worst_plastic.use
    assert one.worst_plastic.point[0] > 0.02
    with pytest.raises(AnalysisError, match="no point of the part"):
        utilisation(MESH, stress, (PETG,), (np.eye(3),), ("x0",), 1.0)


def test_walls_of_infill_carry_more_than_the_core_but_less_than_solid() -> None:
    """Gibson and Ashby's honeycomb: all of f across the layers, half of f in shear along them.

    The law gives the core f^2 of the solid's stress at the same strain, 0.16 at f = 0.4.
    """
    axes = layer_axes(np.array([0.0, 1.0, 0.0]))
    solid = np.array([10.0, 5.0, 3.0, 2.0, 1.0, 4.0])
    stress = in_axes(np.vstack((solid, solid)), axes.T)  # given in layer axes, turned to the part's
    found = in_axes(in_walls(stress, np.array([True, False]), 0.4, axes), axes)
    assert found[1] == pytest.approx(solid)
    core = 0.16 * solid
    assert found[0, 2] == pytest.approx(core[2] / 0.4)
    assert found[0, 3:5] == pytest.approx(core[3:5] / 0.2)
    assert found[0, [0, 1, 5]] == pytest.approx(solid[[0, 1, 5]])
    dense = in_axes(in_walls(stress, np.array([True, True]), 0.9, axes), axes)
    assert np.all(np.abs(dense[0]) <= np.abs(solid) + 1e-12)


def test_the_core_begins_where_the_skin_ends() -> None:
    mesh = bar((20, 8, 8))
    inside = core(mesh, Skin(3e-3, 2e-3, 0.3), np.array([0.0, 0.0, 1.0]))
    x, y, z = mesh.nodes[: mesh.corners].T
    deep = (x > 3e-3) & (x < LENGTH - 3e-3) & (y > 3e-3) & (y < WIDTH - 3e-3)
    deep &= (z > 2e-3) & (z < HEIGHT - 2e-3)
    assert inside.any()
    assert not np.any(inside & ~deep)
    assert np.all(inside[deep & (np.abs(z - HEIGHT / 2) < 1e-4) & (np.abs(y - WIDTH / 2) < 1e-4)])
