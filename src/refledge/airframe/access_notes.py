"""What a tool or a nut cannot reach, said where the builder reads it."""

from refledge.airframe.task import Task
from refledge.geometry.access import blocked
from refledge.geometry.reaches import reaches
from refledge.model.layout import Layout
from refledge.model.parts import FrameDesign
from refledge.model.results import Assembly


def access_notes(
    task: Task, frame: FrameDesign, layout: Layout, assembly: Assembly
) -> tuple[str, ...]:
    """One caution for each kind of fastener that something covers, from the placed solids.

    Not a check yet: the remedy is the builder's file or drill, and the verdict is of the airframe
    once put together.
    """
    return tuple(
        f"No room for nut or tool: {words}. Hold the part in place, mark the covered fasteners "
        "and open it over each before you bolt up; keep clear of its own screws and straps."
        for words in blocked(assembly, reaches(frame, layout, task.hardware, task.brief))
    )
