"""Checks of strength: every load case, in the plane of the layers and across them; creep."""

from functools import partial

from refledge.airframe.assessment import Assessment
from refledge.airframe.bosses import battery_hung, boss_stress
from refledge.airframe.judge import judge
from refledge.airframe.rail_checks import payload_on_bosses
from refledge.airframe.statics import CaseResult
from refledge.airframe.stressing import PartStress, material_of_bars
from refledge.airframe.task import Task
from refledge.airframe.tray import tray_stress
from refledge.geometry.drill import clearance
from refledge.model.checks import Check
from refledge.model.parts import FrameDesign

WORDS = {"arm": "arms", "tube": "arm tubes", "plates": "centre plates", "leg": "legs"}
BEAM = "beam frame of the whole airframe; stress in the extreme fibre of each beam"


def strength_checks(task: Task, frame: FrameDesign, found: Assessment) -> tuple[Check, ...]:
    """One pair of checks for each load case and kind of part that it loads."""
    made: list[Check] = []
    for result, stresses in zip(found.results, found.stresses, strict=True):
        for stress in stresses:
            if stress.part == "leg" and result.case.kind != "landing":
                continue
            made += _pair(task, frame, result, stress)
    made += [_tray(task, frame, found), *_bosses(task, frame, found)]
    return (*made, creep_strength(task, frame, found))


def _factor(task: Task, kind: str) -> float:
    limits = task.brief.limits
    return limits.flight_factor if kind == "flight" else limits.landing_factor


def _pair(task: Task, frame: FrameDesign, result: CaseResult, stress: PartStress) -> list[Check]:
    case, material = result.case, task.materials[material_of_bars(frame, stress.part)]
    factor = _factor(task, case.kind)
    ask = partial(judge, group="strength", part=WORDS[stress.part], load_case=case.title)
    source = f"material card at part temperature; factor {factor:g} from the brief"
    plane = ask(
        key=f"strength-{case.key}-{stress.part}", title="strength in the plane of the layers",
        demand=stress.in_plane * material.strength_xy,
        capacity=material.strength_xy / factor, unit="Pa", shown="MPa",
        method=BEAM + "; largest principal stress (Rankine)", source=source,
        spread=material.strength_spread,
    )  # fmt: skip
    if material.kind == "tube":
        return [plane]
    across = ask(
        key=f"layers-{case.key}-{stress.part}", title="shear on the layer boundary",
        demand=stress.shear, capacity=material.shear_z / factor, unit="Pa", shown="MPa",
        method=BEAM + "; V Q / (I t) and torsion", source=source,
        spread=material.interlayer_spread,
    )  # fmt: skip
    return [plane, across]


def _tray(task: Task, frame: FrameDesign, found: Assessment) -> Check:
    """Battery tray in the case that throws the battery hardest."""

    def stress(result: CaseResult) -> float:
        return tray_stress(frame.tray, task.brief.battery.mass, result.felt)

    worst = max(found.results, key=stress)
    material, factor = task.materials[frame.tray.material], _factor(task, worst.case.kind)
    return judge(
        key="strength-tray", title="strength in the plane of the layers", group="strength",
        part="battery tray", load_case=worst.case.title, demand=stress(worst),
        capacity=material.strength_xy / factor, unit="Pa", shown="MPa",
        method="plate as a cantilever from its screws to the straps",
        source=f"material card at part temperature; factor {factor:g} from the brief",
        spread=material.strength_spread,
    )  # fmt: skip


def _bosses(task: Task, frame: FrameDesign, found: Assessment) -> list[Check]:
    """Bosses of a tray that stands off, in the case that throws the battery hardest."""
    if frame.tray.stand == 0.0:
        return []
    battery = task.brief.battery
    hole = clearance(task.hardware.screws[frame.tray.screw], frame)

    def stress(result: CaseResult) -> float:
        hung = battery_hung(frame.tray, battery, battery.mass, result.felt)
        return boss_stress(frame.tray, hole, hung) + payload_on_bosses(task, frame, result, hole)

    worst = max(found.results, key=stress)
    material, factor = task.materials[frame.tray.material], _factor(task, worst.case.kind)
    check = judge(
        key="layers-tray-bosses", title="pull across the layers of its bosses", group="strength",
        part="battery tray", load_case=worst.case.title, demand=stress(worst),
        capacity=material.strength_z / factor, unit="Pa", shown="MPa",
        method="bosses and the walls between them as legs of a frame under the tray's plate, bent "
        "by its overhang and tipped by the battery"
        + (" and by the payload on its rails" if frame.rail else ""),
        source=f"material card at part temperature; factor {factor:g} from the brief",
        spread=material.interlayer_spread,
    )  # fmt: skip
    return [check]


def creep_strength(task: Task, frame: FrameDesign, found: Assessment) -> Check:
    """Sustained stress in hover against the share of strength that creep stands."""
    worst, part = 0.0, "arm"
    for result, stresses in zip(found.results, found.stresses, strict=True):
        for stress in stresses:
            if result.case.sustained and stress.in_plane > worst:
                worst, part = stress.in_plane, stress.part
    material = task.materials[material_of_bars(frame, part)]
    return judge(
        key="creep-hover", title="sustained stress in hover", group="strength",
        part=WORDS[part], load_case="hover", demand=worst,
        capacity=task.brief.limits.creep_stress, unit="1", shown="%",
        method=BEAM + "; share of short-time strength", spread=material.strength_spread,
        source="limit from the brief",
    )  # fmt: skip
