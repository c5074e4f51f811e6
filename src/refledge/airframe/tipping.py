"""Whether the hardest landing tips a drawn arm over sideways: lateral-torsional buckling.

Down on the tip presses the arm's lower side, which in an open arm is the slender one. Up, as in
flight, it presses the top plate, whose walls and what lies between bolts have a check of their own.
"""

from dataclasses import dataclass, fields, replace
from math import hypot
from typing import TypeVar

import numpy as np

from refledge.airframe.arm_section import elastic, shape_of, stiff_walls
from refledge.airframe.assessment import Assessment
from refledge.airframe.candidates import Candidates
from refledge.airframe.fillness import fill_of
from refledge.airframe.inventory import centre_of_mass
from refledge.airframe.judge import judge, reserve
from refledge.airframe.plates import root_stiffness
from refledge.airframe.statics import CaseResult
from refledge.airframe.task import Task
from refledge.airframe.tip_push import tip_pushes
from refledge.airframe.working import Working
from refledge.analysis.arm_model import ArmClamp, ArmShape
from refledge.analysis.tipping import FAMILIES, TippingLoad, tipping, tipping_uses
from refledge.model.brief import Brief
from refledge.model.checks import Check
from refledge.model.parts import FrameDesign
from refledge.typed import Floats

KEY = "tipping"
MODEL_SPREAD = 0.1
"""Of the load that tips, against solids: docs/verify.md#buckling."""


@dataclass(frozen=True)
class Worst:
    """The landing that comes nearest to it."""

    use: float  # 1, load over the load that tips
    case: str


def spread(material: Working) -> float:
    """Relative standard uncertainty of the load that tips."""
    return hypot(material.stiffness_spread, MODEL_SPREAD)


def candidate_uses(
    brief: Brief,
    candidates: Candidates,
    material: Working,
    clamp: ArmClamp,
    load: TippingLoad,
) -> Floats:
    """Demand over capacity of N candidates, each tried in the shapes in which a few of them tip."""
    if candidates.family not in FAMILIES:
        return np.zeros(candidates.count)
    shape = stiff_walls(candidates.family, candidates.shape(), fill_of(brief))
    plastic = elastic(material)
    tried = [
        tipping(candidates.family, _row(shape, row), plastic, clamp, _row(load, row)).shape
        for row in _examples(candidates)
    ]
    use = tipping_uses(candidates.family, shape, plastic, clamp, load, np.stack(tried, axis=1))
    return brief.limits.landing_factor * (1.0 + reserve(spread(material))) * use


def _examples(candidates: Candidates) -> list[int]:
    """The middle one of each width of side walls: slender ones tip by their lower edge alone."""
    sides = np.round(candidates.side, 6)
    rows = [np.flatnonzero(sides == side) for side in np.unique(sides)]
    return [int(each[len(each) // 2]) for each in rows]


def tipping_use(task: Task, frame: FrameDesign, found: Assessment) -> float:
    """Demand over capacity of the whole airframe's arms, with the reserve aimed at."""
    aim = 1.0 + reserve(spread(task.materials[frame.arm.material]))
    return aim * task.brief.limits.landing_factor * worst(task, frame, found).use


def tipping_checks(task: Task, frame: FrameDesign, found: Assessment) -> tuple[Check, ...]:
    """One for box, channel and truss; grown arms are looked at as solids, tubes are not."""
    if not looked_at(frame):
        return ()
    hardest, factor = worst(task, frame, found), task.brief.limits.landing_factor
    return (
        judge(
            key=KEY, title="lateral-torsional buckling", group="strength", part="arms",
            load_case=hardest.case, demand=hardest.use, capacity=1.0 / factor, unit="1",
            shown="%", spread=spread(task.materials[frame.arm.material]),
            method="the arm held by its clamp, its plate and its lower edge swaying each for "
            "itself; linear buckling by Ritz's method",
            source="Timoshenko and Gere, Theory of Elastic Stability; Vlasov, Thin-Walled Elastic "
            "Beams; factor from the brief; 10 % of the spread are the model's own",
        ),
    )  # fmt: skip


def looked_at(frame: FrameDesign) -> bool:
    """Whether the frame's arms are drawn ones that can tip over."""
    return frame.arm.grown is None and frame.arm.family in FAMILIES


def worst(task: Task, frame: FrameDesign, found: Assessment) -> Worst:
    """Of the landings, each by the arm whose tip is pushed down hardest."""
    uses = [
        Worst(_use(task, frame, found, result), result.case.title)
        for result in found.results
        if result.case.kind == "landing"
    ]
    return max(uses, key=lambda each: each.use)


def _use(task: Task, frame: FrameDesign, found: Assessment, result: CaseResult) -> float:
    """A landing's load over the load that tips; 0 where it lifts the tips."""
    arm, material, fill = frame.arm, task.materials[frame.arm.material], fill_of(task.brief)
    hardest = min(tip_pushes(frame, found, result), key=lambda push: push.force)
    load = TippingLoad(
        force=max(-hardest.force, 0.0),
        above=_riders_height(found, hardest.arm) - arm.depth_root / 2,
        own=max(-hardest.own, 0.0),
    )
    shape = stiff_walls(arm.family, shape_of(arm), fill)
    about_x, about_y, about_z = root_stiffness(frame, task.materials, task.hardware, fill)
    clamp = ArmClamp(
        x=frame.clamp.first + frame.clamp.pitch_x,
        stiffness_x=about_x, stiffness_y=about_y, stiffness_z=about_z,
    )  # fmt: skip
    return tipping(arm.family, shape, elastic(material), clamp, load).use


def _riders_height(found: Assessment, arm: int) -> float:
    """Centre of what rides on an arm's tip, m above the middle between the plates."""
    riders = tuple(each for each in found.lumps if each.arm == arm)
    return float(centre_of_mass(riders)[2])


_Group = TypeVar("_Group", ArmShape, TippingLoad)


def _row(group: _Group, row: int) -> _Group:
    """One of N arms; what is one number for all stays."""
    return replace(
        group, **{each.name: _entry(getattr(group, each.name), row) for each in fields(group)}
    )


def _entry(values: Floats | float, row: int) -> float:
    every = np.atleast_1d(values)
    return float(every[row if len(every) > 1 else 0])
