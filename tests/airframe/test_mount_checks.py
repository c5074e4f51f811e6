"""Motor mounts: what a motor does to its seat, its screws, the plate and the bolts, by hand."""

from dataclasses import replace
from math import pi, sqrt

import numpy as np
import pytest

from refledge.airframe.joints import clamp_preload
from refledge.airframe.mount_checks import (
    Seated,
    bent,
    hardest_bolt,
    hardest_screw,
    mount_checks,
    seated,
)
from refledge.airframe.sizing import Sized
from refledge.airframe.statics import CaseResult
from refledge.airframe.task import Task
from refledge.airframe.tray import SLOT_PEAK
from refledge.model.checks import Verdict


def still(sized: Sized, **changes: object) -> CaseResult:
    """A case with no thrust and no acceleration, but for ``changes``."""
    one = sized.assessment.results[0]
    none = np.zeros_like(one.case.rotor_thrust)
    thrust = changes.pop("thrust", none)
    moved = {"acceleration": np.zeros(6)} | changes
    return replace(one, case=replace(one.case, rotor_thrust=thrust), **moved)


def test_thrust_lifts_an_upper_motor_and_presses_a_lower_one(task: Task, sized: Sized) -> None:
    layout = sized.layout
    thrust = np.arange(1.0, 7.0)
    up = seated(task.brief, sized.frame, layout, still(sized, thrust=thrust), 3)
    assert (up.off, up.along, up.across) == (4.0, 0.0, 0.0)
    below = replace(layout, upper=(False,) * 6)
    down = seated(task.brief, sized.frame, below, still(sized, thrust=thrust), 3)
    assert down.off == -4.0


def test_inertia_presses_and_tips_the_motor(task: Task, sized: Sized) -> None:
    """Sideways at half the motor's height, and at its top for the propeller."""
    motor, propeller = task.brief.motor, task.brief.propeller
    x, y = sized.layout.positions[0][:2] / np.hypot(*sized.layout.positions[0][:2])
    felt = np.array([20.0 * x - 5.0 * y, 20.0 * y + 5.0 * x, 100.0, 0.0, 0.0, 0.0])
    one = seated(task.brief, sized.frame, sized.layout, still(sized, acceleration=felt), 0)
    assert one.off == pytest.approx(-100.0 * (motor.mass + propeller.mass))
    lever = motor.height * (motor.mass / 2 + propeller.mass)
    assert one.along == pytest.approx(20.0 * lever)
    assert one.across == pytest.approx(5.0 * lever)
    turning = still(sized, acceleration=np.array([0.0, 0.0, 0.0, 0.0, 0.0, 50.0]))
    far = seated(task.brief, sized.frame, sized.layout, turning, 0)
    assert far.across == pytest.approx(50.0 * sized.layout.motor_radius * lever, rel=1e-3)


def test_screws_plate_and_bolts_by_statics(sized: Sized) -> None:
    """M3 19x25: two screws 9.5 mm and two 12.5 mm from the middle, on both diagonals."""
    frame, mount = sized.frame, sized.frame.mount
    one = Seated(sized.assessment.results[0], off=20.0, along=0.3, across=0.2)
    squares = 9.5e-3**2 + 12.5e-3**2
    tipped = (0.3 + 0.2) * 12.5e-3 / sqrt(2) / squares
    assert hardest_screw(mount, one) == pytest.approx(20.0 / 4 + tipped)
    pressed = replace(one, off=-20.0)
    assert hardest_screw(mount, pressed) == pytest.approx(hardest_screw(mount, one) - 5.0)
    width = mount.width - frame.arm.bore
    moment = 20.0 * mount.pitch_x / 4 + 0.15
    assert bent(frame, one) == pytest.approx(SLOT_PEAK * 6 * moment / (width * mount.thickness**2))
    edge = mount.pitch_y / 2 + mount.width / 2
    assert hardest_bolt(mount, one) == pytest.approx(5.0 + 0.3 / mount.pitch_x / 2 + 0.2 / edge / 2)


def test_checks_take_the_hardest_rotor_of_all_cases(task: Task, sized: Sized) -> None:
    frame, layout, found = sized.frame, sized.layout, sized.assessment
    checks = {c.key: c for c in mount_checks(task, frame, layout, found)}
    assert set(checks) == {"motor-screws", "mount-bending", "mount-washer"}
    every = [
        seated(task.brief, frame, layout, result, rotor)
        for result in found.results
        for rotor in range(6)
    ]
    screw = task.hardware.screws["M3"]
    head = pi / 4 * (screw.head_diameter**2 - (screw.clearance_hole + frame.hole_allowance) ** 2)
    pull = max(hardest_screw(frame.mount, each) for each in every)
    assert checks["motor-screws"].demand == pytest.approx(pull / head)
    ring = pi / 4 * (screw.washer_diameter**2 - screw.clearance_hole**2)
    pull = max(hardest_bolt(frame.mount, each) for each in every)
    pull += clamp_preload(frame, task.materials, task.hardware)
    assert checks["mount-washer"].demand == pytest.approx(pull / ring)
    bending = checks["mount-bending"]
    margins = [
        task.materials["ASA"].strength_xy / factor / max(bent(frame, each), 1e-9) - 1
        for each in every
        for factor in (
            task.brief.limits.flight_factor
            if each.result.case.kind == "flight"
            else task.brief.limits.landing_factor,
        )
    ]
    assert bending.margin == pytest.approx(min(margins))


def test_absurd_thrust_fails_them(task: Task, sized: Sized) -> None:
    strong = still(sized, thrust=np.full(6, 1e5))
    found = replace(sized.assessment, results=(strong,))
    checks = mount_checks(task, sized.frame, sized.layout, found)
    assert [check.verdict for check in checks] == [Verdict.FAILS] * 3
