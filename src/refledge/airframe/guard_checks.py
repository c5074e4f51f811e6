"""Checks of the propeller guards: a push from the side, and what gap to the blades it leaves."""

from functools import partial

from refledge.airframe.guard import CLEAR, LEFT, guard_stress, side_push
from refledge.airframe.judge import judge
from refledge.airframe.task import Task
from refledge.model.checks import Check
from refledge.model.parts import FrameDesign


def guard_checks(task: Task, frame: FrameDesign) -> tuple[Check, ...]:
    """Strength and gap under a push towards the motor anywhere on the rim; none without guards."""
    guard = frame.guard
    if guard is None:
        return ()
    material, factor = task.materials[guard.material], task.brief.limits.landing_factor
    push = side_push(task.all_up_mass)
    found = guard_stress(guard, material.E, material.G, push, task.brief.motor.height)
    ask = partial(
        judge, part="propeller guards", load_case=f"pushed from the side with {push:.0f} N",
        method="rim and struts as a frame of beams held at the motor, pushed at each place along "
        "the rim in turn",
    )  # fmt: skip
    return (
        ask(
            key="guard-strength", title="strength in the plane of the layers", group="strength",
            demand=found.stress, capacity=material.strength_xy / factor, unit="Pa", shown="MPa",
            spread=material.strength_spread,
            source=f"material card at part temperature; factor {factor:g} from the brief; push of "
            "half the aircraft's weight, our choice",
        ),
        ask(
            key="guard-gap", title="rim to the blades' tips under a push", group="fit",
            demand=CLEAR - found.inward, capacity=LEFT, unit="m", shown="mm", at_least=True,
            spread=material.stiffness_spread, source="gaps are our choice",
        ),
    )  # fmt: skip
