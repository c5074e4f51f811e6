"""Checks of arms of tube: friction alone holds a tube at either end."""

import numpy as np

from refledge.airframe.assessment import Assessment
from refledge.airframe.joints import LEAST_PRELOAD, clamp_preload
from refledge.airframe.judge import judge
from refledge.airframe.statics import CaseResult
from refledge.airframe.task import Task
from refledge.analysis.joints import tube_slip
from refledge.model.checks import Check
from refledge.model.parts import FrameDesign

FRICTION = 0.2
"""Printed plastic on tube or plastic, dry: from memory, typical low value."""
ROOT, TIP = 1, 2
"""Of an arm's beams: from the outer clamp bolts inwards; from the span to the motor axis."""
ALONG, ABOUT = 0, 3
"""Of the six forces at a beam's end: along it, and the moment about it."""
_PLACES = (
    ("", ROOT, "in its clamp", "root blocks"),
    ("-end", TIP, "at the motor", "motor mounts and caps"),
)
_WAYS = (
    ("tube-slip", ABOUT, "turning", "N*m"),
    ("tube-slide", ALONG, "sliding", "N"),
)


def tube_checks(task: Task, frame: FrameDesign, found: Assessment) -> tuple[Check, ...]:
    """Turning and sliding at both ends of the tubes, each in its worst case; nothing without tubes.

    Four bolts press two halves on the tube at either end. Turning and sliding are judged apart.
    """
    if frame.arm.family != "tube":
        return ()
    preload = clamp_preload(frame, task.materials, task.hardware)
    slide, turn = tube_slip(4 * preload * LEAST_PRELOAD, FRICTION, frame.arm.width)
    held, factor = {ALONG: float(slide), ABOUT: float(turn)}, task.brief.limits.joint_factor
    made = []
    for tail, beam, where, part in _PLACES:
        for key, way, what, unit in _WAYS:
            force, result = _worst(found, beam, way)
            made.append(
                judge(
                    key=key + tail, title=f"{what} of the tube {where}", group="joints", part=part,
                    load_case=result.case.title, demand=force, capacity=held[way] / factor,
                    unit=unit, shown=unit,
                    method="friction of two half blocks on a line each, preload after creep",
                    source=f"friction {FRICTION} from memory; factor {factor:g} from the brief",
                )
            )  # fmt: skip
    return tuple(made)


def _worst(found: Assessment, beam: int, way: int) -> tuple[float, CaseResult]:
    """Greatest force of any arm's beam at its inner end, N or N m, and the case it acts in."""
    structure = found.structure
    rows = [structure.beams_of("tube", index)[beam] for index in range(len(structure.tips))]
    forces = [float(np.abs(each.forces[rows, 0, way]).max()) for each in found.results]
    hardest = int(np.argmax(forces))
    return forces[hardest], found.results[hardest]
