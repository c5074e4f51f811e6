"""Check of access: every screw can be turned, every nut held, in the order of the build book."""

from refledge.airframe.bolting import grip_of_clamp, thread_end
from refledge.airframe.hinge import lock_thread
from refledge.airframe.judge import judge
from refledge.airframe.task import Task
from refledge.geometry.access import covered
from refledge.geometry.reaches import reaches
from refledge.model.checks import Check
from refledge.model.decked import on_deck
from refledge.model.layout import Layout
from refledge.model.parts import FrameDesign
from refledge.model.results import Assembly

TOOL_ACCESS = "tool-access"


def access_checks(
    task: Task, frame: FrameDesign, layout: Layout, assembly: Assembly
) -> tuple[Check]:
    """How many fasteners something covers, from the placed solids."""
    lock = lock_thread(frame, task.hardware) if frame.hinge else 0.0
    thread = longest_thread(task, frame)
    every = reaches(frame, layout, task.hardware, task.brief, thread, lock)
    found = covered(assembly, every)
    return (
        judge(
            key=TOOL_ACCESS, title="nuts and screw heads out of a tool's reach", group="fit",
            part="assembly", demand=float(sum(each.count for each in found)), capacity=0.5,
            unit="1", shown="1",
            method="space of washer, head or nut and of driver, socket or spanner against the "
            "solids that are built in by then",
            source="computed from the solids", note="; ".join(each.words for each in found),
            exact=True,
        ),
    )  # fmt: skip


def longest_thread(task: Task, frame: FrameDesign) -> float:
    """End of the longest clamp bolt beyond its nut, m: sold lengths leave some over."""
    screw = task.hardware.screws[frame.clamp.screw]
    plain, leg = grip_of_clamp(frame), frame.leg.flange_thickness
    grips = [plain, plain + leg]
    grips += [
        each.flange + grip
        for each in on_deck(frame)
        for grip in (plain, plain + leg)
        if grip == plain or (each.bolts == 4 and each.arm in frame.leg.arms)
    ]
    return max(thread_end(screw, grip, task.lengths) for grip in grips)
