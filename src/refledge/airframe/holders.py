"""Receiver and antenna holders: on which arm they stand and how stout they must be."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from math import atan2, hypot, pi, tan

from refledge.airframe.clearance import least_angle, rectangle, rectangles_meet
from refledge.airframe.snaps import LIPS, TONGUE, WALLS, best_snap
from refledge.airframe.working import Working
from refledge.errors import GeometryError
from refledge.geometry.antenna_holder import POST
from refledge.geometry.deck import room_between
from refledge.model.brief import Brief
from refledge.model.fasteners import Screw
from refledge.model.items import Placed
from refledge.model.parts import ClampDesign
from refledge.model.upper import AntennaHolderDesign, ReceiverHolderDesign

COAX = 5.0
"""Least inside bend radius of a thin coaxial lead over its diameter: common practice, no source."""
MOUTH_RESERVE = 1.1
"""Room for the lead's bend over the least: our choice."""
GRIP = 12e-3
"""m; length of an antenna's tube at most, half its stiff end where that is less: our choice."""
TUBE_LINES = 4
"""Printed lines in a tube's wall: our choice."""
TONGUE_SHARE = 1 / 3
"""Of the item's length, a tongue's width at most: our choice."""
FLANGE = 3e-3
"""m; under the bolts' heads: our choice, as it carries some ten grams."""
GAP = 1e-3
"""m; from a holder to its neighbours: our choice."""
WISHES = ("mast", "antenna_holder", "receiver_holder")
"""In the order in which they choose their arm."""


def item_named(brief: Brief, wish: str) -> Placed:
    """The item that frame.``wish`` names; raises GeometryError where there is none such."""
    name = getattr(brief.frame, wish)
    for each in brief.others:
        if each.name == name:
            return each
    known = ", ".join(f'"{each.name}"' for each in brief.others) or "none"
    raise GeometryError(
        f'frame.{wish} names "{name}", which is no item; known under others: {known}'
    )


def deck_arms(brief: Brief, angles: tuple[float, ...], legs: tuple[int, ...]) -> dict[str, int]:
    """Wish to arm for mast and holders that the brief asks for, in the order of WISHES: one
    without a leg if there is one, then nearest to where the brief puts the item, then rearmost."""
    found: dict[str, int] = {}
    for wish in WISHES:
        if getattr(brief.frame, wish):
            free = [arm for arm in range(len(angles)) if arm not in found.values()]
            found[wish] = _nearest(item_named(brief, wish), angles, legs, free)
    return found


def _nearest(
    item: Placed, angles: tuple[float, ...], legs: tuple[int, ...], free: list[int]
) -> int:
    wanted = atan2(item.y, item.x) if hypot(item.x, item.y) > 1e-3 else pi

    def away(arm: int) -> tuple[bool, float, float]:
        turn = abs((angles[arm] - wanted + pi) % (2 * pi) - pi)
        return arm in legs, round(turn, 6), angles[arm]

    if not free:
        raise GeometryError(
            "mast and holders want more arms than there are; next: fewer of them (frame.mast, "
            "frame.receiver_holder, frame.antenna_holder)"
        )
    return min(free, key=away)


def pockets_for(brief: Brief, arm: int, across: float) -> Iterator[ReceiverHolderDesign]:
    """The receiver's pocket with its item lying, then upright; wall and lip still to be sized.

    across: width of the flange under the bolts, m.
    """
    item = item_named(brief, "receiver_holder")
    thin, middle, long = sorted((item.length, item.width, item.height))
    for upright in (False, True):
        over, up = (middle, long) if upright else (long, middle)
        yield ReceiverHolderDesign(
            item=item.name, arm=arm, upright=upright, length=over, depth=thin, height=up,
            across=across, flange_thickness=FLANGE,
            wall=WALLS[1] * brief.printer.extrusion_width,
            tongue=min(TONGUE, TONGUE_SHARE * over), lip=LIPS[-1], material="",
        )  # fmt: skip


def antennas_for(brief: Brief, arm: int, across: float, room: float) -> AntennaHolderDesign:
    """The antenna holder, its tubes as far out as the ``room`` between the bolts (m) lets them; its
    material still to be chosen."""
    item, own = item_named(brief, "antenna_holder"), brief.antennas
    wall = TUBE_LINES * brief.printer.extrusion_width
    outside = own.diameter + 2 * brief.frame.fit_gap + brief.frame.hole_allowance + 2 * wall
    return AntennaHolderDesign(
        item=item.name, arm=arm, count=own.count, diameter=own.diameter, length=own.length,
        lead=own.lead, tilt=own.tilt, grip=min(GRIP, own.length / 2),
        wall=wall, out=max(0.0, (room - outside) / 2),
        mouth=FLANGE + MOUTH_RESERVE * COAX * own.lead + own.lead,
        across=across, flange_thickness=FLANGE, material="",
    )  # fmt: skip


def holders_for(
    brief: Brief,
    arms: Mapping[str, int],
    angles: tuple[float, ...],
    clamp: ClampDesign,
    screw: Screw,
    beside: tuple[float, float],
) -> tuple[ReceiverHolderDesign | None, AntennaHolderDesign | None]:
    """Receiver's and antennas' holder on their arms, None where not asked for or without room.

    beside: width of the flanges and side of the seat, m.
    """
    across, side = beside
    box = brief.flight_controller
    body = max(side, box.length, box.width)

    def clear(one: ReceiverHolderDesign | AntennaHolderDesign) -> bool:
        return stands_clear(half_width(one, brief), one.arm, angles, clamp, screw, body)

    pocket = antennas = None
    if "receiver_holder" in arms:
        tried = pockets_for(brief, arms["receiver_holder"], across)
        pocket = next(filter(clear, tried), None)
    if "antenna_holder" in arms:
        room = room_between(clamp.pitch_x, screw.washer_diameter)
        one = antennas_for(brief, arms["antenna_holder"], across, room)
        antennas = one if clear(one) else None
    return pocket, antennas


def half_width(holder: ReceiverHolderDesign | AntennaHolderDesign, brief: Brief) -> float:
    """Across the arm, m, of pocket or bridge, whichever it is, or of the flange."""
    most = WALLS[0] * brief.printer.extrusion_width
    if isinstance(holder, ReceiverHolderDesign):
        return max(holder.length / 2 + brief.frame.fit_gap + most, holder.across / 2)
    bore = holder.diameter + 2 * brief.frame.fit_gap + brief.frame.hole_allowance
    return max(holder.count * (bore / 2 + holder.wall) + POST, holder.across / 2)


def stands_clear(
    half: float, arm: int, angles: tuple[float, ...], clamp: ClampDesign, screw: Screw, body: float
) -> bool:
    """Whether a holder ``half`` wide to either side (m) keeps to its own arm's sector and off the
    controller, a square of ``body`` in the middle (m)."""
    middle = clamp.root_radius + clamp.first + clamp.pitch_x / 2
    near = middle - room_between(clamp.pitch_x, screw.washer_diameter) / 2
    turn = least_angle(angles) / 2
    if turn < pi / 2 and half + GAP > near * tan(turn):
        return False
    own = rectangle(near, 2 * middle - near, half, angles[arm])
    return not rectangles_meet(own, rectangle(-body / 2, body / 2, body / 2, 0.0), GAP)


def sized_pocket(
    holder: ReceiverHolderDesign, brief: Brief, material: Working, clamp: ClampDesign, screw: Screw
) -> ReceiverHolderDesign:
    """Deepest lip, and with it the thickest wall in whole printed lines, that the tongues take; the
    shallowest and thinnest where none does."""
    line, room = brief.printer.extrusion_width, room_between(clamp.pitch_x, screw.washer_diameter)
    beside = (room - holder.depth - 2 * brief.frame.fit_gap) / 2
    wall, lip = best_snap(material, line, holder.height, beside)
    return replace(holder, wall=wall, lip=lip, material=material.key)
