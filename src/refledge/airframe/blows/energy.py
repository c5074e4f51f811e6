"""Static energy method: from speed to peak force through the frame's own stiffness.

All the energy of the mass that the blow feels goes into bending frame and ground. Quick,
and blind to waves: the march in ``marching`` is the better answer, this one the check on it.
"""

from dataclasses import dataclass

import numpy as np

from refledge.airframe.blows.cases import CrashCase, ground_stiffness
from refledge.airframe.blows.places import FEET, STRAPS
from refledge.airframe.blows.struck import Struck
from refledge.analysis.solve import end_forces, solve_free
from refledge.analysis.strength import falling_weight_factor
from refledge.typed import Floats, Ints

GRAVITY = 9.80665  # m/s2, standard
TOGETHER = 1e-3
"""m; points so close to the lowest share the blow (a choice)."""


@dataclass(frozen=True, eq=False)
class Blow:
    """One case by the static energy method."""

    case: CrashCase
    points: tuple[str, ...]
    """What touches."""
    mass: float
    """kg that the blow feels: less than all, an aircraft hit off its centre turns away."""
    stiffness: float
    """N/m of frame and ground where it touches."""
    speed: float  # m/s
    force: float  # N, peak
    uses: dict[str, float]
    """By part: greatest use of strength at the peak (1)."""
    where: dict[str, str]
    """By part: the place of that use."""

    def breaking_speed(self, part: str) -> float:
        """m/s at which the part would break, force being in proportion to speed."""
        return self.speed / self.uses[part] if self.uses[part] else float("inf")


def peak_force(mass: float, speed: float, stiffness: float) -> float:
    """N: a mass falls on a spring from the height that gives ``speed`` (m/s).

    Timoshenko, Strength of Materials, strain energy and impact: 1 + sqrt(1 + 2 h / static).
    """
    weight = mass * GRAVITY
    return weight * float(falling_weight_factor(speed**2 / (2 * GRAVITY), weight / stiffness))


def beam_share(beam: float, struck: float) -> float:
    """Share of its speed that a mass keeps on striking the middle of a hinged beam (1).

    17/35 of the beam's mass takes part (Cox 1849; Timoshenko, Strength of Materials, impact on
    beams; Roark's Formulas, elastic bodies under impact). Masses in kg.
    """
    return struck / (struck + 17 / 35 * beam)


def blow(model: Struck, case: CrashCase, speed: float) -> Blow:
    """Peak force and uses of one case at ``speed`` (m/s)."""
    touching = _touching(model, case)
    unit = _unit_loads(model, case, touching)
    solved = solve_free(model.frame, unit)
    soil = sum(ground_stiffness(model.points[k].radius) for k in touching)
    own = float(np.mean([_moved(model, k, solved.displacements) @ case.up for k in touching]))
    spin, shift = solved.acceleration[3:], solved.acceleration[:3]
    start = [shift + np.cross(spin, model.points[k].place) for k in touching]
    mass = 1.0 / float(np.mean([each @ case.up for each in start]))
    stiffness = 1.0 / (max(own, 0.0) + 1.0 / soil)
    force = peak_force(mass, speed, stiffness)
    uses, where = _uses(model, solved.displacements, force)
    names = tuple(dict.fromkeys(model.points[k].owner or "top" for k in touching))
    return Blow(case, names, mass, stiffness, speed, force, uses, where)


def _touching(model: Struck, case: CrashCase) -> Ints:
    height = np.array([point.place @ case.up for point in model.points])
    return np.flatnonzero(height < height.min() + TOGETHER)


def _unit_loads(model: Struck, case: CrashCase, touching: Ints) -> Floats:
    """(n, 6), N and N m: one newton shared by what touches."""
    loads = np.zeros((len(model.frame.nodes), 6))
    for k in touching:
        point = model.points[k]
        push = case.up / len(touching)
        loads[point.node, :3] += push
        loads[point.node, 3:] += np.cross(point.place - model.frame.nodes[point.node], push)
    return loads


def _moved(model: Struck, k: int, displacements: Floats) -> Floats:
    point = model.points[k]
    arm = point.place - model.frame.nodes[point.node]
    moved = displacements[point.node]
    return np.asarray(moved[:3] + np.cross(moved[3:], arm))


def _uses(
    model: Struck, displacements: Floats, force: float
) -> tuple[dict[str, float], dict[str, str]]:
    ends = end_forces(model.frame, displacements)
    uses, where = dict.fromkeys(model.parts, 0.0), dict.fromkeys(model.parts, "")
    for place in model.where:
        felt = (
            _sprung(model, place.bar, displacements)
            if place.bar in (STRAPS, FEET)
            else ends[place.bar, place.end]
        )
        sigma, tau = place.normal @ np.abs(felt), place.shear @ np.abs(felt)
        use = (sigma / 2 + np.hypot(sigma / 2, tau)) / place.strength
        use = force * float(max(use, tau / place.layers))
        if use > uses[place.part]:
            uses[place.part], where[place.part] = use, place.where
    return uses, where


def _sprung(model: Struck, which: int, displacements: Floats) -> Floats:
    """(6,), N and N m, of the spring that holds battery or flight controller."""
    node = len(model.frame.nodes) - (2 if which == STRAPS else 1)
    spring = next(each for each in model.frame.springs if each.node_b == node)
    a, b = displacements[spring.node_a], displacements[spring.node_b]
    apart = model.frame.nodes[spring.node_b] - model.frame.nodes[spring.node_a]
    carried = np.concatenate([a[:3] + np.cross(a[3:], apart), a[3:]])
    return np.asarray(spring.stiffness * (np.kron(np.eye(2), spring.axes) @ (b - carried)))
