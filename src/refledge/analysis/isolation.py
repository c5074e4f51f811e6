"""A rigid body on elastic standoffs: its six modes, what it passes of a shaking base.

Motions are three translations and three turns about the body's centre of mass. Loss is structural:
the springs' stiffness times (1 + i loss). S. S. Rao, Mechanical Vibrations: base excitation, and
hysteretic damping; C. E. Crede, Shock and Vibration Handbook, for the body on four mounts (from
memory).
"""

from dataclasses import dataclass

import numpy as np
from scipy import linalg

from refledge.typed import Complexes, Floats


@dataclass(frozen=True, eq=False)
class SprungBody:
    """What rides on the standoffs, and the standoffs."""

    mass: float  # kg
    inertia: Floats  # (3, 3), kg m2 about the centre of mass
    mounts: Floats  # (n, 3), m, middle of each standoff from the centre of mass
    stiffness: Floats  # (3,), N/m of each standoff along x, y, z
    loss: float

    @property
    def M(self) -> Floats:
        """(6, 6), kg and kg m2."""
        found = np.zeros((6, 6))
        found[:3, :3] = self.mass * np.eye(3)
        found[3:, 3:] = self.inertia
        return found

    @property
    def K(self) -> Floats:
        """(6, 6), N/m, N and N m: sum of G^T k G, G the motion of each standoff's place."""
        k = np.diag(self.stiffness)
        return sum((g.T @ k @ g for g in map(rigid, self.mounts)), start=np.zeros((6, 6)))

    def frequencies(self) -> Floats:
        """Undamped, (6,), Hz, lowest first: K v = w^2 M v."""
        squares = linalg.eigh(self.K, self.M, eigvals_only=True)
        return np.asarray(np.sqrt(squares) / (2 * np.pi))

    def passed(self, frequency: float) -> Complexes:
        """Motion of the body over that of its base, both at the centre of mass, (6, 6).

        x = (K (1 + i loss) - w^2 M)^-1 K (1 + i loss) x_base. frequency: Hz.
        """
        soft = self.K * (1.0 + 1j * self.loss)
        omega = 2 * np.pi * frequency
        return np.asarray(np.linalg.solve(soft - omega**2 * self.M, soft))

    def most_passed(self, frequency: float) -> float:
        """Translation of the body over translation of its base in the worst direction (1)."""
        return float(np.linalg.norm(self.passed(frequency)[:3, :3], 2))


def rigid(arm: Floats) -> Floats:
    """Translation of a point at ``arm`` (3,), m, from six motions of the body, (3, 6)."""
    x, y, z = map(float, arm)
    turned = np.array([[0.0, z, -y], [-z, 0.0, x], [y, -x, 0.0]])
    return np.hstack([np.eye(3), turned])
