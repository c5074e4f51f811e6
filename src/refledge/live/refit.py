"""The frame at hand under a changed brief: what items and layout fix follows, the rest stays."""

from dataclasses import dataclass, replace

from refledge.airframe.body import Body, least_arm_width
from refledge.airframe.framing import (
    Setting,
    frame_for,
    placed_layout,
    setting_for,
    sized_skids,
    whole_layers,
)
from refledge.airframe.grown_pool import check_fits
from refledge.airframe.hinge import with_lock
from refledge.airframe.lap_sizing import lap_length
from refledge.airframe.pooling import settings_of
from refledge.airframe.rail import resized, sizes_of
from refledge.airframe.task import Task
from refledge.errors import GeometryError
from refledge.geometry.hinge import hinge_of
from refledge.live.dimensions import ByHand, check_dimensions, with_dimensions
from refledge.model.gear import SkidDesign
from refledge.model.hinge import HingeDesign
from refledge.model.hung import RailDesign, TrayDesign
from refledge.model.layout import Layout
from refledge.model.parts import ArmDesign, FrameDesign

SAME = 1e-12
"""m; lengths nearer than this are the same but for rounding."""


@dataclass(frozen=True, eq=False)
class Refitted:
    """A frame that fits the task, and what it was drawn from."""

    frame: FrameDesign
    layout: Layout
    setting: Setting


def refit(
    task: Task, frame: FrameDesign, by_hand: ByHand, push: float | None = None, lock: str = ""
) -> Refitted:
    """``frame`` made to fit ``task``: same sections, walls, plates and legs.

    Lengths, bolt patterns, mounts and places follow from the brief as they do in sizing; then the
    dimensions set by hand are put in. push: on one leg, N, for which the bars of skids are sized
    anew; without it they stay. lock: bolt of folding arms; without it that of the frame, or the
    least where the task asks for another kind. Raises GeometryError where another kind of frame is
    asked for, InputError where a dimension is out of bounds.
    """
    _same_kind(task, frame)
    printed = _printed(task, frame)
    setting = _setting(task, frame, by_hand.get("arm.width"))
    rail, tray = _rail(task, setting.body, frame)
    leg = setting.body.leg
    body = replace(
        setting.body,
        leg=replace(
            leg,
            depth_top=frame.leg.depth_top,
            depth_foot=frame.leg.depth_foot,
            flange_thickness=max(leg.flange_thickness, frame.leg.flange_thickness),
            material=printed,
        ),
        tray=replace(tray, thickness=frame.tray.thickness, wall=frame.tray.wall),
        rail=rail,
        skid=_skid(setting.body.skid, frame.skid),
        hinge=_hinge(task, setting.body, frame, lock),
    )
    if push is not None:
        body = sized_skids(task, body, printed, push)
    arm = _arm(task, frame, setting, printed)
    thickness = whole_layers(frame.plate.thickness, task.brief.printer.layer)
    fitted = frame_for(task, body, arm, printed, thickness)
    made = with_dimensions(fitted, by_hand)
    check_dimensions(task, made, by_hand)
    return Refitted(made, placed_layout(task, setting.layout, made), setting)


def _skid(new: SkidDesign | None, old: SkidDesign | None) -> SkidDesign | None:
    """Skids as the task asks for them, their bar as it was."""
    if new is None or old is None:
        return new
    return replace(new, width=old.width, height=old.height, sleeve=old.sleeve)


def _hinge(task: Task, body: Body, old: FrameDesign, lock: str) -> HingeDesign | None:
    """The hinge as the task asks for it with ``lock``, or its lock bolt as it was where it is of
    the same kind."""
    new, had = body.hinge, old.hinge
    if new is None or not (lock or same_lock_kind(new, had)):
        return new
    return with_lock(task.brief, new, lock or hinge_of(old).lock, task.hardware)


def same_lock_kind(new: HingeDesign | None, had: HingeDesign | None) -> bool:
    """True where the lock that a frame had is of the kind that is asked for now."""
    return new is None or (had is not None and new.kind == had.kind)


def _rail(task: Task, body: Body, old: FrameDesign) -> tuple[RailDesign | None, TrayDesign]:
    """Payload rails and tray where the task puts them, as thick as they were."""
    if body.rail is None or old.rail is None:
        return body.rail, body.tray
    return resized(task.brief, body.rail, body.tray, sizes_of(old.rail, old.tray), task.hardware)


def _same_kind(task: Task, frame: FrameDesign) -> None:
    """Raise GeometryError where the brief asks for another family of arms."""
    wish, family = task.brief.frame.arm_family, frame.arm.family
    if task.grown != frame.arm.grown:
        raise GeometryError("the brief now names other arms; next: size the frame again")
    if wish not in ("choose", family):
        raise GeometryError(
            f"the frame at hand has {family} arms and the brief asks for {wish}; "
            "next: size the frame again"
        )


def _printed(task: Task, frame: FrameDesign) -> str:
    """Material of the printed parts."""
    wish = task.brief.frame.material
    return frame.plate.material if wish == "choose" else wish


def _setting(task: Task, frame: FrameDesign, by_hand: float | None) -> Setting:
    if frame.arm.family == "tube":
        return settings_of(task, "tube")[0]
    if frame.arm.grown is not None:
        setting = settings_of(task, "grown")[0]
        check_fits(task.brief, frame.arm.grown, setting.body, setting.arm_length)
        return setting
    screw = task.hardware.screws[task.brief.frame.rod_screw]
    width = frame.arm.width if by_hand is None else by_hand
    return setting_for(task, max(width, least_arm_width(screw)))


def _arm(task: Task, frame: FrameDesign, setting: Setting, printed: str) -> ArmDesign:
    """The same section over the length that the layout now asks for."""
    old, body = frame.arm, setting.body
    tube = old.family == "tube"
    screw = task.brief.frame.rod_screw
    split = 0.0 if tube else setting.split
    new = replace(
        old,
        length=setting.arm_length,
        width=old.width if tube else body.arm_width,
        root_length=body.root_length,
        tenon_length=body.mount.length,
        material=task.brief.frame.tube if tube else printed,
        split=split,
        lap=_lap(task, old) if split else 0.0,
        lap_screw=screw if split else "",
    )
    return replace(new, pitch=_pitch(old, new))


def _lap(task: Task, old: ArmDesign) -> float:
    """As long as it was, where its bolts are the same, m; the shortest where it had none."""
    screw = task.brief.frame.rod_screw
    same = old.split > 0.0 and old.lap_screw == screw
    return old.lap if same else lap_length(task.hardware.screws[screw])


def _pitch(old: ArmDesign, new: ArmDesign) -> float:
    """As many ribs or panels as before, spread over the new span, m."""
    if not old.pitch or abs(new.span - old.span) < SAME:
        return old.pitch
    return new.span / max(1, round(old.span / old.pitch))
