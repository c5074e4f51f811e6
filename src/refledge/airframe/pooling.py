"""All arms that sizing may choose from: widths tried, their settings, every candidate's uses."""

from dataclasses import replace

import numpy as np

from refledge.airframe.arm_uses import Bands, arm_uses, separation_uses
from refledge.airframe.body import least_arm_width
from refledge.airframe.bolt_room import deepest
from refledge.airframe.candidates import WIDTH_STEPS, Candidates, printed_candidates, tube_candidate
from refledge.airframe.demand import arm_demand
from refledge.airframe.estimate import ARM_KEYS, estimated_masses
from refledge.airframe.fillness import fill_of
from refledge.airframe.framing import (
    Setting,
    frame_for,
    least_lap_half,
    setting_for,
    sized_legs,
    whole_layers,
)
from refledge.airframe.grown_pool import grown_candidate, grown_uses
from refledge.airframe.lap_sizing import lap_length
from refledge.airframe.plates import root_stiffness
from refledge.airframe.pool import Pool, make_pool
from refledge.airframe.rooting import edge
from refledge.airframe.task import Task
from refledge.errors import GeometryError
from refledge.geometry.guard import guard_keys
from refledge.geometry.parts import part_quantities


def settings_of(task: Task, family: str) -> list[Setting]:
    """One setting for each arm width that is tried."""
    screw = task.hardware.screws[task.brief.frame.rod_screw]
    if family == "tube":
        card = task.cards[task.brief.frame.tube]
        width = card.outer + screw.clearance_hole + 3.2e-3 + 2 * edge(screw)
        return [setting_for(task, width)]
    if task.grown is not None:
        return [setting_for(task, task.grown.interface.width)]
    line = task.brief.printer.extrusion_width
    least = np.ceil(least_arm_width(screw) / line) * line
    widths = [float(least + 4 * step * line) for step in range(WIDTH_STEPS)]
    return [setting_for(task, width) for width in widths]


def build_pool(
    task: Task, family: str, printed: str, settings: list[Setting], plate: float
) -> Pool:
    """Every candidate arm of one family, printed (or fitted) in one material."""
    plate = whole_layers(plate, task.brief.printer.layer)
    blocks, rest = [], []
    for setting in settings:
        body, leg = sized_legs(task, setting.body, printed)
        if family == "tube":
            arms = tube_candidate(body, setting.arm_length, task.cards[task.brief.frame.tube])
        elif task.grown is not None:
            arms = grown_candidate(task.brief, task.grown, body, setting.arm_length)
        else:
            arms = printed_candidates(
                task.brief, family, body, setting.arm_length, deepest(task, body, plate)
            )
            arms = lapped(task, setting, arms)
        if not arms.count:
            continue
        arm_material = task.brief.frame.tube if family == "tube" else printed
        frame = frame_for(task, body, arms.arm(0, arm_material), printed, plate)
        masses = estimated_masses(task.brief, frame, task.materials, task.ratios)
        clamp = root_stiffness(frame, task.materials, task.hardware, fill_of(task.brief))
        at_tip = masses["mount"] + sum(masses[key] for key in guard_keys(frame.guard))
        demand = arm_demand(task, setting, leg, at_tip, clamp)
        material = task.materials[arm_material]
        if task.grown is not None:
            found = grown_uses(task.brief, arms, task.grown, material, demand)
        else:
            found = arm_uses(task.brief, arms, material, demand)
        blocks.append(replace(found, mass=found.mass * arm_ratio(task)))
        counts = part_quantities(frame)
        others = sum(counts[k] * m for k, m in masses.items() if k not in ARM_KEYS)
        rest.append(others)
    if not blocks:
        raise GeometryError(f"no {family} arm fits between the propellers and the body")
    return make_pool(family, printed, blocks, len(task.angles), rest)


def arm_ratio(task: Task) -> float:
    """Mass of a whole arm's solids over its estimate (1)."""
    known = [task.ratios[key] for key in ARM_KEYS if key in task.ratios]
    return sum(known) / len(known) if known else 1.0


def lapped(task: Task, setting: Setting, arms: Candidates) -> Candidates:
    """The candidates with the lap that the setting asks for."""
    if setting.split == 0.0:
        return arms
    size = task.brief.frame.rod_screw
    lap = lap_length(task.hardware.screws[size])
    span = (setting.split - setting.body.root_length) / (
        arms.length - setting.body.root_length - setting.body.mount.length
    )
    half = (arms.depth_root + (arms.depth_tip - arms.depth_root) * span) / 2
    room = half >= least_lap_half(arms.bore, arms.top) + 0.1e-3
    return replace(arms.only(room), split=setting.split, lap=lap, lap_screw=size)


def rebanded(task: Task, pool: Pool, bands: Bands) -> Pool:
    """The pool with its separation uses for other bands of modes."""
    blocks = tuple(
        replace(
            block,
            uses=block.uses | separation_uses(task.brief, block.results, task.excited, bands),
        )
        for block in pool.blocks
    )
    uses = np.array([np.concatenate([b.uses[key] for b in blocks]) for key in pool.keys])
    return replace(pool, blocks=blocks, uses=uses)
