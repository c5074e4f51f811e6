"""What pivot and lock of folding arms use of their strength, and the least lock that bears it."""

from dataclasses import dataclass, replace

import numpy as np

from refledge.airframe.assessment import Assessment
from refledge.airframe.bolting import beyond_grip, grip_of_clamp
from refledge.airframe.hinge import (
    hinge_rows,
    lock_lengths,
    lock_tension,
    locks_for,
    with_lock,
)
from refledge.airframe.joints import clamp_preload, joint_stiffnesses
from refledge.airframe.judge import reserve
from refledge.airframe.statics import CaseResult
from refledge.airframe.task import Task
from refledge.analysis.joints import washer_pressure
from refledge.analysis.pins import pin_use
from refledge.geometry.hinge import hinge_of, lock_screw
from refledge.model.fasteners import Screw, ShearBolt
from refledge.model.parts import FrameDesign
from refledge.typed import Floats

STEEL_TENSILE = 800e6
"""Pa, property class 8.8, ISO 898-1."""
STEEL_SPREAD, PLASTIC_SPREAD = 0.05, 0.15
"""Relative standard uncertainty of bolts' strength: steel a guess, polyamide between dry and
conditioned, from memory."""


@dataclass(frozen=True)
class HingeForce:
    """The worst of one kind in a load case, N."""

    result: CaseResult
    shear: float
    pull: float


def bolt_strength(bolt: Screw) -> tuple[float, float]:
    """Tensile strength, Pa, and its relative spread."""
    if isinstance(bolt, ShearBolt):
        return bolt.tensile, PLASTIC_SPREAD
    return STEEL_TENSILE, STEEL_SPREAD


def lock_preload(task: Task, frame: FrameDesign) -> float:
    """Preload of the lock, N."""
    pivot = clamp_preload(frame, task.materials, task.hardware)
    return lock_tension(lock_screw(frame, task.hardware), pivot)


def root_ends(found: Assessment, result: CaseResult) -> Floats:
    """(arms, 6), N and N m: sizes of the forces on every arm's root at its pivot."""
    structure = found.structure
    rows = [structure.beams_of("arm", index)[1] for index in range(len(structure.tips))]
    return np.asarray(np.abs(result.forces[rows, 0]))


def forces(found: Assessment, shear: Floats, pull: Floats) -> list[HingeForce]:
    """Shear and pull of the hardest-loaded arm in every case; shear, pull: rows (6,)."""
    made = []
    for result in found.results:
        ends = root_ends(found, result)
        worst = int(np.argmax(np.hypot(ends @ shear, ends @ pull)))
        made.append(HingeForce(result, float(ends[worst] @ shear), float(ends[worst] @ pull)))
    return made


def factor_of(task: Task, result: CaseResult) -> float:
    """The brief's factor on strength in that case (1)."""
    limits = task.brief.limits
    return limits.flight_factor if result.case.kind == "flight" else limits.landing_factor


def drawn(task: Task, frame: FrameDesign, bolt: Screw, pull: float) -> float:
    """Tension of a bolt under a pull on its joint, N: preload and the bolt's share by stiffness, or
    the pull alone once the joint opens (Shigley, joint constant).

    A polyamide bolt is so soft beside what it clamps that it feels none of the pull before.
    """
    if isinstance(bolt, ShearBolt):
        return max(lock_preload(task, frame), pull)
    own, plastic = joint_stiffnesses(frame, task.materials, task.hardware)
    preload = clamp_preload(frame, task.materials, task.hardware)
    return max(preload + own / (own + plastic) * pull, pull)


def bolt_use(task: Task, frame: FrameDesign, bolt: Screw, force: HingeForce) -> float:
    """Use of a bolt's strength (1) with the brief's factor on its loads."""
    factor = factor_of(task, force.result)
    tension = drawn(task, frame, bolt, factor * force.pull)
    strength, _ = bolt_strength(bolt)
    return float(pin_use(tension, factor * force.shear, bolt.stress_area, strength))


def lock_uses(task: Task, frame: FrameDesign, found: Assessment) -> dict[str, float]:
    """For sizing: demand over capacity with the reserve aimed at; {} without a hinge."""
    if frame.hinge is None:
        return {}
    lock = lock_screw(frame, task.hardware)
    aim = 1.0 + reserve(bolt_strength(lock)[1])
    uses = {"strength-flight-lock": 0.0, "strength-rough-lock": 0.0}
    for force, use in _every(task, frame, found, lock):
        key = "flight" if force.result.case.kind == "flight" else "rough"
        uses[f"strength-{key}-lock"] = max(uses[f"strength-{key}-lock"], aim * use)
    return uses


def hinge_uses(task: Task, frame: FrameDesign, found: Assessment) -> dict[str, float]:
    """For sizing: the lock's strength and what all washers press, with the reserve aimed at; {}
    without a hinge."""
    if frame.hinge is None:
        return {}
    material, rows = task.materials[frame.plate.material], hinge_rows(frame.clamp)
    pull = max(each.pull for each in forces(found, rows.lock, rows.pull))
    bolts = (task.hardware.screws[frame.clamp.screw], lock_screw(frame, task.hardware))
    pressed = max(washer_stress(task, frame, bolt, pull) for bolt in bolts)
    aim = task.brief.limits.joint_factor * (1.0 + reserve(material.strength_spread))
    return lock_uses(task, frame, found) | {"hinge-washer": aim * pressed / material.strength_xy}


def washer_stress(task: Task, frame: FrameDesign, bolt: Screw, pull: float) -> float:
    """Pressure under a bolt's washer, Pa, under a pull on its joint, N."""
    tension = drawn(task, frame, bolt, pull)
    return float(washer_pressure(tension, bolt.washer_diameter, bolt.clearance_hole))


def _every(
    task: Task, frame: FrameDesign, found: Assessment, lock: Screw
) -> list[tuple[HingeForce, float]]:
    """Force and use of a lock, factors included, in every case."""
    rows = hinge_rows(frame.clamp)
    return [
        (each, bolt_use(task, frame, lock, each)) for each in forces(found, rows.lock, rows.pull)
    ]


def lock_margins(task: Task, frame: FrameDesign, found: Assessment) -> tuple[float, float]:
    """Reserve of the lock in flight, and in landing and handling, with the brief's factors (1)."""
    worst = {True: 0.0, False: 0.0}
    for force, use in _every(task, frame, found, lock_screw(frame, task.hardware)):
        flying = force.result.case.kind == "flight"
        worst[flying] = max(worst[flying], use)
    flight, landing = (1 / each - 1 if each else float("inf") for each in worst.values())
    return flight, landing


def least_lock(task: Task, frame: FrameDesign, found: Assessment) -> str:
    """The smallest lock as sold that bears flight and landing with the reserve aimed at, or the
    largest that fits; "" without a hinge."""
    if frame.hinge is None:
        return ""
    fitting = locks_for(task.brief, frame.clamp, frame.arm.bore, task.hardware)
    long = [size for size in fitting if _long_enough(task, frame, size)] or list(fitting[:1])
    for size in long:
        tried = replace(frame, hinge=with_lock(task.brief, hinge_of(frame), size, task.hardware))
        if max(lock_uses(task, tried, found).values()) <= 1.0:
            return size
    return long[-1]


def _long_enough(task: Task, frame: FrameDesign, size: str) -> bool:
    """True where that lock is sold as long as both plates and the arm ask."""
    tried = replace(frame, hinge=with_lock(task.brief, hinge_of(frame), size, task.hardware))
    lock = lock_screw(tried, task.hardware)
    needed = grip_of_clamp(frame) + beyond_grip(lock)
    return max(lock_lengths(hinge_of(tried))) >= needed - 1e-9
