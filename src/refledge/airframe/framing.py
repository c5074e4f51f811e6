"""From a chosen arm to a whole frame design, with its layout."""

from dataclasses import dataclass, replace
from math import ceil, cos

import numpy as np

from refledge.airframe.body import Body, body_for
from refledge.airframe.bosses import Hung, battery_hung, size_wall
from refledge.airframe.cover import sized_cover
from refledge.airframe.gear import foot_radius, least_flange
from refledge.airframe.guard import side_push, sized_guard
from refledge.airframe.hinge import folding
from refledge.airframe.holders import sized_pocket
from refledge.airframe.leg_lap import with_lap
from refledge.airframe.leg_root import flange_for, rest_of
from refledge.airframe.leg_shear import bearing_thickness
from refledge.airframe.legs import LegForce, deepest_strut, size_leg, whole_lines
from refledge.airframe.mast import sized_mast
from refledge.airframe.payload_line import sized_for_line
from refledge.airframe.rooting import edge
from refledge.airframe.skid import sized_skid
from refledge.airframe.task import Task
from refledge.airframe.tray import size_tray
from refledge.airframe.wires import clips_for
from refledge.airframe.working import MOTOR_RISE, printable
from refledge.flight.layout import lay_out, with_heights
from refledge.geometry.leg import strut_inner
from refledge.model.gear import LegDesign
from refledge.model.hung import lowest
from refledge.model.layout import Layout
from refledge.model.parts import ArmDesign, FrameDesign, GuardDesign, PlateDesign
from refledge.model.upper import CoverDesign, MastDesign, ReceiverHolderDesign
from refledge.printing.bed import turned_to_fit
from refledge.typed import Floats

PLATE_BORE = 12e-3
"""m; wires of all motors through the middle of the plates: common practice, no source."""
RIM = 8e-3
"""m; width of a ring plate's rim: our choice, about a clamp bolt's washer."""
BLOCK_WALL = 4e-3
"""m; plastic above and below a tube between the plates: our choice."""


@dataclass(frozen=True, eq=False)
class Setting:
    """What one arm width fixes: body, layout, arm length, legs."""

    body: Body
    layout: Layout
    arm_length: float
    split: float
    """Inner end of a printed arm to the middle of its lap, m; 0 for an arm in one piece."""


def setting_for(task: Task, width: float) -> Setting:
    """Body and layout for arms ``width`` wide (m)."""
    body = body_for(task.brief, task.angles, task.paired, width, task.hardware)
    hover_speed = task.hover.rotors[0].speed
    layout = lay_out(
        task.brief.layout,
        task.kind,
        task.brief.propeller.diameter,
        body.reach,
        torque_ratio=task.rotor.torque_ratio(hover_speed),
    )
    length = layout.motor_radius - body.clamp.root_radius + body.mount.length / 2
    return Setting(body, layout, length, split_place(task, body, length))


def split_place(task: Task, body: Body, length: float) -> float:
    """Where an arm longer than the bed is split: the middle of its free span, m; 0 if it fits."""
    printer = task.brief.printer
    corners = np.array([[0, 0, 0], [length, 0, 0], [length, body.arm_width, 0]])
    flat = np.vstack((corners, corners[0] + [0.0, body.arm_width, 0.0]))
    _, size = turned_to_fit(flat, printer.bed_length, printer.bed_width)
    if size[0] <= printer.bed_length and size[1] <= printer.bed_width:
        return 0.0
    return (body.root_length + length - body.mount.length) / 2


def sized_legs(task: Task, body: Body, material: str) -> tuple[Body, LegForce]:
    """The body with legs sized for a hard landing in ``material``."""
    brief = task.brief
    leg, force = size_leg(
        replace(body.leg, material=material),
        task.materials[material],
        task.landing_mass,
        brief.mission.landing_speed,
        brief.limits.landing_factor,
        brief.printer.extrusion_width,
    )
    leg = replace(
        leg, flange_thickness=_flange(task, replace(body, leg=leg), force.all_legs, material)
    )
    return replace(body, leg=leg), force


def sized_flanges(task: Task, body: Body, material: str, push: float) -> Body:
    """The body with the legs' flanges no thicker than ``push`` (N) on the leg that lands first
    asks, half of it on each where all land."""
    wanted = _flange(task, body, push / 2, material, bears=True)
    thick = min(body.leg.flange_thickness, wanted)
    return replace(body, leg=replace(body.leg, flange_thickness=thick))


def _flange(task: Task, body: Body, force: float, material: str, *, bears: bool = False) -> float:
    """Thickness that bending of the legs' flanges asks for with ``force`` (N) on each, m.

    bears: and the bearing of their bolts, for which no room is kept before landings are known.
    """
    screw, clamp, leg = task.hardware.screws[body.clamp.screw], body.clamp, body.leg
    reach = body.root_length - clamp.first - clamp.pitch_x
    rest = rest_of(leg, screw, reach, clamp.pitch_y)
    foot = strut_inner(screw) + leg.depth_top / 2 + leg.splay
    limits, plastic = task.brief.limits, task.materials[material]
    found = flange_for(leg, rest, foot, force, plastic, limits.landing_factor)
    pressed = bearing_thickness(screw, clamp.pitch_y, foot, force, plastic, limits.joint_factor)
    return max(least_flange(screw), found, pressed if bears else 0.0)


def sized_skids(task: Task, body: Body, material: str, push: float) -> Body:
    """The body with the bars of its skids sized for ``push`` (N) on one leg."""
    if body.skid is None:
        return body
    screws = task.hardware.screws
    reach = foot_radius(body.clamp, body.leg, edge(screws[body.clamp.screw]))
    skid = sized_skid(
        body.skid, reach * cos(body.skid.turn), screws[body.skid.screw], push,
        task.materials[material], task.brief.limits.landing_factor,
    )  # fmt: skip
    return replace(body, skid=skid)


def sized_tray(task: Task, body: Body, material: str, felt: tuple[float, float]) -> Body:
    """The body with its battery tray sized for accelerations ``felt`` (up, sideways; m/s2)."""
    brief = task.brief
    tray = size_tray(
        body.tray,
        task.materials[material],
        brief.battery.mass,
        felt,
        brief.limits.landing_factor,
        brief.printer.layer,
    )
    tray = sized_for_line(task, tray, task.materials[material])
    hole = task.hardware.screws[tray.screw].clearance_hole + brief.frame.hole_allowance
    loads = [battery_hung(tray, brief.battery, brief.battery.mass, felt)]
    if body.rail and not brief.payload.slung:
        loads.append(_railed(task, replace(body, tray=tray), felt))
    tray = size_wall(
        tray,
        task.materials[material],
        hole,
        tuple(loads),
        brief.limits.landing_factor,
        brief.printer.extrusion_width,
    )
    return replace(body, tray=tray)


def _railed(task: Task, body: Body, felt: tuple[float, float]) -> Hung:
    """A fixed payload on its rails; felt: up and sideways, m/s2."""
    payload = task.brief.payload
    up, side = (payload.mass * each for each in felt)
    below = payload.middle(lowest(body.tray, body.rail, task.brief.battery.height))
    return Hung(up=up, side=side, below=below, at=body.tray.shelf_pitch_x / 2)


def scaled_legs(task: Task, body: Body, scale: float) -> Body:
    """The body with deeper legs, in whole printed lines, as far as the room for them goes."""
    line = task.brief.printer.extrusion_width
    most = whole_lines(deepest_strut(body.leg.height), line)
    top, foot = (
        min(round(scale * depth / line), most) * line
        for depth in (body.leg.depth_top, body.leg.depth_foot)
    )
    return replace(body, leg=replace(body.leg, depth_top=top, depth_foot=foot))


def least_lap_half(bore: float, top: Floats) -> Floats:
    """Half depth of a lap, m: the wires' groove and what is left above it (docs/frame.md)."""
    least: Floats = bore + np.maximum(1.6e-3, top - bore / 4)
    return least


def frame_for(
    task: Task, body: Body, arm: ArmDesign, printed: str, thickness: float
) -> FrameDesign:
    """All parts around ``arm``; plates ``thickness`` thick; everything printed in ``printed``."""
    brief = task.brief
    tube = arm.family == "tube"
    frame = FrameDesign(
        arm=arm,
        n_arms=len(task.angles),
        clamp=body.clamp,
        plate=PlateDesign(
            outer_radius=body.outer_radius,
            thickness=thickness,
            centre_bore=PLATE_BORE,
            arm_pad_width=body.pad_width,
            core_radius=body.core_radius,
            material=printed,
            style=brief.frame.plates,
            rim=RIM if brief.frame.plates == "ring" else 0.0,
        ),
        mount=replace(body.mount, material=mount_material(task, printed)),
        leg=_leg(task, body),
        hinge=body.hinge,
        tray=replace(body.tray, material=printed),
        seat=replace(body.seat, material=printed),
        mast=_mast(task, body, printed),
        cover=_cover(task, body, printed),
        receiver_holder=_receiver_holder(task, body, printed),
        antenna_holder=replace(body.antenna_holder, material=printed)
        if body.antenna_holder
        else None,
        foot=replace(body.foot, material=printed) if body.foot else None,
        rail=replace(body.rail, material=printed) if body.rail else None,
        skid=replace(body.skid, material=printed) if body.skid else None,
        guard=_guard(task, body, printed),
        clip=clips_for(task, body, arm, printed),
        block_width=body.pad_width if tube else 0.0,
        block_height=arm.depth_root + 2 * BLOCK_WALL if tube else 0.0,
        hole_allowance=brief.frame.hole_allowance,
        fit_gap=brief.frame.fit_gap,
    )
    return folding(frame, task.angles)


def _mast(task: Task, body: Body, printed: str) -> MastDesign | None:
    if body.mast is None:
        return None
    screw = task.hardware.screws[body.clamp.screw]
    return sized_mast(body.mast, task.brief, task.materials[printed], body.clamp, screw)


def _leg(task: Task, body: Body) -> LegDesign:
    """As sized, in two parts where the bed asks for it."""
    screw = task.hardware.screws[task.brief.frame.rod_screw]
    hole = screw.clearance_hole + task.brief.frame.hole_allowance
    return with_lap(body.leg, task.brief, screw, hole)


def _cover(task: Task, body: Body, printed: str) -> CoverDesign | None:
    if body.cover is None:
        return None
    return sized_cover(body.cover, body.seat, task.brief, task.materials[printed])


def _receiver_holder(task: Task, body: Body, printed: str) -> ReceiverHolderDesign | None:
    if body.receiver_holder is None:
        return None
    screw = task.hardware.screws[body.clamp.screw]
    material = task.materials[printed]
    return sized_pocket(body.receiver_holder, task.brief, material, body.clamp, screw)


def _guard(task: Task, body: Body, printed: str) -> GuardDesign | None:
    if body.guard is None:
        return None
    brief = task.brief
    return sized_guard(
        replace(body.guard, material=printed), task.materials[printed],
        side_push(task.all_up_mass), brief.motor.height, brief.printer.extrusion_width,
        brief.limits.landing_factor,
    )  # fmt: skip


def mount_material(task: Task, printed: str) -> str:
    """The frame's material, or the most heat-proof printable one where motors would soften it."""

    def stands(key: str) -> bool:
        material = task.materials[key]
        hot = material.temperature + MOTOR_RISE + task.brief.limits.heat_reserve
        return hot <= material.softening

    if task.brief.frame.material != "choose" or stands(printed):
        return printed
    others = [
        key
        for key in task.brief.printer.filaments
        if not printable(task.cards[key], task.brief) and stands(key)
    ]
    return max(others, key=lambda key: task.materials[key].softening, default=printed)


def placed_layout(task: Task, layout: Layout, frame: FrameDesign) -> Layout:
    """The layout with propeller discs at the heights that arm and mount give."""
    tall = task.brief.motor.height
    return with_heights(layout, frame.seat_height + tall, frame.lower_seat_height - tall)


def whole_layers(thickness: float, layer: float) -> float:
    """``thickness`` rounded up to whole layers, m."""
    return ceil(round(thickness / layer, 6)) * layer
