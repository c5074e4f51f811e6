"""Two massless beams with lumped masses.

Ghali and Neville, Structural Analysis, example 24.2, three masses on a cantilever, as quoted in
pystran's tests (READ+RECOMP, C1.22): omega = [0.1609, 1.7604, 5.0886] sqrt(g E I / (W L^3)), with
the recomputed digits 0.160875, 1.760436, 5.088636. L is the length of one of the three segments.

Timoshenko, Young and Weaver, Vibration Problems in Engineering, problem 1.1-3, as quoted in
pystran's tests (READ, C1.23): a weight of 1000 lb on a beam on two springs, T = 0.533 s, 1.876 Hz.
Both 0.1 %: the references are rounded to four digits, the beam has no mass.
"""

from dataclasses import replace

import numpy as np

from refledge.analysis.beam import PointMass, Spring, frame_of, line_mesh, modes
from refledge.analysis.sections import rectangle
from tests.reference.models import ROOT, in_plane, slender


def massless(frame):
    none = np.zeros(len(frame.elements))
    return replace(slender(frame), mass_per_length=none, rotary_x=none)


def test_ghali_cantilever_with_three_masses():
    E, L, lump = 2.0e11, 2.0, 3.0
    section = rectangle(0.030, 0.120)
    nodes, elements = line_mesh((0, 0, 0), (3 * L, 0, 0), 3)
    masses = (PointMass(1, lump), PointMass(2, lump), PointMass(3, 4 * lump))
    frame = massless(frame_of(nodes, elements, section, E, E / 2.6, 1.0, masses=masses))
    found, _ = modes(frame, 3, np.union1d(ROOT, in_plane(4, 2, 4)))
    scale = np.sqrt(E * section.Iy / (lump * L**3))
    np.testing.assert_allclose(2 * np.pi * found / scale, [0.1609, 1.7604, 5.0886], rtol=1e-3)
    np.testing.assert_allclose(2 * np.pi * found / scale, [0.160875, 1.760436, 5.088636], rtol=1e-5)
    np.testing.assert_allclose(found, [4.858, 53.161, 153.664], rtol=1e-4)


def test_mass_on_a_beam_on_springs():
    """In inches and pounds-force, as printed; 386.09 in/s2 turns weight into mass."""
    nodes = np.array([[0.0, 0, 0], [84.0, 0, 0], [120.0, 0, 0]])
    elements = np.array([[0, 1], [1, 2]])
    hold = np.array([0.0, 0.0, 300.0, 0.0, 0.0, 0.0])
    frame = frame_of(
        nodes,
        elements,
        rectangle(1.0, 12 ** (1 / 3)),
        3.0e7,
        1.2e7,
        0.0,
        masses=(PointMass(1, 1000.0 / 386.09),),
        springs=(Spring(0, -1, hold), Spring(2, -1, hold)),
    )
    found, _ = modes(massless(frame), 1, in_plane(3, 2, 4))
    np.testing.assert_allclose(found[0], 1.876, rtol=1e-3)
    np.testing.assert_allclose(1 / found[0], 0.533, rtol=1e-3)
