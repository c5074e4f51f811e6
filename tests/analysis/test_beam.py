"""The beam frame against closed forms, and the invariants that any frame must keep."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from refledge.analysis.beam import (
    PointMass,
    Spring,
    all_dofs,
    end_forces,
    frame_of,
    line_mesh,
    matrices,
    modes,
    rigid_body_mass,
    rigid_shapes,
    solve_free,
    solve_static,
)
from refledge.errors import AnalysisError
from tests.analysis.frames import BOX, RHO, ROOT, E, G, airframe, arm, tip_load


def test_timoshenko_cantilever_under_every_tip_load():
    """F L^3 / 3 E I + F L / G A, T L / G J, N L / E A: exact at the nodes of any mesh."""
    L, F = 0.2, 7.0
    s = BOX
    frame = arm(3, L)
    loads = np.stack([tip_load(frame, *(F * np.eye(6)[d])) for d in range(6)])
    tips = solve_static(frame, loads, ROOT).displacements[:, -1]
    wanted = np.zeros((6, 6))
    wanted[0, 0] = L / (E * s.area)
    wanted[1, 1] = L**3 / (3 * E * s.Iz) + L / (G * s.Ay)
    wanted[2, 2] = L**3 / (3 * E * s.Iy) + L / (G * s.Az)
    wanted[3, 3] = L / (G * s.J)
    wanted[4, 4], wanted[5, 5] = L / (E * s.Iy), L / (E * s.Iz)
    wanted[1, 5] = wanted[5, 1] = L**2 / (2 * E * s.Iz)
    wanted[2, 4] = wanted[4, 2] = -(L**2) / (2 * E * s.Iy)
    np.testing.assert_allclose(tips, F * wanted, rtol=1e-9, atol=1e-9 * F * wanted[0, 0])


def test_reactions_balance_the_loads():
    frame, tips = airframe()
    loads = np.zeros((len(frame.nodes), 6))
    loads[list(tips)] = np.random.default_rng(0).normal(size=(6, 6))
    held = np.concatenate([all_dofs(0), all_dofs(tips[2])[:3]])
    found = solve_static(frame, loads, held)
    R = rigid_shapes(frame.nodes)
    total = R.T @ (loads + found.reactions).ravel()
    np.testing.assert_allclose(total, 0, atol=1e-9)


def test_end_forces_of_a_cantilever():
    frame = arm(4)
    u = solve_static(frame, tip_load(frame, 3, 2, 5, 0.1, 0.2, 0.3), ROOT).displacements
    root = end_forces(frame, u)[0, 0]
    wanted = [-3, -2, -5, -0.1, 5 * 0.2 - 0.2, -2 * 0.2 - 0.3]
    np.testing.assert_allclose(root, wanted, rtol=1e-9)


def test_end_forces_of_a_free_beam_include_inertia():
    """A free uniform bar pushed at one end: tension falls linearly to zero, -F (1 - x / L)."""
    frame = arm(5)
    loads = np.zeros((6, 6))
    loads[0, 0] = 10.0
    free = solve_free(frame, loads)
    force = end_forces(frame, free.displacements, free.acceleration)[:, :, 0]
    x = np.linspace(0, 1, 6)
    np.testing.assert_allclose(force[:, 0], 10 * (1 - x[:-1]), atol=1e-9)
    np.testing.assert_allclose(force[:, 1], -10 * (1 - x[1:]), atol=1e-9)


def test_end_forces_of_a_free_beam_lifted_in_the_middle():
    """Shear and moment of a bar whose weight-like inertia hangs on its middle: F L / 8."""
    frame = arm(6)
    loads = np.zeros((7, 6))
    loads[3, 2] = 12.0
    free = solve_free(frame, loads)
    forces = end_forces(frame, free.displacements, free.acceleration)
    # The beam's rotary inertia takes no part: it accelerates without turning.
    np.testing.assert_allclose(abs(forces[2, 1, 4]), 12.0 * 0.2 / 8, rtol=1e-9)
    np.testing.assert_allclose(forces[0, 0], 0, atol=1e-9)


def test_free_solution_does_not_depend_on_node_order():
    """Another node is then the hidden support."""
    frame, tips = airframe()
    loads = np.zeros((2, len(frame.nodes), 6))
    loads[0, tips[0], 2] = 12.0
    loads[1, tips[3]] = [1, 2, 3, 0.1, 0.2, 0.3]
    order = np.roll(np.arange(len(frame.nodes)), 17)
    place = np.argsort(order)
    mixed = replace(
        frame,
        nodes=frame.nodes[order],
        elements=place[frame.elements],
        masses=tuple(replace(m, node=int(place[m.node])) for m in frame.masses),
    )
    one, two = solve_free(frame, loads), solve_free(mixed, loads[:, order])
    size = np.abs(one.displacements).max()
    np.testing.assert_allclose(two.displacements, one.displacements[:, order], atol=1e-9 * size)
    np.testing.assert_allclose(two.acceleration, one.acceleration, rtol=1e-9, atol=1e-9)
    assert np.all(one.imbalance < 1e-9)


def test_free_acceleration_is_newtons():
    frame, tips = airframe()
    loads = np.zeros((len(frame.nodes), 6))
    loads[tips[0], 2] = 12.0
    body, free = rigid_body_mass(frame), solve_free(frame, loads)
    arm_of_force = frame.nodes[tips[0]] - body.centre
    turning = np.linalg.solve(body.inertia, np.cross(arm_of_force, [0, 0, 12.0]))
    centre = np.array([0, 0, 12.0]) / body.mass
    np.testing.assert_allclose(free.acceleration[3:], turning, rtol=1e-9, atol=1e-9)
    at_origin = centre - np.cross(turning, body.centre)
    np.testing.assert_allclose(free.acceleration[:3], at_origin, rtol=1e-9, atol=1e-9)


def test_rigid_body_mass_by_hand():
    """Two lumps and a bar: mass, centre, inertia with the parallel-axis terms."""
    lump = PointMass(4, 0.5, np.diag([1e-4, 2e-4, 3e-4]), np.array([0.0, 0.0, 0.03]))
    frame = arm(4, masses=(lump,))
    bar = RHO * float(BOX.area) * 0.2
    body = rigid_body_mass(frame)
    np.testing.assert_allclose(body.mass, bar + 0.5, rtol=1e-12)
    centre = (bar * np.array([0.1, 0, 0]) + 0.5 * np.array([0.2, 0, 0.03])) / (bar + 0.5)
    np.testing.assert_allclose(body.centre, centre, atol=1e-12)

    def own(mass, inertia, at):
        d = np.asarray(at) - centre
        return inertia + mass * (d @ d * np.eye(3) - np.outer(d, d))

    turn = bar / BOX.area * np.array([BOX.Iy + BOX.Iz, BOX.Iy, BOX.Iz])
    bar_inertia = np.diag(turn) + bar * 0.2**2 / 12 * np.diag([0, 1, 1])
    inertia = own(bar, bar_inertia, [0.1, 0, 0]) + own(0.5, lump.inertia, [0.2, 0, 0.03])
    np.testing.assert_allclose(body.inertia, inertia, rtol=1e-9, atol=1e-12)


def test_rigid_motion_costs_nothing_with_offsets_and_springs():
    """Offsets, a spring between nodes that stand apart, in turned axes: K R = 0."""
    rng = np.random.default_rng(5)
    axes = Rotation.random(random_state=3).as_matrix()
    spring = Spring(0, 4, np.array([1e4, 2e4, 3e4, 10.0, 20.0, 30.0]), axes)
    frame = arm(5, offsets=0.01 * rng.normal(size=(5, 2, 3)), springs=(spring,))
    K, _ = matrices(frame)
    R = rigid_shapes(frame.nodes)
    scale = np.abs(K.toarray()).sum(axis=1).max()
    assert np.abs(K @ R).max() < 1e-12 * scale


def test_end_offset_equals_a_rigid_link():
    """An arm on a rigid 30 mm post: the node sinks and turns as the post's foot does."""
    offsets = np.zeros((4, 2, 3))
    offsets[0, 0] = [0, 0, 0.03]
    nodes, elements = line_mesh((0, 0, 0.03), (0.2, 0, 0.03), 4)
    nodes[0] = 0
    frame = frame_of(nodes, elements, BOX, E, G, RHO, offsets=offsets)
    hinge = Spring(0, -1, np.array([1e3, 1e3, 1e3, 50.0, 50.0, 50.0]))
    frame = replace(frame, springs=(hinge,))
    u = solve_static(frame, tip_load(frame, 4, 0, 0, 0, 0, 0), np.array([], int)).displacements
    # A pull along the arm, 30 mm above the foot: the foot turns by F h / k.
    np.testing.assert_allclose(u[0, 4], 4 * 0.03 / 50, rtol=1e-9)
    np.testing.assert_allclose(
        u[-1, 0] - u[0, 0], 4 * 0.03**2 / 50 + 0.2 * 4 / (E * BOX.area), rtol=1e-9
    )


def test_spring_in_series_with_a_beam():
    """Root spring about y: the tip deflection gains F L^2 / k."""
    k = 300.0
    free = arm(4, springs=(Spring(0, -1, np.array([0, 0, 0, 0, k, 0])),))
    held = np.array([0, 1, 2, 3, 5])
    soft = solve_static(free, tip_load(free, 0, 0, 5, 0, 0, 0), held).displacements[-1, 2]
    hard = solve_static(arm(4), tip_load(free, 0, 0, 5, 0, 0, 0), ROOT).displacements[-1, 2]
    np.testing.assert_allclose(soft - hard, 5 * 0.2**2 / k, rtol=1e-9)


def test_a_mechanism_names_its_node():
    frame = arm(4)
    loads = tip_load(frame, 0, 0, 1, 0, 0, 0)
    with pytest.raises(AnalysisError, match=r"nothing holds node \d in rotation about x"):
        solve_static(frame, loads, np.array([0, 1, 2, 4, 5]))
    lonely = replace(frame, nodes=np.vstack([frame.nodes, [[1.0, 0, 0]]]))
    with pytest.raises(AnalysisError, match="nothing holds node 5"):
        modes(lonely, 2, ROOT)


def test_a_mechanism_is_found_whichever_way_it_lies():
    """Rounding leaves a pivot a little above or below zero: both must be caught."""
    for seed in range(20):
        turn = Rotation.random(random_state=seed).as_matrix()
        frame = arm(4)
        frame = replace(frame, nodes=frame.nodes @ turn.T, z_axis=frame.z_axis @ turn.T)
        loads = tip_load(frame, *turn[:, 2], 0, 0, 0)
        with pytest.raises(AnalysisError, match="mechanism"):
            solve_static(frame, loads, np.arange(3))


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"elements": np.array([[0, 1], [1, 2], [2, 3], [3, 9]])}, "outside 0..4"),
        ({"E": np.ones(3)}, "E has shape"),
        ({"masses": (PointMass(7, 1.0),)}, "outside 0..4"),
    ],
)
def test_wrong_frames_are_refused(changes, words):
    with pytest.raises(AnalysisError, match=words):
        replace(arm(4), **changes)


def test_wrong_directions_are_refused():
    frame = arm(4)
    with pytest.raises(AnalysisError, match="z_axis lies along the beam"):
        matrices(replace(frame, z_axis=np.tile([1.0, 0, 0], (4, 1))))
    with pytest.raises(AnalysisError, match="has no length"):
        matrices(replace(frame, nodes=np.zeros((5, 3))))
    with pytest.raises(AnalysisError, match="loads have shape"):
        solve_static(frame, np.zeros((4, 6)), ROOT)
    with pytest.raises(AnalysisError, match="modes wanted"):
        modes(frame, 25, ROOT)
