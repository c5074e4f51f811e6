"""Checks of motor mounts: the motor on its screws, the plate between its bolts, their washers.

By hand, rotor for rotor: thrust lifts the motor, and its mass and the propeller's pull back against
every acceleration, sideways at their heights above the seat.
"""

from dataclasses import dataclass
from functools import partial
from math import pi

import numpy as np

from refledge.airframe.assessment import Assessment
from refledge.airframe.joints import clamp_preload
from refledge.airframe.judge import judge
from refledge.airframe.statics import CaseResult
from refledge.airframe.task import Task
from refledge.airframe.tray import SLOT_PEAK
from refledge.analysis.joints import bolt_tension, washer_pressure
from refledge.geometry.drill import clearance
from refledge.model.brief import Brief
from refledge.model.checks import Check
from refledge.model.holes import motor_holes
from refledge.model.layout import Layout
from refledge.model.parts import FrameDesign, MountDesign
from refledge.typed import Floats

PART = "motor mount"


@dataclass(frozen=True)
class Seated:
    """What one motor with its propeller does to its seat."""

    result: CaseResult
    off: float
    """N, away from the arm; negative presses the mount on it."""
    along: float
    """N m, tips it along the arm."""
    across: float
    """N m, tips it across the arm."""


def mount_checks(
    task: Task, frame: FrameDesign, layout: Layout, found: Assessment
) -> tuple[Check, ...]:
    """The hardest rotor and case for each."""
    every = [
        seated(task.brief, frame, layout, result, rotor)
        for result in found.results
        for rotor in range(layout.n_rotors)
    ]
    return (
        _screws(task, frame, every),
        _bending(task, frame, every),
        _washers(task, frame, every),
    )


def seated(
    brief: Brief, frame: FrameDesign, layout: Layout, result: CaseResult, rotor: int
) -> Seated:
    """Motor and propeller of one rotor in one load case."""
    motor, (x, y, _) = brief.motor, map(float, layout.positions[rotor])
    side = 1.0 if layout.upper[rotor] else -1.0
    base = frame.seat_height if side > 0 else frame.lower_seat_height
    force, moment = np.array([0.0, 0.0, result.case.rotor_thrust[rotor]]), np.zeros(3)
    for mass, height in (
        (motor.mass, motor.height / 2),
        (brief.propeller.mass, motor.height),
    ):
        up = np.array([0.0, 0.0, side * height])
        felt = _felt(result, np.array([x, y, base]) + up)
        force -= mass * felt
        moment -= mass * np.cross(up, felt)
    outwards = np.array([x, y]) / np.hypot(x, y)
    about_left = float(moment[:2] @ [-outwards[1], outwards[0]])
    return Seated(
        result, side * float(force[2]), abs(about_left), abs(float(moment[:2] @ outwards))
    )


def _felt(result: CaseResult, at: Floats) -> Floats:
    """Acceleration at a place of the body, gravity included, (3,), m/s2. at: (3,), m."""
    a = result.acceleration
    return np.asarray(a[:3] + np.cross(a[3:], at))


def hardest_screw(mount: MountDesign, one: Seated) -> float:
    """Tension of the hardest of a motor's screws, N: the seat tips about their middle."""
    x, y = np.array(motor_holes(mount.holes).positions).T
    tipped = np.abs(bolt_tension(x, one.along)) + np.abs(bolt_tension(y, one.across))
    return float(max(one.off, 0.0) / len(x) + tipped.max())


def bent(frame: FrameDesign, one: Seated) -> float:
    """Stress of the mount's plate between its bolts before and behind the motor, Pa.

    A beam held at both rows: a lift in its middle, F l / 4, and a moment there, of which either
    side takes half (Timoshenko, Strength of Materials); as wide as the plate beside its wire notch.
    """
    mount = frame.mount
    moment = max(one.off, 0.0) * mount.pitch_x / 4 + one.along / 2
    width = mount.width - min(frame.arm.bore, mount.width / 2)
    return SLOT_PEAK * 6.0 * moment / (width * mount.thickness**2)


def hardest_bolt(mount: MountDesign, one: Seated) -> float:
    """Pull on the hardest of the mount's bolts, N.

    Along the arm the rows hold the moment between them; across, the mount tips about its edge.
    """
    across = one.across / (mount.pitch_y / 2 + mount.width / 2)
    return max(one.off, 0.0) / 4 + one.along / mount.pitch_x / 2 + across / 2


def _screws(task: Task, frame: FrameDesign, every: list[Seated]) -> Check:
    mount = frame.mount
    worst = max(every, key=partial(hardest_screw, mount))
    screw = task.hardware.screws[motor_holes(mount.holes).screw]
    head = pi / 4 * (screw.head_diameter**2 - clearance(screw, frame) ** 2)
    pull = hardest_screw(mount, worst)
    material, factor = task.materials[mount.material], task.brief.limits.joint_factor
    return judge(
        key="motor-screws", title="pressure under the heads of the motors' screws",
        group="joints", part=PART, load_case=worst.result.case.title, demand=pull / head,
        capacity=material.strength_xy / factor, unit="Pa", shown="MPa",
        spread=material.strength_spread,
        method="thrust and inertia of motor and propeller on the group of screws",
        source=f"factor {factor:g} from the brief",
        note=f"hardest screw pulled by {pull:.0f} N",
    )  # fmt: skip


def _bending(task: Task, frame: FrameDesign, every: list[Seated]) -> Check:
    limits, material = task.brief.limits, task.materials[frame.mount.material]

    def factor(one: Seated) -> float:
        flies = one.result.case.kind == "flight"
        return limits.flight_factor if flies else limits.landing_factor

    worst = max(every, key=lambda one: factor(one) * bent(frame, one))
    return judge(
        key="mount-bending", title="bending of the mounts between their bolts", group="strength",
        part=PART, load_case=worst.result.case.title, demand=bent(frame, worst),
        capacity=material.strength_xy / factor(worst), unit="Pa", shown="MPa",
        spread=material.strength_spread,
        method="plate as a beam between its rows of bolts, lifted and tipped in the middle",
        source=f"material card at part temperature; factor {factor(worst):g} from the brief",
    )  # fmt: skip


def _washers(task: Task, frame: FrameDesign, every: list[Seated]) -> Check:
    mount = frame.mount
    worst = max(every, key=partial(hardest_bolt, mount))
    screw, factor = task.hardware.screws[mount.screw], task.brief.limits.joint_factor
    pull = hardest_bolt(mount, worst)
    pressed = pull + clamp_preload(frame, task.materials, task.hardware)
    material = task.materials[mount.material]
    return judge(
        key="mount-washer", title="pressure under the washers of the mounts' bolts",
        group="joints", part=PART, load_case=worst.result.case.title,
        demand=float(washer_pressure(pressed, screw.washer_diameter, screw.clearance_hole)),
        capacity=material.strength_xy / factor, unit="Pa", shown="MPa",
        spread=material.strength_spread,
        method="thrust and inertia of motor and propeller on the four bolts, all added to the "
        "preload",
        source=f"factor {factor:g} from the brief", note=f"hardest bolt pulled by {pull:.0f} N",
    )  # fmt: skip
