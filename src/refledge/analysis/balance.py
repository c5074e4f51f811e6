"""Residual unbalance of a rotor and the force it makes; plain arrays, SI.

ISO 21940-11, Rotor balancing: a grade G is eccentricity times angular speed, in mm/s by custom
(G 6.3 is 6.3e-3 m/s here).
"""

import numpy as np

from refledge.analysis.strength import Value
from refledge.typed import Floats


def permissible_eccentricity(grade: Value, omega: Value) -> Floats:
    """Offset of the rotor's mass from its axis, m: e = G / omega, grade in m/s, omega in rad/s."""
    return np.asarray(np.asarray(grade) / omega)


def permissible_unbalance(grade: Value, mass: Value, omega: Value) -> Floats:
    """Residual unbalance, kg m: U = m G / omega (ISO 21940-11)."""
    return np.asarray(mass * permissible_eccentricity(grade, omega))


def unbalance_force(grade: Value, mass: Value, service: Value, omega: Value) -> Floats:
    """Rotating force, N, at ``omega`` of a rotor balanced to the grade at ``service``, rad/s.

    F = m e omega^2; the eccentricity stays what it was when balanced.
    """
    return np.asarray(permissible_unbalance(grade, mass, service) * np.asarray(omega) ** 2)
