"""Natural modes of beam frames: invariants, closed forms, two solvers."""

import time
from dataclasses import replace

import numpy as np
import pytest

from refledge.analysis import sections
from refledge.analysis.beam import (
    PointMass,
    all_dofs,
    frame_of,
    line_mesh,
    matrices,
    modes,
    rigid_shapes,
)
from refledge.errors import AnalysisError
from tests.analysis.frames import BOX, RHO, ROOT, E, G, airframe, arm
from tests.reference.six_arms import six_arms


def test_modes_of_a_free_airframe_are_orthogonal_and_elastic():
    frame, _ = airframe()
    frequencies, shapes = modes(frame, 12)
    K, M = matrices(frame)
    flat = shapes.reshape(12, -1)
    mass, stiffness = flat @ (M @ flat.T), flat @ (K @ flat.T)
    unit = np.sqrt(np.outer(np.diag(mass), np.diag(mass)))
    np.testing.assert_allclose(mass / unit, np.eye(12), atol=1e-8)
    square = np.diag(stiffness) / np.diag(mass)
    np.testing.assert_allclose(np.sqrt(square) / (2 * np.pi), frequencies, rtol=1e-8)
    rigid = rigid_shapes(frame.nodes).T @ (M @ flat.T)
    assert np.abs(rigid).max() < 1e-9
    np.testing.assert_allclose(np.abs(shapes[:, :, :3]).max(axis=(1, 2)) > 0.5, True)


def test_repeated_modes_are_all_found():
    """Six equal arms on an immovable hub: every arm's modes come six times."""
    case = six_arms(8)
    frame = frame_of(case.nodes, case.elements, case.section, E, G, RHO)
    found, _ = modes(frame, 24, all_dofs(0))
    alone = frame_of(*line_mesh((0, 0, 0), (0.29, 0, 0), 8), case.section, E, G, RHO)
    single, _ = modes(alone, 4, ROOT)
    np.testing.assert_allclose(found.reshape(4, 6), single[:, None] * np.ones(6), rtol=1e-8)


def test_large_and_small_solvers_agree():
    """A frame of 15 nodes goes the dense way, the same with 3 more modes asked the other way."""
    frame = arm(14, masses=(PointMass(14, 0.1),))
    full, _ = modes(frame, 40, ROOT)
    few, _ = modes(arm(40, masses=(PointMass(40, 0.1),)), 5, ROOT)
    np.testing.assert_allclose(full[:5], few, rtol=2e-3)
    K, M = (matrix.toarray()[6:, 6:] for matrix in matrices(frame))
    square = np.sort(np.linalg.eigvals(np.linalg.solve(M, K)).real)
    np.testing.assert_allclose(full, np.sqrt(square[:40]) / (2 * np.pi), rtol=1e-6)


def test_modes_repeat_to_the_last_digit():
    frame, _ = airframe()
    one, two = modes(frame, 8), modes(frame, 8)
    assert np.array_equal(one[0], two[0])
    assert np.array_equal(one[1], two[1])


def test_slender_beam_converges_with_the_fourth_power():
    """Cubic elements: the second bending frequency's error falls about 16-fold on halving."""
    rod = sections.rectangle(2e-3, 2e-3)
    exact = 4.694091132974**2 / (2 * np.pi) * np.sqrt(E * rod.Iy / (RHO * rod.area * 0.2**4))
    none, inf = np.zeros, lambda n: np.full(n, np.inf)
    errors = []
    for n in (4, 8, 16):
        frame = replace(
            arm(n, section=rod), Ay=inf(n), Az=inf(n), rotary_y=none(n), rotary_z=none(n)
        )
        errors.append(modes(frame, 4, ROOT)[0][2] / exact - 1)
    orders = np.log2(np.array(errors[:-1]) / errors[1:])
    assert np.all(np.array(errors) > 0)
    np.testing.assert_allclose(orders, 4, atol=0.2)


def test_massless_freedoms_are_reported_not_invented():
    nodes, elements = line_mesh((0, 0, 0), (0.2, 0, 0), 30)
    frame = frame_of(nodes, elements, BOX, E, G, 0.0, masses=(PointMass(30, 0.1),))
    assert modes(frame, 3, ROOT)[0].shape == (3,)
    with pytest.raises(AnalysisError, match="too few"):
        modes(frame, 5, ROOT)


@pytest.mark.slow
def test_whole_airframe_modes_in_50_ms():
    """97 nodes, 20 modes; best of many, since other work may run beside the test.

    Measured 16 ms on one quiet core; the bar is 50 ms.
    """
    frame, _ = airframe(parts=16)
    best = np.inf
    for _ in range(40):
        begun = time.perf_counter()
        modes(frame, 20)
        best = min(best, time.perf_counter() - begun)
    assert best < 0.05
