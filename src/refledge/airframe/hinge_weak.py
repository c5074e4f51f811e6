"""Other lock bolts that a folding frame could have, by what they would bear."""

from refledge.airframe.hinge import shear_bolts_for
from refledge.airframe.hinge_uses import bolt_strength
from refledge.airframe.task import Task
from refledge.geometry.hinge import hinge_of, lock_screw
from refledge.model.parts import FrameDesign


def lock_steps(task: Task, frame: FrameDesign) -> tuple[float, ...]:
    """Strengths of the polyamide locks that fit, over that of the lock as sized, falling; its own
    first (1)."""
    return (1.0, *sorted(lock_sizes(task, frame), reverse=True))


def lock_sizes(task: Task, frame: FrameDesign) -> dict[float, str]:
    """Strength over that of the lock as sized (1) to the size of each polyamide lock that fits and
    is another."""
    hinge, own = hinge_of(frame), lock_screw(frame, task.hardware)
    now = own.stress_area * bolt_strength(own)[0]
    fitting = shear_bolts_for(task.brief, frame.clamp, frame.arm.bore, task.hardware)
    known = {size: task.hardware.shear_bolts[size] for size in fitting}
    return {
        bolt.stress_area * bolt.tensile / now: size
        for size, bolt in known.items()
        if (size, "polyamide") != (hinge.lock, hinge.kind)
    }


def lock_words(task: Task, frame: FrameDesign, scale: float) -> str:
    """Which bolt the lock is at ``scale`` of its strength (1)."""
    hinge = hinge_of(frame)
    size = lock_sizes(task, frame).get(scale, "")
    if not size:
        return f"{hinge.lock} of {hinge.kind}, as sized: no other that fits and flies spares more"
    return f"{size} of polyamide instead of {hinge.lock} of {hinge.kind}"
