"""Checks of the payload rails: bending of rails, carrier and shelves; screws, what they press."""

from collections.abc import Callable

from refledge.airframe.assessment import Assessment
from refledge.airframe.bosses import Hung, boss_stress
from refledge.airframe.judge import judge
from refledge.airframe.rail import Pull, RailStress, rail_stress, slung_pull
from refledge.airframe.statics import CaseResult
from refledge.airframe.task import Task
from refledge.analysis.joints import bolt_preload
from refledge.geometry.placing import payload_middle
from refledge.geometry.rail import carrier_level, rail_of
from refledge.model.checks import Check
from refledge.model.parts import FrameDesign

_RAIL, _TRAY, _CARRIER = "payload rail", "battery tray", "payload carrier"
STRENGTHS: tuple[tuple[str, str, str, Callable[[RailStress], float]], ...] = (
    ("lip", _RAIL, "bending of the lip that the carrier lies on", lambda each: each.lip),
    ("web", _RAIL, "bending of the rail beside the battery", lambda each: each.web),
    ("flange", _RAIL, "bending of the rail's flange at its screws", lambda each: each.flange),
    ("shelf", _TRAY, "bending of the tray's shelves at the rails", lambda each: each.shelf),
    ("carrier", _CARRIER, "bending of the payload carrier", lambda each: each.carrier),
    ("seat", _RAIL, "pressure of the rail's screws on the plastic", lambda each: each.pressure),
    ("pin", _CARRIER, "pressure of its pin in the holes", lambda each: each.pin),
)


def rail_checks(task: Task, frame: FrameDesign, found: Assessment) -> tuple[Check, ...]:
    """Strength under the payload in the case that is hardest on each place; nothing without rails.

    A slung payload pulls in every case as the case says; a fixed one by what it feels.
    """
    if frame.rail is None:
        return ()
    pulls = [(each, _stress(task, frame, each)) for each in found.results]
    made = [_strength(task, frame, pulls, *row) for row in STRENGTHS]
    return (*made, _screw(task, frame, pulls))


def _strength(
    task: Task,
    frame: FrameDesign,
    pulls: list[tuple[CaseResult, RailStress]],
    key: str,
    part: str,
    title: str,
    of: Callable[[RailStress], float],
) -> Check:
    """One place of the rails in the case that is hardest on it, counted with its factor."""
    worst, stress = max(pulls, key=lambda each: of(each[1]) * factor_of(task, each[0]))
    keys = {_TRAY: frame.tray.material}
    material, factor = (
        task.materials[keys.get(part, rail_of(frame).material)],
        factor_of(task, worst),
    )
    return judge(
        key=f"rail-{key}", title=title, group="strength", part=part,
        load_case=worst.case.title, demand=of(stress), capacity=material.strength_xy / factor,
        unit="Pa", shown="MPa", spread=material.strength_spread,
        method="strips bent by the payload's pull, sideways all on one rail; the flange pries its "
        "screws about its edge; three times the stress beside holes",
        source=f"strength in the layers from the material card; factor {factor:g} from the brief",
    )  # fmt: skip


def payload_pull(task: Task, frame: FrameDesign, result: CaseResult) -> Pull:
    """What the payload does to its carrier in one case."""
    payload = task.brief.payload
    if payload.slung:
        return slung_pull(result.case.slung_force)
    up, side = (payload.mass * each for each in result.felt)
    carrier = frame.tray.hang - carrier_level(frame)
    return Pull(up=up, side=side, below=payload_middle(frame, task.brief) - carrier)


def payload_on_bosses(task: Task, frame: FrameDesign, result: CaseResult, hole: float) -> float:
    """What the payload on its rails adds to the pull at a boss's foot, Pa; 0 without rails."""
    if frame.rail is None:
        return 0.0
    pull = payload_pull(task, frame, result)
    below = frame.tray.hang - carrier_level(frame) + pull.below
    hung = Hung(up=pull.up, side=pull.side, below=below, at=frame.tray.shelf_pitch_x / 2)
    return boss_stress(frame.tray, hole, hung)


def _stress(task: Task, frame: FrameDesign, result: CaseResult) -> RailStress:
    return rail_stress(frame, task.hardware, payload_pull(task, frame, result))


def factor_of(task: Task, result: CaseResult) -> float:
    limits = task.brief.limits
    return limits.flight_factor if result.case.kind == "flight" else limits.landing_factor


def _screw(task: Task, frame: FrameDesign, pulls: list[tuple[CaseResult, RailStress]]) -> Check:
    screw = task.hardware.screws[rail_of(frame).screw]
    worst, stress = max(pulls, key=lambda each: each[1].screw)
    return judge(
        key="rail-screw", title="pull on the screws of the payload rails", group="joints",
        part=_RAIL, load_case=worst.case.title, demand=stress.screw,
        capacity=float(bolt_preload(screw.stress_area, screw.proof_stress)), unit="N", shown="N",
        method="the flange pries two screws about its outer edge",
        source="three quarters of proof load, class 8.8 (Shigley, reusable joints)",
    )  # fmt: skip
