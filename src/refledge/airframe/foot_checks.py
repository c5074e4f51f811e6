"""Check of the feet: what a hard landing presses on them."""

import numpy as np

from refledge.airframe.assessment import Assessment
from refledge.airframe.judge import judge
from refledge.airframe.task import Task
from refledge.geometry.features import part_features
from refledge.geometry.named import Plane, Rectangle
from refledge.model.checks import Check
from refledge.model.parts import FrameDesign


def foot_checks(task: Task, frame: FrameDesign, found: Assessment) -> tuple[Check, ...]:
    """Pressure of the hardest-loaded leg's end on its foot; nothing without feet.

    The level part of the rounded end carries all: the glue beside it is left out.
    """
    if frame.foot is None:
        return ()
    landings = [each for each in found.results if each.case.kind == "landing"]
    worst = max(landings, key=lambda each: float(np.abs(each.case.foot_force[:, 2]).max()))
    force = float(np.abs(worst.case.foot_force[:, 2]).max())
    material, factor = task.materials[frame.foot.material], task.brief.limits.landing_factor
    return (
        judge(
            key="foot-pressure", title="pressure of the leg's end on its foot", group="strength",
            part="foot", load_case=worst.case.title, demand=force / end_area(task, frame),
            capacity=material.strength_z / factor, unit="Pa", shown="MPa",
            spread=material.interlayer_spread,
            method="vertical force on the level part of the leg's end; glue left out",
            source="pull across the layers from the material card, which pressure outdoes; "
            f"factor {factor:g} from the brief",
        ),
    )  # fmt: skip


def end_area(task: Task, frame: FrameDesign) -> float:
    """Level part of a leg's end, m2."""
    end = part_features("leg", frame, task.hardware)["foot"]
    assert isinstance(end, Plane)
    assert isinstance(end.outline, Rectangle)
    return end.outline.length * end.outline.width
