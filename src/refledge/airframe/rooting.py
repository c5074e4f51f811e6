"""Where the arms' inner ends, the battery tray and the legs go, so that all have room."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import hypot, pi, sin, sqrt, tan

from refledge.airframe.clearance import least_angle, rectangle, rectangles_meet
from refledge.airframe.cover import covered_side
from refledge.airframe.gear import leg_height, legs_for
from refledge.airframe.hinge import bulkiest
from refledge.airframe.holders import WISHES, deck_arms, holders_for
from refledge.airframe.legs import deepest_strut
from refledge.airframe.standing import bosses_clear, spread_out, standing
from refledge.airframe.tray import THICKEST
from refledge.errors import GeometryError
from refledge.geometry.profile import turned
from refledge.inputs.fasteners import screw_lengths
from refledge.model.brief import Brief
from refledge.model.fasteners import Hardware, Screw
from refledge.model.gear import LegDesign
from refledge.model.hung import STRAP, RailDesign, TrayDesign
from refledge.model.parts import ClampDesign
from refledge.model.upper import AntennaHolderDesign, ReceiverHolderDesign, SeatDesign

STAND_ROOM = 20e-3
"""m; tray off the plate, before it is known, for the room that tall legs take: a careful guess."""
WIRE_BORE = 6e-3
"""m; three motor wires of 18 gauge side by side: common practice, no source."""
CLAMP_PITCH, FOLDING_PITCH = 8.0, 12.0
"""Between the bolts along an arm's root over their diameter (1): our choice."""
ARM_GAP = 1e-3
"""m; between neighbouring arms at their inner ends."""
STEP = 2e-3
"""m; by which the arms' ends move out in search of room: our choice."""
TRIES = 40


@dataclass(frozen=True, kw_only=True)
class Rooted:
    """What stands where round the arms' inner ends."""

    clamp: ClampDesign
    leg: LegDesign
    """With height and depths still to be found."""
    tray: TrayDesign
    pad: float
    """Width of the plates' pads, m."""
    decked: Mapping[str, int]
    """Mast and holders asked for, each to its arm."""
    pocket: ReceiverHolderDesign | None
    antennas: AntennaHolderDesign | None


def rooted(
    brief: Brief,
    angles: tuple[float, ...],
    arm_width: float,
    middle: tuple[SeatDesign, TrayDesign, RailDesign | None],
    hardware: Hardware,
) -> Rooted:
    """The least radius of the arms' inner ends at which tray, legs and holders have room.

    Raises GeometryError where none of those tried gives it.
    """
    seat, tray, rail = middle
    screw = hardware.screws[brief.frame.rod_screw]
    radius = _root_radius(angles, arm_width, seat, tray, hardware, masted=_decked(brief))
    tall = leg_height(brief, STAND_ROOM, rail.height + STRAP if rail else 0.0)
    lacking = ""
    for _ in range(TRIES):
        clamp = _clamp(brief, screw, radius, arm_width)
        leg = legs_for(brief, angles, clamp, screw, edge(screw))
        pad = max(arm_width, clamp.pitch_y + 2 * edge(screw))
        decked = deck_arms(brief, angles, leg.arms)
        bulk = bulkiest(brief, clamp, WIRE_BORE, hardware)
        placed = _placed(tray, replace(leg, height=tall), angles, clamp, (bulk, hardware))
        pocket, antennas = holders_for(
            brief, decked, angles, clamp, screw, (pad, covered_side(brief, seat))
        )
        lacking = _lacking(brief, placed, pocket, antennas) or _covered(seat, clamp, angles, screw)
        if placed is not None and not lacking:
            return Rooted(clamp=clamp, leg=leg, tray=placed, pad=pad, decked=decked,
                          pocket=pocket, antennas=antennas)  # fmt: skip
        radius += STEP
    raise GeometryError(lacking)


def _covered(seat: SeatDesign, clamp: ClampDesign, angles: tuple[float, ...], screw: Screw) -> str:
    """What is wrong where the seat's plate lies over a clamp bolt's head; "" where none does.

    The plate is a square with corners as round as its posts (m); a driver is as wide as the head.
    """
    half, corner = seat.side / 2, min(seat.post_diameter / 2, 0.8 * seat.side / 2)
    for angle in angles:
        for aside in (clamp.pitch_y / 2, -clamp.pitch_y / 2):
            x, y = turned((clamp.root_radius + clamp.first, aside), angle)
            out = hypot(*(max(abs(each) - half + corner, 0.0) for each in (x, y))) - corner
            if out < screw.head_diameter / 2:
                return (
                    "the flight controller's seat covers the heads of clamp bolts; next: a "
                    "smaller flight_controller, or a cover left out (frame.cover)"
                )
    return ""


def _lacking(
    brief: Brief,
    placed: TrayDesign | None,
    pocket: ReceiverHolderDesign | None,
    antennas: AntennaHolderDesign | None,
) -> str:
    """What has no room, and what to do about it; "" where all has."""
    if placed is None:
        return (
            "battery tray and landing legs cannot be placed side by side, or the tray covers nuts; "
            "next: fewer legs (frame.legs) or a shorter battery"
        )
    for wish, found in (("receiver_holder", pocket), ("antenna_holder", antennas)):
        if getattr(brief.frame, wish) and found is None:
            return (
                f"{wish.replace('_', ' ')}: no room between the arms beside the flight controller; "
                f"next: a smaller item, or no holder (frame.{wish})"
            )
    return ""


def edge(screw: Screw) -> float:
    """Least distance from a hole's centre to a free edge, m: half a washer and 1 mm of plastic."""
    return screw.washer_diameter / 2 + 1e-3


def _decked(brief: Brief) -> bool:
    """Whether something stands on the upper plate under the heads of clamp bolts."""
    return any(getattr(brief.frame, wish) for wish in WISHES)


def root_pitch(brief: Brief, screw: Screw) -> float:
    """Between the inner and the outer bolts of an arm's root, m: wider for a folding arm, which has
    one bolt where a clamp has two."""
    wide = FOLDING_PITCH if brief.frame.arm_root == "folding" else CLAMP_PITCH
    return wide * screw.diameter


def _clamp(brief: Brief, screw: Screw, radius: float, arm_width: float) -> ClampDesign:
    return ClampDesign(
        screw=screw.size,
        root_radius=radius,
        first=edge(screw),
        pitch_x=root_pitch(brief, screw),
        pitch_y=arm_width - 2 * edge(screw),
    )


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

    masted: the flange of a mast or a holder lies over an arm's end, and the seat's posts stay
    clear of it.
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
        corner(tray.pitch_x, tray.pitch_y) + tray_screw.nut_width / 2,
    )
    return max(beside, inside + ARM_GAP)


def corner(pitch_x: float, pitch_y: float) -> float:
    return hypot(pitch_x, pitch_y) / 2


def _placed(
    tray: TrayDesign,
    leg: LegDesign,
    angles: tuple[float, ...],
    clamp: ClampDesign,
    sold: tuple[Screw, Hardware],
) -> TrayDesign | None:
    """The tray turned clear of every leg, on bosses where it needs them; None without room.

    sold: a bolt as bulky as any through the arms' roots, and all others.
    """
    screw, own = sold[0], sold[1].screws[tray.screw]
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
