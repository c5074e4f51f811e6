"""Which modes the flight controller would feel: resonance with the rotors' residual unbalance."""

import numpy as np

from refledge.airframe.structure import Structure
from refledge.airframe.task import Task
from refledge.analysis.balance import unbalance_force
from refledge.analysis.beam import matrices
from refledge.typed import Floats

FELT = 3.0
"""m/s2; a mode that cannot shake the flight controller by this in resonance is let be: a tenth of
the 30 m/s2 that flight controllers are commonly said to stand (common practice, no source)."""
TURNING_SHARE = 0.6
"""Part of a motor's mass that turns (the bell): from memory, typical of outrunners."""


def felt_accelerations(
    task: Task, damping: float, structure: Structure, shapes: Floats, moved: Floats
) -> Floats:
    """Acceleration at the flight controller were each mode in resonance, (k,), m/s2.

    One rotor's residual unbalance at the brief's balance grade (ISO 21940-11: F = m G speed) drives
    the mode through the motors' share in it, over twice the damping (1) and the modal mass. All
    rotors add as the root of their squares, being out of step.

    shapes: (k, n, 6). moved: how far the controller moves in each, (k,), m.
    """
    force = rotor_force(task, max(task.speeds.hover_speeds))
    _, mass = matrices(structure.frame)
    flat = shapes.reshape(len(shapes), -1)
    modal = np.einsum("ki,ki->k", flat, (mass @ flat.T).T)
    tips = np.sqrt(np.sum(shapes[:, list(structure.tips), :3] ** 2, axis=(1, 2)))
    felt: Floats = moved * tips * force / (2.0 * damping * modal)
    return felt


def rotor_force(task: Task, speed: float) -> float:
    """Rotating force of one rotor's residual unbalance at ``speed`` (rad/s), N."""
    rotor = TURNING_SHARE * task.brief.motor.mass + task.brief.propeller.mass
    return float(unbalance_force(task.brief.limits.balance_grade, rotor, speed, speed))
