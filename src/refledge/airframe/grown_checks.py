"""Checks of a frame with grown arms: where the figures came from, and how sure they are."""

from collections.abc import Iterable
from dataclasses import replace

from refledge.airframe.assessment import Assessment
from refledge.airframe.judge import in_doubt, judge
from refledge.airframe.stressing import PartStress
from refledge.airframe.task import Task
from refledge.model.checks import Check
from refledge.model.grown import GrownArm

ARMS = "arms"
STRENGTH = (
    "the grown arm as a solid under the loads that it was grown for, scaled to these; what differs "
    "is added as unit loads at the tip, so that the use is never too low"
)
BUCKLING = (
    "the grown arm as a solid: least factor at which a load buckles it, of the loads that it was "
    "grown for, scaled to these; what differs is added as unit loads, so that it is never too high"
)
GIVE = "arms as beams that give at the tip as the grown arm does as a solid"
TITLES = {
    "strength": "strength as a solid, all stresses together",
    "layers": "layer boundaries as a solid",
}
_STIFF = {"motor-tilt": 1.0, "tip-deflection": 1.0, "hover-tilt": 1.0, "first-mode": 0.5}
"""Check key to how its figure goes with the arms' give; a frequency with its square root."""


def grown_checks(
    task: Task, grown: GrownArm, found: Assessment, checks: Iterable[Check]
) -> tuple[Check, ...]:
    """``checks`` with the method, the load's likeness and the mesh error of a grown arm."""
    stresses = {
        result.case.title: next(each for each in per if each.part == "arm")
        for result, per in zip(found.results, found.stresses, strict=True)
    }
    return tuple(_told(task, grown, stresses, each) for each in checks)


def _told(task: Task, grown: GrownArm, stresses: dict[str, PartStress], check: Check) -> Check:
    if check.key in _STIFF:
        error = _STIFF[check.key] * grown.give_error * check.demand
        note = f"mesh error of the arm's give {100 * grown.give_error:.1f} %"
        made = replace(check, method=f"{check.method}; {GIVE}", note=_and(check.note, note))
        return in_doubt(made, error)
    if check.group == "shaking":
        return replace(check, method=f"{check.method}; {GIVE}")
    start = check.key.split("-")[0]
    if check.part != ARMS or check.group != "strength":
        return check
    if start == "creep":
        return replace(check, method=STRENGTH)
    if start not in TITLES or check.load_case not in stresses:
        return check
    return _by_solid(task, grown, stresses[check.load_case], check, start)


def _by_solid(task: Task, grown: GrownArm, stress: PartStress, check: Check, start: str) -> Check:
    plastic = task.materials[grown.plastic.key]
    if start == "layers":
        use, error, strength = stress.layers, stress.layers_error, plastic.shear_z
    else:
        use, error, strength = stress.in_plane, stress.plane_error, plastic.strength_xy
    note = f"mesh error {error / max(use, 1e-30):.1%} of the use; {likeness(grown, stress, check)}"
    made = replace(check, title=TITLES[start], method=STRENGTH, note=note)
    return in_doubt(made, error * strength)


def likeness(grown: GrownArm, stress: PartStress, check: Check) -> str:
    """How hard the arm is used now against when it was grown, by the case of the same name."""
    same = [each for each in grown.cases if each.title == check.load_case]
    if not same:
        return "a load case that it was not grown for"
    layers = check.key.startswith("layers")
    was = max(each.layers if layers else each.plastic for each in same)
    now = stress.layers if layers else stress.in_plane
    if was == 0.0:
        return "nothing of it when it was grown"
    return f"{100 * now / was:.0f} % of the use when it was grown"


def grown_buckling(task: Task, grown: GrownArm, found: Assessment) -> tuple[Check, ...]:
    """How near a grown arm is to buckling, in flight and in landing or handling."""
    limits, made = task.brief.limits, []
    for name, factor in (("flight", limits.flight_factor), ("rough", limits.landing_factor)):
        uses = {
            result.case.title: next(each for each in per if each.part == "arm")
            for result, per in zip(found.results, found.stresses, strict=True)
            if (result.case.kind == "flight") == (name == "flight")
        }
        title, worst = max(uses.items(), key=lambda each: each[1].buckling)
        check = judge(
            key=f"buckling-{name}", title="buckling as a solid", group="strength", part=ARMS,
            load_case=title, demand=worst.buckling, capacity=1.0 / factor, unit="1", shown="%",
            method=BUCKLING, spread=task.materials[grown.plastic.key].stiffness_spread,
            source="Papkovich's theorem: loads that do not buckle form a convex set; "
            f"factor {factor:g} from the brief",
            note=_buckling_note(grown, worst, title),
        )  # fmt: skip
        made.append(in_doubt(check, worst.buckling_error))
    return tuple(made)


def _buckling_note(grown: GrownArm, worst: PartStress, title: str) -> str:
    if worst.buckling <= 0.0:
        return "no load buckles it"
    was = max((each.buckling for each in grown.cases if each.title == title), default=0.0)
    like = f"; {worst.buckling / was:.0%} of the use when it was grown" if was else ""
    share = worst.buckling_error / worst.buckling
    return f"buckles at {1 / worst.buckling:.2f} times the load; mesh error {share:.1%}{like}"


def _and(one: str, other: str) -> str:
    return f"{one}; {other}" if one else other
