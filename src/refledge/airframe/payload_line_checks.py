"""Checks of what a payload's line hangs from, pulled in flight and where it is caught."""

from collections.abc import Callable

from refledge.airframe.assessment import Assessment
from refledge.airframe.judge import judge
from refledge.airframe.payload_line import boss_pull, line_stress
from refledge.airframe.rail_checks import factor_of
from refledge.airframe.task import Task
from refledge.geometry.drill import clearance
from refledge.model.checks import Check
from refledge.model.parts import FrameDesign

PART = "battery tray"


def payload_line_checks(task: Task, frame: FrameDesign, found: Assessment) -> tuple[Check, ...]:
    """The tray across, and its bosses where it has them; nothing where no line hangs from it."""
    tray = frame.tray
    if tray.line == 0.0:
        return ()
    material = task.materials[tray.material]
    made = [
        _check(
            task, found, "payload-line", "bending of the tray by the payload's line",
            lambda pull: line_stress(tray, pull), (material.strength_xy, material.strength_spread),
        )
    ]  # fmt: skip
    if tray.stand > 0.0:
        hole = clearance(task.hardware.screws[tray.screw], frame)
        made.append(
            _check(
                task, found, "payload-line-bosses", "pull of the payload's line on the bosses",
                lambda pull: boss_pull(tray, hole, pull),
                (material.strength_z, material.interlayer_spread),
            )
        )  # fmt: skip
    return tuple(made)


def _check(
    task: Task,
    found: Assessment,
    key: str,
    title: str,
    stress: Callable[[float], float],
    strength: tuple[float, float],
) -> Check:
    """In the case that is hardest with its factor. strength: Pa, and its spread (1)."""
    worst = max(found.results, key=lambda each: each.case.slung_force * factor_of(task, each))
    factor, pull = factor_of(task, worst), worst.case.slung_force
    return judge(
        key=key, title=title, group="strength", part=PART, load_case=worst.case.title,
        demand=stress(pull), capacity=strength[0] / factor, unit="Pa", shown="MPa",
        spread=strength[1],
        method="all of the line's pull on one of its two slots, as when it trails aside; lever "
        "rule to the screws",
        source=f"material card at part temperature; factor {factor:g} from the brief",
        note=f"the line pulls by {pull:.0f} N; one that parts sooner spares the aircraft",
    )  # fmt: skip
