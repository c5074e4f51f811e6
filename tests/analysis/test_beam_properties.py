"""What holds for any beam frame: scaling, reciprocity, indifference to where and how it lies."""

from dataclasses import replace

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from refledge.analysis.beam import (
    PointMass,
    frame_of,
    line_mesh,
    modes,
    rigid_body_mass,
    solve_free,
    solve_static,
)
from tests.analysis.frames import BOX, RHO, ROOT, E, G, airframe, arm, tip_load


@settings(max_examples=15, deadline=None)
@given(seed=st.integers(0, 10_000))
def test_turning_and_moving_the_frame_changes_nothing(seed):
    turn = Rotation.random(random_state=seed).as_matrix()
    shift = np.random.default_rng(seed).normal(size=3)
    (frame, tips), (moved, _) = airframe(), airframe(turn=turn, shift=shift)
    np.testing.assert_allclose(modes(moved, 6)[0], modes(frame, 6)[0], rtol=1e-8)
    loads = np.zeros((len(frame.nodes), 6))
    loads[tips[2]] = [1, 2, 3, 0.1, 0.2, 0.3]
    turned = (loads.reshape(-1, 3) @ turn.T).reshape(-1, 6)
    u, v = (solve_free(f, q).displacements for f, q in ((frame, loads), (moved, turned)))
    back = (v.reshape(-1, 3) @ turn).reshape(-1, 6)
    np.testing.assert_allclose(back, u, atol=1e-8 * np.abs(u).max())


@settings(max_examples=25, deadline=None)
@given(data=st.data())
def test_maxwell_reciprocity(data):
    frame, _ = airframe()
    n = 6 * len(frame.nodes)
    i, j = data.draw(st.integers(6, n - 1)), data.draw(st.integers(6, n - 1))
    loads = np.zeros((2, n))
    loads[0, i] = loads[1, j] = 1.0
    u = solve_static(frame, loads.reshape(2, -1, 6), ROOT).displacements.reshape(2, -1)
    np.testing.assert_allclose(u[0, j], u[1, i], rtol=1e-7, atol=1e-14)


@settings(max_examples=25, deadline=None)
@given(length=st.floats(0.5, 3.0), force=st.floats(-50, 50).filter(lambda f: abs(f) > 1e-3))
def test_deflection_goes_with_load_and_length_cubed(length, force):
    """Slender, without shear."""
    one, more = (
        replace(f, Ay=np.full(6, np.inf), Az=np.full(6, np.inf))
        for f in (arm(6, 1.0), arm(6, length))
    )
    load = tip_load(one, 0, 0, 1, 0, 0, 0)
    base = solve_static(one, load, ROOT).displacements[-1, 2]
    found = solve_static(more, force * load, ROOT).displacements[-1, 2]
    np.testing.assert_allclose(found, base * force * length**3, rtol=1e-8)


@settings(max_examples=25, deadline=None)
@given(stiff=st.floats(0.1, 10), heavy=st.floats(0.1, 10))
def test_frequency_goes_with_root_of_stiffness_over_mass(stiff, heavy):
    nodes, elements = line_mesh((0, 0, 0), (0.2, 0, 0), 6)
    more = frame_of(nodes, elements, BOX, E * stiff, G * stiff, RHO * heavy)
    ratio = modes(more, 4, ROOT)[0] / modes(arm(6), 4, ROOT)[0]
    np.testing.assert_allclose(ratio, np.sqrt(stiff / heavy), rtol=1e-7)


@settings(max_examples=20, deadline=None)
@given(parts=st.integers(1, 12), masses=st.lists(st.floats(0, 2), min_size=1, max_size=5))
def test_mass_does_not_depend_on_the_mesh(parts, masses):
    lumps = tuple(PointMass(i % (parts + 1), m) for i, m in enumerate(masses))
    body = rigid_body_mass(arm(parts, masses=lumps))
    np.testing.assert_allclose(body.mass, RHO * BOX.area * 0.2 + sum(masses), rtol=1e-9)
