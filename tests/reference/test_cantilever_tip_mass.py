"""Cantilever with a tip mass: roots of the frequency equation. DERIVED (C2.1).

1 + cos b cosh b + mu b (cos b sinh b - sin b cosh b) = 0, mu = tip mass over beam mass; the
function tabulated in Blevins, Formulas for Natural Frequency and Mode Shape, and in Laura, Pombo
and Susemihl, Journal of Sound and Vibration 37 (1974) (both RECALL). Expected values are found here
from the equation; the roots printed in shared check values guard the equation itself.

Tolerance 1e-5: cubic elements converge with the fourth power of their length; forty put the fourth
frequency 3e-6 above the exact one, twenty 4.7e-5.
"""

import numpy as np
import pytest
from scipy.optimize import brentq

from refledge.analysis.beam import PointMass, modes
from refledge.analysis.sections import rectangle
from tests.reference.models import ROOT, cantilever, slender

E, RHO, WIDTH, DEPTH, LENGTH = 3.0e9, 1240.0, 0.020, 0.010, 0.150
FIRST_ROOT = {0.0: 1.875104, 0.1: 1.722742, 0.5: 1.419964, 1.0: 1.247917, 10.0: 0.735782}


def equation(b, mu):
    bend = np.cos(b) * np.sinh(b) - np.sin(b) * np.cosh(b)
    return (1 + np.cos(b) * np.cosh(b) + mu * b * bend) / np.cosh(b)


def roots(mu, count):
    grid = np.linspace(0.1, 12, 2000)
    values = equation(grid, mu)
    brackets = np.flatnonzero(np.sign(values[1:]) != np.sign(values[:-1]))[:count]
    return np.array(
        [brentq(equation, grid[i], grid[i + 1], args=(mu,), xtol=1e-13) for i in brackets]
    )


@pytest.mark.parametrize("mu", FIRST_ROOT)
def test_first_four_frequencies(mu):
    section = rectangle(WIDTH, DEPTH)
    beam = RHO * WIDTH * DEPTH * LENGTH
    tip = PointMass(40, mu * beam)
    frame = slender(cantilever(section, E, E / 2.6, RHO, LENGTH, 40, [tip]))
    # Hold everything but vertical bending, so that only the tabulated family is left.
    held = [6 * i + d for i in range(41) for d in (0, 1, 3, 5)]
    found, _ = modes(frame, 4, np.union1d(ROOT, held))
    b = roots(mu, 4)
    assert abs(b[0] - FIRST_ROOT[mu]) < 1e-6
    omega = b**2 * np.sqrt(E * section.Iy / (RHO * WIDTH * DEPTH * LENGTH**4))
    np.testing.assert_allclose(found, omega / (2 * np.pi), rtol=1e-5)


def test_arm_example():
    """E = 3 GPa, 1240 kg/m3, 20 x 10 x 150 mm: 111.673 Hz bare, 43.754 Hz with 50 g. DERIVED."""
    section = rectangle(WIDTH, DEPTH)
    bare = slender(cantilever(section, E, E / 2.6, RHO, LENGTH, 20))
    loaded = slender(cantilever(section, E, E / 2.6, RHO, LENGTH, 20, [PointMass(20, 0.05)]))
    assert abs(modes(bare, 1, ROOT)[0][0] - 111.673) < 1e-3
    assert abs(modes(loaded, 1, ROOT)[0][0] - 43.754) < 1e-3
