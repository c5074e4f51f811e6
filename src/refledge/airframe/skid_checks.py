"""Checks of the skids: the ground's push half-way along one and at its end."""

from collections.abc import Callable

import numpy as np

from refledge.airframe.assessment import Assessment
from refledge.airframe.judge import judge
from refledge.airframe.skid import SkidStress, skid_stress
from refledge.airframe.skid_ties import bar_section, tie_forces
from refledge.airframe.task import Task
from refledge.airframe.working import Working
from refledge.model.checks import Check
from refledge.model.gear import SkidDesign
from refledge.model.parts import FrameDesign
from refledge.typed import Floats

PART = "skids"
PLANE: tuple[tuple[str, str, Callable[[SkidStress], float]], ...] = (
    ("middle", "bending half-way between the legs", lambda each: each.middle),
    ("tip", "bending of the end beyond the leg", lambda each: each.tip),
    ("sleeve", "bending of the sleeve round the leg's end", lambda each: each.sleeve),
    ("pin", "pressure of the joint's bolts in their holes", lambda each: each.pin),
)


def skid_checks(task: Task, frame: FrameDesign, found: Assessment) -> tuple[Check, ...]:
    """Strength under what one leg takes in the landing on one; nothing without skids."""
    if frame.skid is None:
        return ()
    landing = found.result("landing-one")
    stress = skid_stress(frame, task.hardware, float(landing.case.foot_force[:, 2].max()))
    material = task.materials[frame.skid.material]
    title, factor = landing.case.title, task.brief.limits.landing_factor
    rows = [row for row in PLANE if row[0] != "pin" or frame.skid.lap]
    made = [
        judge(
            key=f"skid-{key}", title=words, group="strength", part=PART, load_case=title,
            demand=of(stress), capacity=material.strength_xy / factor, unit="Pa", shown="MPa",
            spread=material.strength_spread,
            method="the push of one leg, half-way along the bar on its two legs and at its end; a "
            "joint bends in one of its halves",
            source=f"strength in the layers from the material card; factor {factor:g} from the "
            "brief",
        )
        for key, words, of in rows
    ]  # fmt: skip
    return (
        *made,
        _shear(material, title, factor, stress),
        _leg(task, frame, found, stress),
        _tie(task, frame.skid, found),
    )


def _tie(task: Task, skid: SkidDesign, found: Assessment) -> Check:
    """What the bar bears as it holds two legs together, in the worst landing."""
    material, factor = task.materials[skid.material], task.brief.limits.landing_factor
    landings = [each for each in found.results if each.case.kind == "landing"]
    worst = max(landings, key=lambda each: tie_stress(found, skid, each.displacements))
    return judge(
        key="skid-tie", title="bar between the legs that it ties together", group="strength",
        part=PART, load_case=worst.case.title,
        demand=tie_stress(found, skid, worst.displacements), capacity=material.strength_xy / factor,
        unit="Pa", shown="MPa", spread=material.strength_spread,
        method="beam frame: axial force and bending both ways at the bar's ends; a bar in two "
        "parts counts as one of its tongues",
        source=f"strength in the layers from the material card; factor {factor:g} from the brief",
    )  # fmt: skip


def tie_stress(found: Assessment, skid: SkidDesign, displacements: Floats) -> float:
    """Greatest stress at the ends of the ties, N / A + M / W both ways, Pa."""
    wide, high = bar_section(skid)
    sizes = np.abs(tie_forces(found.structure, displacements))
    stress = sizes[..., 0] / (wide * high) + 6 * sizes[..., 4] / (wide * high**2)
    return float((stress + 6 * sizes[..., 5] / (high * wide**2)).max())


def _shear(material: Working, title: str, factor: float, stress: SkidStress) -> Check:
    return judge(
        key="skid-layers", title="shear on the layer boundary", group="strength", part=PART,
        load_case=title, demand=stress.shear, capacity=material.shear_z / factor, unit="Pa",
        shown="MPa", spread=material.interlayer_spread, method="1.5 V / A of the bar",
        source=f"material card at part temperature; factor {factor:g} from the brief",
    )  # fmt: skip


def _leg(task: Task, frame: FrameDesign, found: Assessment, stress: SkidStress) -> Check:
    """The leg next to a pushed end takes more than the push: the skid is a lever on the other."""
    material, factor = task.materials[frame.leg.material], task.brief.limits.landing_factor
    row = next(i for i, each in enumerate(found.results) if each.case.key == "landing-one")
    (own,) = (each for each in found.stresses[row] if each.part == "leg")
    return judge(
        key="skid-leg", title="strength in the plane of the layers", group="strength",
        part="legs", load_case=f"{found.results[row].case.title}, at the end of its skid",
        demand=stress.lever * own.in_plane * material.strength_xy,
        capacity=material.strength_xy / factor, unit="Pa", shown="MPa",
        spread=material.strength_spread,
        method="the beam frame's stress on one leg times 1 + a / l of the lever",
        source=f"material card at part temperature; factor {factor:g} from the brief",
    )  # fmt: skip
