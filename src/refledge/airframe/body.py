"""Dimensions that follow from the items, the screws and the arm's width alone.

Everything here is geometry: what must fit beside what. Strength and stiffness size the rest.
"""

from dataclasses import dataclass, replace
from math import hypot, pi, sin, sqrt, tan

from refledge.airframe.clearance import least_angle, rectangle, rectangles_meet
from refledge.airframe.gear import (
    foot_for,
    foot_radius,
    leg_height,
    legs_for,
    skids_for,
    sole_under,
    splay_of,
)
from refledge.airframe.guard import guard_for
from refledge.airframe.legs import deepest_strut
from refledge.airframe.mast import mast_for
from refledge.airframe.rail import rail_depth, rail_for, with_shelves
from refledge.airframe.seat import seat_for
from refledge.airframe.standing import bosses_clear, spread_out, standing
from refledge.airframe.tray import THICKEST
from refledge.errors import GeometryError
from refledge.inputs.fasteners import screw_lengths
from refledge.model.brief import Brief
from refledge.model.fasteners import Hardware, Screw
from refledge.model.gear import FootDesign, LegDesign, SkidDesign
from refledge.model.hung import STRAP, RailDesign, TrayDesign
from refledge.model.parts import ClampDesign, GuardDesign, MountDesign
from refledge.model.upper import MastDesign, SeatDesign

STAND_ROOM = 20e-3
"""m; tray off the plate, before it is known, for the room that tall legs take: a careful guess."""
WIRE_BORE = 6e-3
"""m; three motor wires of 18 gauge side by side: common practice, no source."""
ARM_GAP = 1e-3
"""m; between neighbouring arms at their inner ends."""
TRAY_THICKNESS = 3.2e-3
"""m; the thinnest, which takes the countersunk heads of its screws: our choice."""
WASHER_GAP = 1e-3
"""m; between two washers side by side: our choice."""
DRIVER_CLEARANCE = 1e-3
"""m; between a motor can and the screw heads beside it."""


@dataclass(frozen=True, kw_only=True)
class Body:
    """What the items and screws fix, for one arm width."""

    arm_width: float
    clamp: ClampDesign
    root_length: float
    mount: MountDesign
    tray: TrayDesign
    seat: SeatDesign
    guard: GuardDesign | None
    """With rim and struts still to be sized."""
    leg: LegDesign
    """With its depths still to be sized."""
    mast: MastDesign | None
    """With its depth still to be sized; None where the brief asks for none."""
    foot: FootDesign | None
    rail: RailDesign | None
    skid: SkidDesign | None
    """With its bar still to be sized."""
    pad_width: float
    core_radius: float
    outer_radius: float
    """Of the plates, m."""
    reach: float
    """Greatest radius of anything at propeller height, m."""


def edge(screw: Screw) -> float:
    """Least distance from a hole's centre to a free edge, m: half a washer and 1 mm of plastic."""
    return screw.washer_diameter / 2 + 1e-3


def least_arm_width(screw: Screw) -> float:
    """Width that two clamp screws need with the wire bore, or their washers, between them, m."""
    holes = screw.clearance_hole + WIRE_BORE + 2 * 1.6e-3
    return 2 * edge(screw) + max(holes, screw.washer_diameter + WASHER_GAP)


def body_for(
    brief: Brief, angles: tuple[float, ...], paired: bool, arm_width: float, hardware: Hardware
) -> Body:
    """All fixed dimensions for arms ``arm_width`` wide at ``angles`` (rad).

    Raises GeometryError where the parts cannot be placed without clashing.
    """
    screw = hardware.screws[brief.frame.rod_screw]
    root_length = 2 * edge(screw) + 8 * screw.diameter
    seat = seat_for(brief, hardware)
    tray = _tray(brief, hardware)
    rail = rail_for(brief, tray, hardware) if brief.frame.payload_rail == "rails" else None
    tray = with_shelves(tray, rail, hardware) if rail else tray
    radius = _root_radius(angles, arm_width, seat, tray, hardware, masted=bool(brief.frame.mast))
    tall = leg_height(brief, STAND_ROOM, rail.height + STRAP if rail else 0.0)
    for _ in range(40):
        clamp = _clamp(screw, radius, arm_width)
        leg = legs_for(brief, angles, clamp, screw, edge(screw))
        placed = _placed(tray, replace(leg, height=tall), angles, clamp, hardware)
        if placed is not None:
            break
        radius += 2e-3
    else:
        raise GeometryError(
            "battery tray and landing legs cannot be placed side by side, or the tray covers nuts; "
            "next: fewer legs (frame.legs) or a shorter battery"
        )
    tray = placed
    under, rails = foot_for(brief), rail_depth(brief, tray, rail, hardware)
    height = leg_height(brief, tray.stand, rails) - sole_under(brief, under)
    leg = replace(
        leg, height=height, splay=splay_of(brief, angles, paired, clamp, leg.arms, height)
    )
    pad = max(arm_width, clamp.pitch_y + 2 * edge(screw))
    round_tray = max(edge(screw), tray.boss / 2)
    core = max(radius + 2e-3, _corner(tray.pitch_x, tray.pitch_y) + round_tray)
    outer = hypot(radius + root_length, pad / 2)
    foot = foot_radius(clamp, leg, edge(screw))
    mount = mount_for(brief, arm_width, paired, hardware)
    return Body(
        arm_width=arm_width,
        clamp=clamp,
        root_length=root_length,
        mount=mount,
        guard=_guard(brief, angles, paired, mount),
        tray=tray,
        seat=seat,
        leg=leg,
        mast=mast_for(brief, angles, leg, pad) if brief.frame.mast else None,
        foot=under,
        rail=rail,
        skid=skids_for(brief, angles, foot, hardware),
        pad_width=pad,
        core_radius=core,
        outer_radius=outer,
        reach=max(outer, foot) if paired else outer,
    )


def mount_for(brief: Brief, arm_width: float, paired: bool, hardware: Hardware) -> MountDesign:
    """Mount plate for the brief's motor on an arm ``arm_width`` wide."""
    screw = hardware.screws[brief.frame.rod_screw]
    motor = brief.motor
    motor_screw = hardware.screws[motor.holes.split()[0]]
    head = motor_screw.head_height + 0.2e-3
    pitch_x = motor.diameter + max(screw.head_diameter, screw.washer_diameter)
    pitch_x += 2 * DRIVER_CLEARANCE
    return MountDesign(
        per_arm=2 if paired else 1,
        length=pitch_x + 2 * edge(screw),
        width=arm_width,
        seat_radius=motor.diameter / 2 + 1.5e-3,
        thickness=head + motor_screw.diameter + 0.4e-3,
        holes=motor.holes,
        head_depth=head,
        shaft_bore=motor.shaft_clearance,
        screw=screw.size,
        pitch_x=pitch_x,
        pitch_y=arm_width - 2 * edge(screw),
        material="",
    )


def _clamp(screw: Screw, radius: float, arm_width: float) -> ClampDesign:
    return ClampDesign(
        screw=screw.size,
        root_radius=radius,
        first=edge(screw),
        pitch_x=8 * screw.diameter,
        pitch_y=arm_width - 2 * edge(screw),
    )


def _corner(pitch_x: float, pitch_y: float) -> float:
    return hypot(pitch_x, pitch_y) / 2


def _root_radius(
    angles: tuple[float, ...],
    arm_width: float,
    seat: SeatDesign,
    tray: TrayDesign,
    hardware: Hardware,
    *,
    masted: bool,
) -> float:
    """Least radius of the arms' inner ends: clear of each other and of the screws inside, m.

    masted: a mast's flange lies over an arm's end, and the seat's posts stay clear of it.
    """
    between = least_angle(angles)
    half = between / 2
    beside = (arm_width / tan(half) + ARM_GAP / sin(half)) / 2 if between < pi else 0.0
    seat_screw, tray_screw = hardware.screws[seat.screw], hardware.screws[tray.screw]
    under = max(seat_screw.washer_diameter, 2 * seat_screw.nut_width / sqrt(3))
    post = seat.foot_pitch * sqrt(0.5) + seat.post_diameter / 2 if masted else 0.0
    inside = max(
        post,
        seat.foot_pitch * sqrt(0.5) + (under if seat.rise else seat_screw.head_diameter) / 2,
        _corner(tray.pitch_x, tray.pitch_y) + tray_screw.nut_width / 2,
    )
    return max(beside, inside + ARM_GAP)


def _tray(brief: Brief, hardware: Hardware) -> TrayDesign:
    battery = brief.battery
    screw = hardware.screws["M3"]
    pitch = 30e-3
    inner = max(battery.width + 1e-3, pitch + 2 * edge(screw))
    return TrayDesign(
        length=max(battery.length, pitch + 2 * edge(screw) + 40e-3),
        width=inner,
        thickness=TRAY_THICKNESS,
        yaw=0.0,
        fence=min(10e-3, battery.height / 3),
        strap_width=20e-3,
        screw="M3",
        pitch_x=pitch,
        pitch_y=pitch,
        material="",
    )


def _guard(
    brief: Brief, angles: tuple[float, ...], paired: bool, mount: MountDesign
) -> GuardDesign | None:
    """Guards as the brief asks for them."""
    if brief.frame.guards == "none":
        return None
    return guard_for(brief, angles, paired, mount, brief.printer.extrusion_width)


def _placed(
    tray: TrayDesign,
    leg: LegDesign,
    angles: tuple[float, ...],
    clamp: ClampDesign,
    hardware: Hardware,
) -> TrayDesign | None:
    """The tray turned clear of every leg, on bosses where it needs them; None without room."""
    screw, own = hardware.screws[clamp.screw], hardware.screws[tray.screw]
    yaw = _free_yaw(tray, leg, angles, clamp, screw)
    if yaw is None:
        return None
    turned = replace(tray, yaw=yaw)
    found = standing(turned, clamp, angles, (screw, own), screw_lengths(clamp.screw))
    if not bosses_clear(found, clamp, angles, screw):
        return None
    return spread_out(found, clamp, angles, screw)


def _free_yaw(
    tray: TrayDesign, leg: LegDesign, angles: tuple[float, ...], clamp: ClampDesign, screw: Screw
) -> float | None:
    """Turn of the tray, along the nose or across, that clears every leg flange; None if neither."""
    inner = clamp.root_radius + clamp.first + clamp.pitch_x - edge(screw)
    outer = inner + 2 * edge(screw) + deepest_strut(leg.height)
    half = leg.thickness / 2
    for yaw in (0.0, pi / 2):
        box = rectangle(-tray.length / 2, tray.length / 2, tray.width / 2 + THICKEST, yaw)
        shelf = tray.shelf_length / 2
        shelves = rectangle(-shelf, shelf, tray.width / 2 + tray.shelf, yaw)
        boxes = [box, shelves] if tray.shelf else [box]
        legs = [rectangle(inner, outer, half, angles[arm]) for arm in leg.arms]
        if not any(rectangles_meet(one, each, 2e-3) for one in boxes for each in legs):
            return yaw
    return None
