"""Matrices that are remembered are those of the frame asked for, and nobody can write to them."""

from dataclasses import replace

import numpy as np
import pytest

from refledge.analysis.assembly import assemble, matrices
from refledge.analysis.beam import PointMass, Spring
from refledge.analysis.elements import beams
from refledge.analysis.solve import free_factor
from tests.analysis.frames import airframe, arm


def test_the_same_frame_is_assembled_once_and_another_anew():
    frame, _ = airframe()
    K, M = matrices(frame)
    assert matrices(frame)[0] is K
    assert free_factor(frame) is free_factor(frame)
    stiffer = replace(frame, E=2.0 * frame.E, G=2.0 * frame.G)
    heavier = replace(frame, masses=(*frame.masses, PointMass(0, 1.0)))
    assert abs(matrices(stiffer)[0] - 2.0 * K).max() < 1e-9 * abs(K).max()
    assert matrices(heavier)[1].sum() > M.sum()


def test_what_is_remembered_cannot_be_written():
    frame = arm()
    for array in (*beams(frame), *(each.data for each in matrices(frame))):
        with pytest.raises(ValueError, match="read-only"):
            array[...] = 0.0


def test_springs_in_one_go_are_springs_one_by_one():
    """Between nodes that stand apart, on turned axes, and to the ground."""
    turned = np.array([[0.6, 0.8, 0.0], [-0.8, 0.6, 0.0], [0.0, 0.0, 1.0]])
    full = np.diag([1e5, 2e5, 3e5, 10.0, 20.0, 30.0]) + 1.0
    springs = (
        Spring(0, 3, np.array([1e4, 2e4, 3e4, 1.0, 2.0, 3.0]), turned),
        Spring(2, -1, full),
        Spring(5, 1, full, turned),
    )
    frame = arm()
    bare, _ = matrices(frame)
    together, _ = matrices(replace(frame, springs=springs))
    apart = bare + sum(assemble(frame, beams(frame), [each])[0] - bare for each in springs)
    np.testing.assert_allclose(together.toarray(), apart.toarray(), atol=1e-9 * abs(bare).max())


def test_a_spring_pulls_on_relative_motion_along_its_axes():
    """Nodes 40 mm apart: node b moved 1 mm along the spring's x gives k times that on both."""
    frame, axes = arm(5), np.array([[0.0, 1.0, 0.0], [-1.0, 0.0, 0.0], [0.0, 0.0, 1.0]])
    spring = Spring(0, 1, np.array([1e4, 0, 0, 0, 0, 0]), axes)
    bare, _ = matrices(frame)
    K = matrices(replace(frame, springs=(spring,)))[0] - bare
    u = np.zeros(6 * len(frame.nodes))
    u[6 + 1] = 1e-3  # uy of node b: the spring's x is global y
    force = (K @ u).reshape(-1, 6)
    np.testing.assert_allclose(force[1], [0, 10.0, 0, 0, 0, 0], atol=1e-9)
    np.testing.assert_allclose(force[0], [0, -10.0, 0, 0, 0, -0.4], atol=1e-9)
