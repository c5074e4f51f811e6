"""How long the lap of an arm in two parts must be for its bolts to press no more than they may."""

from math import ceil

import numpy as np

from refledge.airframe.assessment import Assessment
from refledge.airframe.clamp_rings import washer_area
from refledge.airframe.joints import clamp_preload
from refledge.airframe.judge import reserve
from refledge.airframe.structure import SPAN_BEAMS
from refledge.airframe.task import Task
from refledge.geometry.envelope import SHOULDER
from refledge.model.fasteners import Screw
from refledge.model.parts import FrameDesign
from refledge.typed import Floats

LAP_BAR = 3 + SPAN_BEAMS // 2
"""Beam of an arm that is its lap: after two in the clamp and one in the tenon."""
STEP = 1e-3
"""m; laps are longer by so much from one to the next: our choice."""
ROW_EDGE = 1.2e-3
"""m; plastic outside the washers of a lap: our choice."""


def lap_length(screw: Screw) -> float:
    """The shortest: two rows of bolts, 3 mm between their washers, plastic outside them, m."""
    return screw.washer_diameter + 3e-3 + rows_of(screw)


def rows_of(screw: Screw) -> float:
    """A lap's length less the way between its two rows of bolts, m."""
    return screw.washer_diameter + 2 * ROW_EDGE


def lap_loads(found: Assessment) -> list[Floats]:
    """Moment in the middle of every arm's lap and shear force, (n_arms, 2), N m and N, by case."""
    structure = found.structure
    laps = [structure.beams_of("arm", arm)[LAP_BAR] for arm in range(len(structure.tips))]
    ends = [np.abs(each.forces[laps]) for each in found.results]
    return [np.stack((each[:, :, 4].mean(axis=1), each[:, :, 2].max(axis=1)), 1) for each in ends]


def lap_pulls(found: Assessment, rows: float) -> Floats:
    """Pull on the hardest of a lap's four bolts in every case, (n,), N.

    rows: between the two rows of bolts, m. By statics of the outer part: the inner row takes half
    the shear force and the moment in the lap's middle over that way.
    """
    return np.array([(each @ [1 / rows, 0.5]).max() / 2 for each in lap_loads(found)])


def lap_for(task: Task, frame: FrameDesign, found: Assessment) -> float:
    """Length whose bolts hold the moment found with the reserve aimed at, m; as long as there is
    room for where that is not enough, no shorter than it is, and 0 for arms in one piece."""
    arm = frame.arm
    if not arm.split:
        return 0.0
    screw, material = task.hardware.screws[arm.lap_screw], task.materials[arm.material]
    aim = task.brief.limits.joint_factor * (1.0 + reserve(material.strength_spread))
    most = washer_area(screw) * material.strength_xy / aim
    spare = most - clamp_preload(frame, task.materials, task.hardware)
    room = lap_room(frame)
    if spare <= 0.0:
        return max(arm.lap, room)
    moments, shear = np.concatenate(lap_loads(found)).T
    left = 2 * spare - shear / 2
    if left.min() <= 0.0:
        return max(arm.lap, room)
    wanted = rows_of(screw) + float((moments / left).max())
    return max(arm.lap, min(ceil(wanted / STEP - 1e-6) * STEP, room))


def lap_room(frame: FrameDesign) -> float:
    """The longest lap between root or plates and mount, m, as ``geometry/lap.py`` asks."""
    arm, plate = frame.arm, frame.plate.outer_radius - frame.clamp.root_radius
    disc = max(arm.tenon_length / 2, frame.mount.seat_radius)
    ends = (
        arm.split - SHOULDER - arm.root_length - arm.bore,
        arm.length - arm.tenon_length - arm.split - SHOULDER - 2 * arm.bore,
        arm.split - plate,
        arm.axis - disc - arm.split,
    )
    return max(arm.lap, 2 * (min(ends) - STEP))
