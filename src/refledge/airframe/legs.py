"""Landing legs: stiffness, landing force and the lightest strut that takes it."""

from dataclasses import dataclass, replace
from math import ceil

import numpy as np

from refledge.airframe.judge import reserve
from refledge.airframe.working import Working
from refledge.analysis.strength import falling_weight_factor
from refledge.flight.air import GRAVITY
from refledge.model.gear import LegDesign
from refledge.typed import Floats

SIDE_SHARE = 0.5
"""Side force over vertical force on a foot: friction on grass, common practice, no source."""
STATIONS = 41
DEEPEST = 14e-3
"""m; deepest strut of a short leg: our choice."""
SLENDER = 0.1
"""Depth over height up to which a tall leg's strut may be sized (1): our choice."""
LEAST_TOP, LEAST_FOOT = 4.5e-3, 3.6e-3
"""m; the least strut depths tried: our choice."""
STEP = 0.45e-3
"""m; from one depth to the next, in whole lines: our choice."""


@dataclass(frozen=True)
class LegForce:
    """What a hard landing does to one leg."""

    stiffness: float  # N/m, vertical at the foot
    side_stiffness: float  # N/m, horizontal in the plane of the leg
    all_legs: float  # N, vertical on each foot when all land together
    stress: float  # Pa, worst bending stress with side force


def deepest_strut(height: float) -> float:
    """Depth that the strut of a leg ``height`` (m) tall may be sized to: room is kept for it, m."""
    return max(DEEPEST, SLENDER * height)


def landing_force(mass: float, speed: float, stiffness: float) -> float:
    """Peak force of a mass that meets a spring at ``speed``, N."""
    return float(_landing_forces(mass, speed, np.asarray(stiffness)))


def _landing_forces(mass: float, speed: float, stiffness: Floats) -> Floats:
    """The falling weight dropped from the height that gives that speed; as ``stiffness``, N."""
    weight = mass * GRAVITY
    drop = speed**2 / (2.0 * GRAVITY)
    return weight * falling_weight_factor(drop, weight / stiffness)


def size_leg(
    leg: LegDesign, material: Working, mass: float, speed: float, factor: float, line: float
) -> tuple[LegDesign, LegForce]:
    """Lightest strut that carries a landing at ``speed`` with side force; the strongest if none.

    mass: all-up, kg. factor: on strength. line: extrusion width, m, whose multiples are used.
    """
    limit = material.strength_xy / factor / (1.0 + reserve(material.strength_spread))
    deepest = deepest_strut(leg.height)
    step = max(1, round(STEP * deepest / DEEPEST / line))
    most = whole_lines(deepest, line)
    depths = [
        (top, foot)
        for top in range(most, ceil(LEAST_TOP / line - 1e-9) - 1, -step)
        for foot in range(ceil(LEAST_FOOT / line - 1e-9), top + 1, 2 * step)
    ]
    top, foot = np.array(depths, dtype=np.float64).T
    stress = _forces(leg, top * line, foot * line, material, mass, speed)[-1]
    light = np.where(stress <= limit, top + foot, np.inf)
    best = int(np.argmin(light if np.any(stress <= limit) else stress))
    sized = replace(leg, depth_top=depths[best][0] * line, depth_foot=depths[best][1] * line)
    return sized, leg_force(sized, material, mass, speed)


def whole_lines(depth: float, line: float) -> int:
    """Most printed lines within ``depth`` (m)."""
    return int(depth / line + 1e-9)


def leg_force(leg: LegDesign, material: Working, mass: float, speed: float) -> LegForce:
    """Landing on all legs; every leg takes its share, each as a tapered cantilever."""
    top, foot = np.array([leg.depth_top]), np.array([leg.depth_foot])
    found = _forces(leg, top, foot, material, mass, speed)
    return LegForce(*(float(each[0]) for each in found))


def _forces(
    leg: LegDesign, top: Floats, foot: Floats, material: Working, mass: float, speed: float
) -> tuple[Floats, Floats, Floats, Floats]:
    """What ``LegForce`` lists, each (N,), of struts ``top`` and ``foot`` (N,), m, deep."""
    x = np.linspace(0.0, 1.0, STATIONS)
    depth = top[:, None] + (foot - top)[:, None] * x
    inertia = leg.thickness * depth**3 / 12
    length = float(np.hypot(leg.height, leg.splay))
    ds = length / (STATIONS - 1)
    arm_vertical = leg.splay * (1.0 - x)
    arm_side = leg.height * (1.0 - x)
    area = leg.thickness * depth
    soft = _integral(arm_vertical**2 / (material.E * inertia) + 1.0 / (material.E * area), ds)
    soft_side = _integral(arm_side**2 / (material.E * inertia), ds)
    force = _landing_forces(mass, speed, leg.count / soft) / leg.count
    moment = force[:, None] * (arm_vertical + SIDE_SHARE * arm_side)
    stress = moment * depth / 2 / inertia + force[:, None] / area
    return 1.0 / soft, 1.0 / soft_side, force, stress.max(axis=1)


def _integral(values: Floats, step: float) -> Floats:
    """Over the last axis, by trapezoids."""
    return np.asarray(step * (values.sum(axis=-1) - 0.5 * (values[..., 0] + values[..., -1])))
