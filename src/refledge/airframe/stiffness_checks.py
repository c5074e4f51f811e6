"""Checks of stiffness: motor tilt, tip deflection, creep in hover."""

from refledge.airframe.assessment import Assessment
from refledge.airframe.frame_uses import hover_tilt
from refledge.airframe.judge import judge
from refledge.airframe.task import Task
from refledge.model.checks import Check
from refledge.model.layout import Layout
from refledge.model.parts import FrameDesign

BEAM = "beam frame of the whole airframe, inertia relief"


def stiffness_checks(
    task: Task, frame: FrameDesign, layout: Layout, found: Assessment
) -> tuple[Check, ...]:
    """Tilt and deflection at full thrust, tilt after creep through the hover."""
    limits = task.brief.limits
    arm = task.materials[frame.arm.material]
    full = found.result("full-thrust")
    reach = layout.motor_radius - frame.clamp.root_radius
    source = "limit from the brief; modulus from the material card"
    return (
        judge(
            key="motor-tilt", title="motor tilt at full thrust", group="stiffness",
            part="arms and plates", load_case=full.case.title,
            demand=float(full.motor_tilt.max()), capacity=limits.motor_tilt,
            unit="rad", shown="deg", method=BEAM, source=source, spread=arm.stiffness_spread,
            note="turn of the motor's axis against the flight controller",
        ),
        judge(
            key="tip-deflection", title="tip deflection at full thrust", group="stiffness",
            part="arms", load_case=full.case.title,
            demand=float(full.tip_deflection.max()), capacity=limits.tip_deflection * reach,
            unit="m", shown="mm", method=BEAM, source=source, spread=arm.stiffness_spread,
            note="at the motor axis, against the clamp",
        ),
        judge(
            key="hover-tilt", title="motor tilt after hovering the whole flight",
            group="stiffness", part="arms and plates", load_case="hover",
            demand=hover_tilt(task, arm, found), capacity=limits.motor_tilt,
            unit="rad", shown="deg", method=BEAM + "; creep modulus by a power law of time",
            source=source, spread=arm.stiffness_spread,
        ),
    )  # fmt: skip
