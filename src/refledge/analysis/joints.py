"""Bolts, washers, inserts, bearing and clamps in printed plastic; plain arrays, SI."""

import numpy as np

from refledge.analysis.strength import Value
from refledge.errors import AnalysisError
from refledge.typed import Floats

# Shigley, Mechanical Engineering Design, recommended preload of reusable joints, and torque
# coefficient of plain dry threads. Tightening by torque scatters the preload by 25 %.
REUSABLE, TORQUE_COEFFICIENT, TORQUE_SCATTER = 0.75, 0.2, 0.25
# Kastner et al., J. Manuf. Mater. Process. 2023, 7(1), 42 (abstract): infill and wall around the
# pilot hole above which pull-out of the insert tested no longer rose.
INSERT_INFILL, INSERT_WALL = 0.70, 2.4e-3


def stress_area(diameter: Value, pitch: Value) -> Floats:
    """Tensile stress area of a metric thread, m2. ISO 898-1: pi/4 (d - 0.9382 p)^2."""
    return np.asarray(np.pi / 4 * (np.asarray(diameter) - 0.9382 * pitch) ** 2)


def bolt_preload(area: Value, proof: Value, fraction: Value = REUSABLE) -> Floats:
    """Preload, N: fraction of stress area times proof stress (Shigley)."""
    return np.asarray(fraction * area * proof)


def bolt_torque(preload: Value, diameter: Value, K: Value = TORQUE_COEFFICIENT) -> Floats:
    """Tightening torque, N m: T = K F d (Shigley)."""
    return np.asarray(K * preload * diameter)


def bearing_stress(force: Value, diameter: Value, thickness: Value) -> Floats:
    """Pressure of a bolt's shank on its hole, Pa, over the projected area d t."""
    return np.asarray(np.abs(force) / (diameter * thickness))


def tear_out_stress(force: Value, diameter: Value, thickness: Value, edge: Value) -> Floats:
    """Shear stress of the plug between hole and edge, Pa; ``edge`` from hole centre, m.

    Two planes, each from the hole's rim to the edge: F / (2 t (e - d/2)), the common hand formula
    to the safe side.
    """
    left = np.asarray(edge) - np.asarray(diameter) / 2
    if np.any(left <= 0):
        raise AnalysisError("tear-out: the hole breaks through the edge")
    return np.asarray(np.abs(force) / (2 * thickness * left))


def insert_pull_out(
    diameter: Value, length: Value, shear_strength: Value, wall: Value, infill: Value
) -> Floats:
    """Pull-out force of a heat-set insert, N: shear of the cylinder around it, pi d L tau.

    Below the wall and infill from which pull-out no longer rises the force falls in proportion
    (an assumption, no source).
    """
    support = np.minimum(np.asarray(wall) / INSERT_WALL, 1.0)
    support = support * np.minimum(np.asarray(infill) / INSERT_INFILL, 1.0)
    return np.asarray(np.pi * diameter * length * shear_strength * support)


def washer_pressure(force: Value, outer: Value, hole: Value) -> Floats:
    """Mean pressure under a washer, Pa."""
    return np.asarray(force / (np.pi / 4 * (np.asarray(outer) ** 2 - np.asarray(hole) ** 2)))


def clamped_stiffness(E: Value, outer: Value, hole: Value, thickness: Value) -> Floats:
    """Stiffness of the plastic under a washer, N/m, as a sleeve of the washer's size.

    The load spreads in the part, so the truth is stiffer: as for preload lost, the safe side.
    """
    area = np.pi / 4 * (np.asarray(outer) ** 2 - np.asarray(hole) ** 2)
    return np.asarray(E * area / thickness)


def preload_left(bolt: Value, clamped: Value, creep_factor: Value) -> Floats:
    """Preload after creep over preload at first, 1; stiffnesses in N/m.

    Bolt and clamped plastic are springs in series under a fixed total stretch (Shigley, joint
    stiffness); creep divides the plastic's stiffness, from E to E times ``creep_factor``.
    """
    first = 1 / np.asarray(bolt) + 1 / np.asarray(clamped)
    later = 1 / np.asarray(bolt) + 1 / (np.asarray(clamped) * creep_factor)
    return np.asarray(first / later)


def bolt_shear(positions: Floats, force: Floats, moment: Value) -> Floats:
    """Force on each bolt (n, 2), N, of a group under a force (2,) at its centre and a moment.

    Elastic bolt group of equal bolts (Shigley, shear joints with eccentric loading).
    """
    arms = positions - positions.mean(axis=0)
    polar = float(np.sum(arms**2))
    if polar == 0 and np.any(np.asarray(moment) != 0):
        raise AnalysisError("bolt group: one bolt alone cannot take a moment")
    turned = np.column_stack([-arms[:, 1], arms[:, 0]])
    share = turned * (moment / polar) if polar else np.zeros_like(arms)
    return np.asarray(np.asarray(force) / len(positions) + share)


def bolt_tension(offsets: Floats, moment: Value) -> Floats:
    """Tension added to each bolt (n,), N, by a moment that tilts the joint.

    ``offsets`` (n,), m, lie along the direction in which the moment levers; the joint turns about
    the group's middle, being pressed together by preload (Shigley, tension joints).
    """
    arms = offsets - offsets.mean()
    square = float(np.sum(arms**2))
    if square == 0:
        raise AnalysisError("bolt group: all bolts stand on the axis of the moment")
    return np.asarray(moment * arms / square)


def tube_slip(bolt_force: Value, friction: Value, diameter: Value) -> tuple[Floats, Floats]:
    """Axial force (N) and torque (N m) at which a tube slips between two half blocks.

    Both halves press with the sum of the bolts' forces on a line each, the least that any spread
    of pressure gives: F = 2 mu P, T = F d / 2.
    """
    axial = 2 * np.asarray(friction) * bolt_force
    return np.asarray(axial), np.asarray(axial * diameter / 2)
