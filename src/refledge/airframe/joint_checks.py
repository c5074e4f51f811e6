"""Checks of joints: bearing, tear-out, bolt tension, insert pull-out, preload, tube slip."""

from dataclasses import dataclass
from functools import partial
from math import hypot

import numpy as np

from refledge.airframe.assessment import Assessment
from refledge.airframe.hinge_checks import SHEAR_SHARE, hinge_checks
from refledge.airframe.joints import (
    LEAST_PRELOAD,
    bolt_share,
    clamp_preload,
    joint_stiffnesses,
)
from refledge.airframe.judge import judge
from refledge.airframe.lap_sizing import lap_pulls, rows_of
from refledge.airframe.nut_checks import nut_checks, seat_pull
from refledge.airframe.rooting import edge
from refledge.airframe.statics import CaseResult
from refledge.airframe.task import Task
from refledge.airframe.tube_checks import tube_checks
from refledge.airframe.working import Working
from refledge.analysis.joints import (
    INSERT_WALL,
    bearing_stress,
    insert_pull_out,
    preload_left,
    tear_out_stress,
    washer_pressure,
)
from refledge.model.checks import Check
from refledge.model.fasteners import Insert
from refledge.model.parts import ClampDesign, FrameDesign
from refledge.typed import Floats


def joint_checks(task: Task, frame: FrameDesign, found: Assessment) -> tuple[Check, ...]:
    """Every joint in its worst load case."""
    clamped = (
        ()
        if frame.hinge
        else (*_clamp_in_plane(task, frame, found), clamp_tension(task, frame, found))
    )
    return (
        *clamped,
        *hinge_checks(task, frame, found),
        preload_kept(task, frame),
        *(_insert(task, frame, found) if frame.seat.threads == "inserts" else ()),
        *nut_checks(task, frame, found),
        *((lap_tension(task, frame, found),) if frame.arm.split else ()),
        *tube_checks(task, frame, found),
    )


def _root_forces(found: Assessment) -> list[tuple[CaseResult, Floats]]:
    """Sizes of the forces on every arm's root block at its outer bolts, (6,), in every case."""
    structure = found.structure
    part = "tube" if structure.beams_of("tube") else "arm"
    firsts = [structure.beams_of(part, index)[1] for index in range(len(structure.tips))]
    return [(result, ends) for result in found.results for ends in np.abs(result.forces[firsts, 0])]


def _clamp_in_plane(task: Task, frame: FrameDesign, found: Assessment) -> tuple[Check, Check]:
    """Bolts as pins: lateral force, pull and yaw moment of the arm on the group of four."""
    clamp, screw = frame.clamp, task.hardware.screws[frame.clamp.screw]
    result, ends = max(
        _root_forces(found),
        key=lambda pair: bolt_share(
            hypot(pair[1][0], pair[1][1]), pair[1][5], clamp.pitch_x, clamp.pitch_y
        ),
    )
    force = bolt_share(hypot(ends[0], ends[1]), ends[5], clamp.pitch_x, clamp.pitch_y)
    plates = 2 * frame.plate.thickness
    bearing = float(bearing_stress(force, screw.diameter, plates))
    tearing = float(tear_out_stress(force, screw.diameter, plates, edge(screw)))
    material = task.materials[frame.plate.material]
    factor = task.brief.limits.joint_factor
    ask = partial(
        judge, group="joints", part="clamp bolts in the plates", unit="Pa", shown="MPa",
        load_case=result.case.title, spread=material.strength_spread,
        source=f"Shigley, eccentric bolt groups; factor {factor:g} from the brief",
    )  # fmt: skip
    return (
        ask(
            key="clamp-bearing", title="bearing of the bolts on their holes", demand=bearing,
            capacity=material.strength_xy / factor,
            method="elastic bolt group without friction; force over d t",
        ),
        ask(
            key="clamp-tear-out", title="tear-out to the edge", demand=tearing,
            capacity=SHEAR_SHARE * material.strength_xy / factor,
            method="two shear planes from hole to edge",
        ),
    )  # fmt: skip


def clamp_pull(ends: Floats, clamp: ClampDesign) -> float:
    """Pull on the hardest of an arm's four bolts, N.

    ends: (6,), sizes of the forces on the root block at the outer bolts, N and N m. By statics the
    outer pair takes the whole shear force and the moment over the way to the inner pair; the twist
    is a couple across, to the safe side within the outer pair alone.
    """
    return float((ends[2] + ends[4] / clamp.pitch_x) / 2 + ends[3] / clamp.pitch_y)


def clamp_tension(task: Task, frame: FrameDesign, found: Assessment) -> Check:
    """Moments and shear force of the root in the bolts, against the plates under the washers."""
    clamp, screw = frame.clamp, task.hardware.screws[frame.clamp.screw]
    result, ends = max(_root_forces(found), key=lambda pair: clamp_pull(pair[1], clamp))
    pull = clamp_pull(ends, clamp)
    preload = clamp_preload(frame, task.materials, task.hardware)
    bolt, plastic = joint_stiffnesses(frame, task.materials, task.hardware)
    felt = bolt / (bolt + plastic) * pull
    pressure = float(washer_pressure(felt + preload, screw.washer_diameter, screw.clearance_hole))
    material = task.materials[frame.plate.material]
    factor = task.brief.limits.joint_factor
    return judge(
        key="clamp-washer", title="pressure under the clamp bolts' washers", group="joints",
        part="plates", load_case=result.case.title, demand=pressure,
        capacity=material.strength_xy / factor, unit="Pa", shown="MPa",
        method="moments of the root as couples along and across the arm, its shear force on the "
        "outer pair, shared by stiffness (Shigley, joint constant), added to the preload",
        source=f"factor {factor:g} from the brief", spread=material.strength_spread,
        note=f"hardest bolt pulled by {pull:.0f} N; larger screws help: frame.rod_screw is "
        f"{screw.size}",
    )  # fmt: skip


def lap_tension(task: Task, frame: FrameDesign, found: Assessment) -> Check:
    """Moment and shear force of the lap on its two rows of bolts, against the washers."""
    arm, screw = frame.arm, task.hardware.screws[frame.arm.lap_screw]
    pulls = lap_pulls(found, arm.lap - rows_of(screw))
    result = found.results[int(pulls.argmax())]
    pull = float(pulls.max()) + clamp_preload(frame, task.materials, task.hardware)
    pressure = float(washer_pressure(pull, screw.washer_diameter, screw.clearance_hole))
    material, factor = task.materials[arm.material], task.brief.limits.joint_factor
    return judge(
        key="lap-washer", title="pressure under the lap bolts' washers", group="joints",
        part="arms", load_case=result.case.title, demand=pressure,
        capacity=material.strength_xy / factor, unit="Pa", shown="MPa",
        method="moment in the lap's middle as a couple between its rows of bolts, shear force "
        "shared by them, added to the preload",
        source=f"factor {factor:g} from the brief", spread=material.strength_spread,
    )  # fmt: skip


def preload_kept(task: Task, frame: FrameDesign) -> Check:
    block = task.materials[frame.plate.material]
    bolt, plastic = joint_stiffnesses(frame, task.materials, task.hardware)
    left = float(preload_left(bolt, plastic, block.creep_factor))
    return judge(
        key="clamp-preload", title="preload left after creep under the washers", group="joints",
        part="clamp bolts", demand=left, capacity=LEAST_PRELOAD, at_least=True, unit="1",
        shown="%", method="bolt and plastic as springs in series (Shigley, joint stiffness)",
        source="creep factor from the material card; limit is common practice, no source",
        note="retighten after the first day and after the first flights",
    )  # fmt: skip


def _insert(task: Task, frame: FrameDesign, found: Assessment) -> tuple[Check]:
    """Seat and flight controller pulled off their inserts by the hardest acceleration."""
    insert = task.hardware.inserts[frame.seat.screw]
    material = task.materials[frame.seat.material]
    hardest = max(found.results, key=lambda result: float(np.abs(result.acceleration[2])))
    wall = (frame.seat.post_diameter - insert.hole_diameter) / 2
    held = _held(insert, material, wall)
    factor = task.brief.limits.joint_factor
    return (
        judge(
        key="insert-pull-out", title="pull-out of the heat-set inserts", group="joints",
        part="flight-controller seat", load_case=hardest.case.title, demand=seat_pull(task, found),
        capacity=held.load / factor, unit="N", shown="N", spread=held.spread, method=held.method,
        source=f"{held.source}thresholds: Kastner et al., JMMP 2023, 7(1), 42; factor from the "
        "brief",
        note=held.note,
    ),
    )  # fmt: skip


@dataclass(frozen=True)
class _Held:
    """What one insert holds, and how that is known."""

    load: float  # N
    spread: float
    method: str
    source: str
    note: str


def _held(insert: Insert, material: Working, wall: float) -> _Held:
    """As the bench pulled it out where it did; else the plastic around it sheared."""
    size = insert.outer_diameter, insert.length, material.shear_z
    table = float(insert_pull_out(*size, wall, 1.0))
    measured = next((p.load for p in material.pull_outs if p.thread == insert.size), None)
    if measured is None:
        method = "shear of the plastic cylinder round the knurl; posts print solid"
        return _Held(table, material.interlayer_spread, method, "", "")
    share = table / float(insert_pull_out(*size, INSERT_WALL, 1.0))
    return _Held(
        load=share * measured.value,
        spread=measured.spread,
        method="pull-out load measured in a solid block, less where the post's wall is thinner "
        "than pull-out asks for",
        source=f"{measured.source}; ",
        note=f"measured {measured.value:.0f} N ± {measured.spread:.0%} at the part's temperature "
        f"and moisture; the plastic cylinder of the tables gives {table / share:.0f} N",
    )
