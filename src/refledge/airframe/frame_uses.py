"""How much of each limit the whole airframe uses, in the same keys as the arm's search."""

import numpy as np

from refledge.airframe.arm_checks import buckling_uses
from refledge.airframe.arm_uses import Bands
from refledge.airframe.assessment import Assessment
from refledge.airframe.felt import FELT
from refledge.airframe.judge import reserve
from refledge.airframe.lasting import lasting
from refledge.airframe.leg_root import flange_use
from refledge.airframe.modeshapes import mode_kinds
from refledge.airframe.pool import Choice, Pool
from refledge.airframe.rail_sizing import rail_uses
from refledge.airframe.skid import skid_stress
from refledge.airframe.stressing import material_of_bars
from refledge.airframe.task import Task
from refledge.airframe.tipping import KEY, looked_at, tipping_use
from refledge.airframe.tray import tray_stress
from refledge.airframe.working import Working
from refledge.analysis.strength import creep_modulus
from refledge.model.layout import Layout
from refledge.model.parts import FrameDesign

SECOND_MODE = 2.5
"""Ratio to the arm's own first mode beyond which an airframe mode is a higher one of its arms."""


def frame_uses(
    task: Task, frame: FrameDesign, layout: Layout, found: Assessment
) -> dict[str, float]:
    """Demand over capacity, with the reserve aimed at, by key."""
    arm = task.materials[frame.arm.material]
    limits = task.brief.limits
    aim = 1.0 + reserve(arm.stiffness_spread)
    full = found.result("full-thrust")
    reach = layout.motor_radius - frame.clamp.root_radius
    uses = {
        "motor-tilt": aim * float(full.motor_tilt.max()) / limits.motor_tilt,
        "hover-tilt": aim * hover_tilt(task, arm, found) / limits.motor_tilt,
        "tip-deflection": aim * float(full.tip_deflection.max()) / reach / limits.tip_deflection,
    }
    uses |= _strength(task, frame, found)
    uses["strength-rough-tray"] = _tray(task, frame, found)
    if looked_at(frame):
        uses[KEY] = tipping_use(task, frame, found)
    if frame.arm.grown is None:
        uses |= buckling_uses(task, frame, found)
    uses["leg-flange"] = flange_use(task, frame, found)
    if frame.skid is not None:
        uses["strength-rough-skid"] = _skid(task, frame, frame.skid.material, found)
    if frame.rail is not None:
        uses["strength-rough-rail"] = max(rail_uses(task, frame, found.results).values())
    return uses | _modes(task, arm, found)


def hover_tilt(task: Task, arm: Working, found: Assessment) -> float:
    """Motor tilt after the whole hover, by the creep modulus at that time, rad."""
    grown = float(creep_modulus(1.0, arm.creep_factor, task.brief.mission.hover_time))
    return float(found.result("hover").motor_tilt.max()) / grown


def _strength(task: Task, frame: FrameDesign, found: Assessment) -> dict[str, float]:
    uses: dict[str, float] = {}
    limits = task.brief.limits
    for result, stresses in zip(found.results, found.stresses, strict=True):
        flight = result.case.kind == "flight"
        factor = limits.flight_factor if flight else limits.landing_factor
        for stress in stresses:
            material = task.materials[material_of_bars(frame, stress.part)]
            plane = factor * stress.in_plane * (1.0 + reserve(material.strength_spread))
            layers = factor * stress.layers * (1.0 + reserve(material.interlayer_spread))
            name = "flight" if flight else "rough"
            whose = "" if stress.part in ("arm", "tube") else f"-{stress.part}"
            for key, use in ((f"strength-{name}{whose}", plane), (f"layers-{name}{whose}", layers)):
                uses[key] = max(uses.get(key, 0.0), use)
    for part, use in _fatigue(task, frame, found).items():
        uses[part] = max(uses[part], use)
    return uses


def _fatigue(task: Task, frame: FrameDesign, found: Assessment) -> dict[str, float]:
    """Stress against what so many flights allow, by the key of strength in flight."""
    uses = {}
    for each in lasting(task, frame, found):
        material = task.materials[material_of_bars(frame, each.part)]
        key = "strength-flight" if each.part == "arm" else f"strength-flight-{each.part}"
        uses[key] = each.use * (1.0 + reserve(material.strength_spread))
    return uses


def _tray(task: Task, frame: FrameDesign, found: Assessment) -> float:
    """Battery tray in landing, the hardest case for it."""
    material, battery = task.materials[frame.tray.material], task.brief.battery.mass
    stress = max(tray_stress(frame.tray, battery, result.felt) for result in found.results)
    aim = task.brief.limits.landing_factor * (1.0 + reserve(material.strength_spread))
    return aim * stress / material.strength_xy


def _skid(task: Task, frame: FrameDesign, key: str, found: Assessment) -> float:
    """Skids under the push of one leg."""
    push = float(found.result("landing-one").case.foot_force[:, 2].max())
    stress, material = skid_stress(frame, task.hardware, push), task.materials[key]
    aim = task.brief.limits.landing_factor * (1.0 + reserve(material.strength_spread))
    return aim * stress.worst / material.strength_xy


def _modes(task: Task, arm: Working, found: Assessment) -> dict[str, float]:
    limits = task.brief.limits
    frequencies = found.modes.frequencies
    half = 1.0 + reserve(arm.stiffness_spread / 2)
    least = limits.control_bandwidth * limits.bandwidth_ratio * half
    uses = {"first-mode": least / float(frequencies[0])}
    felt = frequencies[found.modes.felt >= FELT]
    near = [float(np.abs(felt / each - 1.0).min()) for each in task.excited if felt.size]
    uses["separation"] = limits.separation / max(min(near, default=1.0), 0.02)
    return uses


def nearest_kind(task: Task, found: Assessment) -> str:
    """What moves in the felt mode nearest to an excitation; "" where none is felt."""
    felt = found.modes.felt >= FELT
    if not felt.any():
        return ""
    excited = np.array(task.excited)
    away = np.abs(found.modes.frequencies[:, None] / excited - 1.0).min(axis=1)
    nearest = int(np.argmin(np.where(felt, away, np.inf)))
    return mode_kinds(found.structure, found.modes.shapes)[nearest]


def first_kind(found: Assessment) -> str:
    """What moves in the lowest mode."""
    return mode_kinds(found.structure, found.modes.shapes[:1])[0]


def mode_bands(found: Assessment, pool: Pool, choice: Choice) -> Bands:
    """Felt airframe modes over the arm's own, lowest and highest of each motion."""
    block, row = pool.locate(choice.index)
    kinds = np.array(mode_kinds(found.structure, found.modes.shapes))
    felt = found.modes.felt >= FELT
    alone = {
        "vertical": block.results.frequency_vertical[row],
        "lateral": block.results.frequency_lateral[row],
        "twist": block.results.frequency_torsion[row],
    }
    bands = {}
    for kind, own in alone.items():
        ratios = found.modes.frequencies[felt & (kinds == kind)] / own
        first = ratios[ratios < SECOND_MODE]
        if first.size:
            bands[kind] = (float(first.min()), float(first.max()))
    return bands
