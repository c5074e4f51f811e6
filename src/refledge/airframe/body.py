"""Dimensions that follow from the items, the screws and the arm's width alone.

Everything here is geometry: what must fit beside what. Strength and stiffness size the rest.
"""

from dataclasses import dataclass, replace
from math import hypot

from refledge.airframe.cover import cover_for
from refledge.airframe.gear import (
    foot_for,
    foot_radius,
    leg_height,
    skids_for,
    sole_under,
    splay_of,
)
from refledge.airframe.guard import guard_for
from refledge.airframe.hinge import hinge_for
from refledge.airframe.mast import mast_for
from refledge.airframe.payload_line import webbing_for
from refledge.airframe.rail import rail_depth, rail_for, with_shelves
from refledge.airframe.rooting import WIRE_BORE, corner, edge, root_pitch, rooted
from refledge.airframe.seat import seat_for
from refledge.model.brief import Brief
from refledge.model.fasteners import Hardware, Screw
from refledge.model.gear import FootDesign, LegDesign, SkidDesign
from refledge.model.hinge import HingeDesign
from refledge.model.hung import RailDesign, TrayDesign
from refledge.model.parts import ClampDesign, GuardDesign, MountDesign
from refledge.model.upper import (
    AntennaHolderDesign,
    CoverDesign,
    MastDesign,
    ReceiverHolderDesign,
    SeatDesign,
)

TRAY_THICKNESS = 3.2e-3
"""m; the thinnest, which takes the countersunk heads of its screws: our choice."""
TRAY_PITCH = 16e-3, 30e-3
"""m; between the tray's screws, both ways: as wide as the battery covers, within these. Narrow
under a small battery, so that the arms' ends come near the middle. Our choice."""
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
    hinge: HingeDesign | None
    """With its turn still to be found; None for clamped arms."""
    mount: MountDesign
    tray: TrayDesign
    seat: SeatDesign
    guard: GuardDesign | None
    """With rim and struts still to be sized."""
    receiver_holder: ReceiverHolderDesign | None
    """With its walls still to be sized."""
    antenna_holder: AntennaHolderDesign | None
    leg: LegDesign
    """With its depths still to be sized."""
    mast: MastDesign | None
    """With its depth still to be sized; None where the brief asks for none."""
    cover: CoverDesign | None
    """With its walls still to be sized."""
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


LEG_REST = 14e-3
"""m; arms' root blocks and the plates reach so much further out than the outer bolts need: to the
middle of a strut, so that a leg that is pushed has something to rest on. Our choice."""


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
    pitch = root_pitch(brief, screw)
    root_length = 2 * edge(screw) + pitch + LEG_REST
    seat = seat_for(brief, hardware)
    tray = _tray(brief, hardware)
    rail = rail_for(brief, tray, hardware) if brief.frame.payload_rail == "rails" else None
    tray = with_shelves(tray, rail, hardware) if rail else tray
    root = rooted(brief, angles, arm_width, (seat, tray, rail), hardware)
    clamp, leg, tray, pad = root.clamp, root.leg, root.tray, root.pad
    under, rails = foot_for(brief), rail_depth(brief, tray, rail, hardware)
    height = leg_height(brief, tray.stand, rails) - sole_under(brief, under)
    leg = replace(
        leg, height=height, splay=splay_of(brief, angles, paired, clamp, leg.arms, height)
    )
    round_tray = max(edge(screw), tray.boss / 2)
    core = max(clamp.root_radius + 2e-3, corner(tray.pitch_x, tray.pitch_y) + round_tray)
    outer = hypot(clamp.root_radius + root_length, pad / 2)
    foot = foot_radius(clamp, leg, edge(screw))
    mount = mount_for(brief, arm_width, paired, hardware)
    mast = mast_for(brief, root.decked["mast"], leg, pad) if brief.frame.mast else None
    return Body(
        arm_width=arm_width,
        clamp=clamp,
        hinge=hinge_for(brief, clamp, WIRE_BORE, hardware),
        root_length=root_length,
        mount=mount,
        guard=_guard(brief, angles, paired, mount),
        tray=tray,
        seat=seat,
        leg=leg,
        mast=mast,
        cover=cover_for(brief, seat, mast),
        receiver_holder=root.pocket,
        antenna_holder=root.antennas,
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


def _tray(brief: Brief, hardware: Hardware) -> TrayDesign:
    battery = brief.battery
    screw = hardware.screws["M3"]
    pitch = min(TRAY_PITCH[1], max(TRAY_PITCH[0], battery.width + 1e-3 - 2 * edge(screw)))
    inner = max(battery.width + 1e-3, pitch + 2 * edge(screw))
    return TrayDesign(
        length=max(battery.length, pitch + 2 * edge(screw) + 40e-3),
        width=inner,
        thickness=TRAY_THICKNESS,
        yaw=0.0,
        fence=min(10e-3, battery.height / 3),
        strap_width=20e-3,
        line=webbing_for(brief),
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
