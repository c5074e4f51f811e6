"""Payload rails as stout as the payload's pull asks, in the room that the layout keeps for them."""

from collections.abc import Sequence
from dataclasses import fields, replace

from refledge.airframe.judge import reserve
from refledge.airframe.rail import FIXED, MOST, SLUNG, RailStress, Sizes, rail_stress, resized
from refledge.airframe.rail_checks import factor_of, payload_pull
from refledge.airframe.statics import CaseResult
from refledge.airframe.task import Task
from refledge.geometry.rail import rail_of
from refledge.model.parts import FrameDesign

STEP = 0.4e-3
"""m; from one thickness to the next: our choice, two usual layers, or nearly a line."""


def rail_uses(task: Task, frame: FrameDesign, results: Sequence[CaseResult]) -> dict[str, float]:
    """Demand over capacity, with the reserve aimed at, of each thickness in its hardest case."""
    material = task.materials[rail_of(frame).material]
    aim = (1.0 + reserve(material.strength_spread)) / material.strength_xy
    worst = dict.fromkeys((each.name for each in fields(Sizes)), 0.0)
    for result in results:
        stress = rail_stress(frame, task.hardware, payload_pull(task, frame, result))
        for name, demand in _demands(stress).items():
            worst[name] = max(worst[name], aim * factor_of(task, result) * demand)
    return worst


def _demands(stress: RailStress) -> dict[str, float]:
    """What each thickness must stand, Pa; a pin presses on lips and carrier alike."""
    return {
        "web": stress.web,
        "flange": stress.flange,
        "lip": max(stress.lip, stress.pin),
        "carrier": max(stress.carrier, stress.pin),
        "shelf": stress.shelf,
    }


def sized_rails(task: Task, frame: FrameDesign, results: Sequence[CaseResult]) -> FrameDesign:
    """The frame with its rails, carrier and shelves as thin as hold under the payload.

    Where one does not hold at its thickest it is left so, and its check says so.
    """
    if frame.rail is None:
        return frame
    size = SLUNG if task.brief.payload.slung else FIXED
    size = replace(size, shelf=max(size.shelf, frame.tray.thickness))
    while True:
        one = _with(task, frame, size)
        uses = rail_uses(task, one, results)
        thicker = {
            name: min(getattr(size, name) + STEP, getattr(MOST, name))
            for name, use in uses.items()
            if use > 1.0 and getattr(size, name) < getattr(MOST, name) - 1e-9
        }
        if not thicker:
            return one
        size = replace(size, **thicker)


def _with(task: Task, frame: FrameDesign, size: Sizes) -> FrameDesign:
    rail, tray = resized(task.brief, rail_of(frame), frame.tray, size, task.hardware)
    return replace(frame, rail=rail, tray=tray)
