"""What checks ask of a frame that sizing has no limit of its own for, as uses for the search."""

from collections.abc import Iterator
from math import isnan

from refledge.airframe.assessment import Assessment
from refledge.airframe.heat_checks import heat_checks
from refledge.airframe.joint_checks import clamp_tension, lap_tension, preload_kept
from refledge.airframe.payload_line_checks import payload_line_checks
from refledge.airframe.strength_checks import creep_strength
from refledge.airframe.task import Task
from refledge.model.checks import Check
from refledge.model.parts import FrameDesign

MOUNT = "motor mount"
LEAST = 0.1
"""Capacity over demand below which a check counts no worse."""


def late_uses(task: Task, frame: FrameDesign, found: Assessment) -> dict[str, float]:
    """Demand over capacity by the checks' own keys: pressure under washers, preload after creep,
    stress that creeps in hover, the pull of a payload's line, heat at the motors.

    Without a reserve: a frame that holds narrowly is not turned down for it, one that fails is.
    """
    return {
        check.key: 1.0 / max(1.0 + check.margin, LEAST)
        for check in _late(task, frame, found)
        if not isnan(check.margin)
    }


def _late(task: Task, frame: FrameDesign, found: Assessment) -> Iterator[Check]:
    if frame.hinge is None:
        yield clamp_tension(task, frame, found)
    if frame.arm.split:
        yield lap_tension(task, frame, found)
    yield preload_kept(task, frame)
    yield creep_strength(task, frame, found)
    yield from payload_line_checks(task, frame, found)
    yield from heat_checks(task.brief, {MOUNT: task.materials[frame.mount.material]})
