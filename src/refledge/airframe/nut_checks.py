"""Checks of the nuts in a seat's slots: pulled out, or turned in their slots."""

import numpy as np

from refledge.airframe.assessment import Assessment
from refledge.airframe.inventory import Lump
from refledge.airframe.judge import judge
from refledge.airframe.task import Task
from refledge.analysis.joints import bolt_torque
from refledge.analysis.nuts import ledge_shear, nut_turning, slotted_pull
from refledge.flight.air import GRAVITY
from refledge.geometry.nut_slot import frame_slot
from refledge.model.checks import Check
from refledge.model.parts import FrameDesign

PART = "flight-controller seat"


def nut_checks(task: Task, frame: FrameDesign, found: Assessment) -> tuple[Check, ...]:
    """Pull and turning of the nuts; nothing where inserts hold."""
    if frame.seat.threads != "nuts":
        return ()
    result = max(found.results, key=lambda each: float(np.abs(each.acceleration[2])))
    pull = seat_pull(task, found)
    return (
        _pulled(task, frame, pull, result.case.title),
        _turned(task, frame, pull, result.case.title),
    )


def seat_pull(task: Task, found: Assessment) -> float:
    """Of one screw of the seat under the hardest acceleration of the body, N."""
    hardest = max(float(np.abs(each.acceleration[2])) for each in found.results)
    carried = sum(lump.mass for lump in found.lumps if _on_seat(task, lump))
    return carried * (hardest + GRAVITY) / 4


def _on_seat(task: Task, lump: Lump) -> bool:
    return lump.part == "seat" or lump.name == task.brief.flight_controller.name


def pull_held(task: Task, frame: FrameDesign) -> float:
    """What a nut at a foot holds, N: its ledge sheared, or the post torn beside the slot."""
    material, slot = task.materials[frame.seat.material], frame_slot(frame, task.hardware)
    nut = task.hardware.nuts[frame.seat.screw]
    sheared = material.shear_z / ledge_shear(nut.width, slot.ledge)
    torn = material.strength_z / slotted_pull(frame.seat.post_diameter, slot.width)
    return min(sheared, torn)


def turning_held(task: Task, frame: FrameDesign) -> float:
    """Torque that a slot's walls bear, N m."""
    material, nut = task.materials[frame.seat.material], task.hardware.nuts[frame.seat.screw]
    return nut_turning(nut.width, nut.height, material.strength_xy)


def _pulled(task: Task, frame: FrameDesign, pull: float, case: str) -> Check:
    material, factor = task.materials[frame.seat.material], task.brief.limits.joint_factor
    return judge(
        key="nut-pull-out", title="pull-out of the nuts in their slots", group="joints", part=PART,
        load_case=case, demand=pull, capacity=pull_held(task, frame) / factor, unit="N", shown="N",
        spread=material.interlayer_spread,
        method="the less of: shear of the ledge round the nut; tension with bending of the post "
        "beside its slot, across the layers",
        source=f"shear and strength across layers from the material card; factor {factor:g} from "
        "the brief",
    )  # fmt: skip


def _turned(task: Task, frame: FrameDesign, pull: float, case: str) -> Check:
    """The torque that keeps the joint closed under that pull, against the slot's walls."""
    material, factor = task.materials[frame.seat.material], task.brief.limits.joint_factor
    screw = task.hardware.screws[frame.seat.screw]
    return judge(
        key="nut-turning", title="turning of the nuts in their slots", group="joints", part=PART,
        load_case=case, demand=float(bolt_torque(factor * pull, screw.diameter)),
        capacity=turning_held(task, frame) / factor, unit="N*m", shown="N*m",
        spread=material.strength_spread,
        method="torque of a preload as large as the pull times the factor (Shigley, T = K F d), "
        "against pressure of the nut's flats on the walls, rising to its corners",
        source=f"strength from the material card; factor {factor:g} from the brief",
        note="tighten to no more than what the walls bear",
    )  # fmt: skip
