"""Check of how safely it stands on the ground."""

from refledge.airframe.assessment import Assessment
from refledge.airframe.gear import MOST_LEAN
from refledge.airframe.judge import judge
from refledge.airframe.stance import stance, tipping_angle, tipping_speed
from refledge.airframe.task import Task
from refledge.model.checks import Check
from refledge.model.parts import FrameDesign
from refledge.units import show


def stance_check(task: Task, frame: FrameDesign, found: Assessment) -> Check:
    """Slope on which it tips over, about the nearest edge between two points on the ground."""
    aside, height = stance(frame, found.structure, found.lumps, task.hardware)
    speed = show(tipping_speed(aside, height), "m/s", "m/s", 2)
    return judge(
        key="tip-over", title="slope on which it tips over", group="fit",
        part="skids" if frame.skid else "legs",
        demand=tipping_angle(aside, height), capacity=task.brief.limits.tip_angle, unit="rad",
        shown="deg", at_least=True,
        method="centre of mass, without a slung payload, over the nearest side of the polygon on "
        "the ground",
        source="computed from masses and places; limit from the brief",
        note=f"its feet catch and it goes over when it drifts sideways at {speed} or more"
        + _leaning(frame),
    )  # fmt: skip


def _leaning(frame: FrameDesign) -> str:
    """What is left to do where the legs lean as far as they may."""
    if frame.leg.splay < MOST_LEAN * frame.leg.height - 1e-6:
        return ""
    return (
        f"; its legs lean out by {MOST_LEAN:.0%} of their height, which is the most: "
        "shorter legs (frame.payload_room, frame.ground_gap), more of them (frame.legs) or a "
        "gentler slope (limits.tip_angle) is what is left"
    )
