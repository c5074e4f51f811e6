"""From a chosen arm to a whole frame design, with its layout."""

from dataclasses import dataclass, replace
from math import ceil

from refledge.airframe.body import Body, body_for
from refledge.airframe.legs import LegForce, size_leg
from refledge.airframe.task import Task
from refledge.airframe.working import MOTOR_RISE, printable
from refledge.flight.layout import lay_out, with_heights
from refledge.model.layout import Layout
from refledge.model.parts import ArmDesign, FrameDesign, PlateDesign

PLATE_BORE = 12e-3
"""m; wires of all motors through the middle of the plates: common practice, no source."""
BLOCK_WALL = 4e-3
"""m; plastic above and below a tube between the plates: our choice."""


@dataclass(frozen=True, eq=False)
class Setting:
    """What one arm width fixes: body, layout, arm length, legs."""

    body: Body
    layout: Layout
    arm_length: float


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
    return Setting(body, layout, length)


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
    return replace(body, leg=leg), force


def scaled_legs(task: Task, body: Body, scale: float) -> Body:
    """The body with deeper legs, in whole printed lines."""
    line = task.brief.printer.extrusion_width
    top, foot = (
        round(scale * depth / line) * line for depth in (body.leg.depth_top, body.leg.depth_foot)
    )
    return replace(body, leg=replace(body.leg, depth_top=top, depth_foot=foot))


def frame_for(
    task: Task, body: Body, arm: ArmDesign, printed: str, thickness: float
) -> FrameDesign:
    """All parts around ``arm``; plates ``thickness`` thick; everything printed in ``printed``."""
    brief = task.brief
    tube = arm.family == "tube"
    return FrameDesign(
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
        ),
        mount=replace(body.mount, material=mount_material(task, printed)),
        leg=body.leg,
        tray=replace(body.tray, material=printed),
        seat=replace(body.seat, material=printed),
        block_width=body.pad_width if tube else 0.0,
        block_height=arm.depth_root + 2 * BLOCK_WALL if tube else 0.0,
        hole_allowance=brief.frame.hole_allowance,
        fit_gap=brief.frame.fit_gap,
    )


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
