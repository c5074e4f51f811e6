"""Payload rails: how long and high they are, and what a payload does to them."""

from dataclasses import dataclass, replace
from math import pi, radians, tan

from refledge.airframe.standing import stand_height
from refledge.airframe.tray import THICKEST
from refledge.analysis.joints import bearing_stress
from refledge.errors import WishError
from refledge.geometry.drill import clearance
from refledge.geometry.rail import (
    EDGE,
    EYE,
    beside,
    carrier_holes,
    flange_reach,
    lip_reach,
    rail_of,
)
from refledge.geometry.tray import SINK, SLOT, STRAP_PLAY, shelf_room
from refledge.inputs.fasteners import screw_lengths
from refledge.model.brief import Brief
from refledge.model.fasteners import Hardware, Screw
from refledge.model.hung import RailDesign, TrayDesign
from refledge.model.parts import FrameDesign

LEAST_LENGTH = 28e-3
"""m; one strap and its edges, two screws: our choice."""


@dataclass(frozen=True, kw_only=True)
class Sizes:
    """Thicknesses, m."""

    web: float
    flange: float
    lip: float
    carrier: float
    shelf: float
    """Of the tray, with its shelves."""


SLUNG = Sizes(web=4e-3, flange=5e-3, lip=3.2e-3, carrier=3.6e-3, shelf=5.2e-3)
FIXED = Sizes(web=4.4e-3, flange=7e-3, lip=3.2e-3, carrier=5e-3, shelf=6.4e-3)
"""Thinnest that are tried, our choice; a payload that is not slung lands with the airframe."""
MOST = Sizes(web=6.4e-3, flange=11e-3, lip=4.8e-3, carrier=6.8e-3, shelf=THICKEST)
"""Thickest that are tried, our choice: room is kept for them when the body is laid out."""
STRAP = 12e-3
"""m; straps under the carrier: our choice, narrower than the battery's."""
DRIVER_ROOM = 0.5e-3
"""m; beside the driver of the tray's screws, which comes up between the lips: our choice."""
UNDER_BATTERY = 3e-3
"""m; straps folded under the pack, as the legs' height allows for: our choice."""
TRAILING = radians(30.0)
"""A slung payload's line leans so far in the same pull: our choice, a hard stop."""
HOLE_PEAK = 3.0
"""Peak stress beside a round hole in a wide pulled plate (Kirsch; Timoshenko and Goodier, Theory of
Elasticity), used for bent plates too, where it is less."""


def rail_for(brief: Brief, tray: TrayDesign, hardware: Hardware) -> RailDesign:
    """The stoutest rails beside the battery; raises WishError where the straps leave no room."""
    screw = hardware.screws[tray.screw]
    length = shelf_room(tray.length, tray.strap_width)
    if length < LEAST_LENGTH:
        raise WishError(
            f"payload rails: {length * 1e3:.1f} mm between the battery's straps, at least "
            f"{LEAST_LENGTH * 1e3:.1f} mm needed; next: no rails (frame.payload_rail)"
        )
    reach = lip_reach(screw)
    free = tray.pitch_y / 2 + screw.head_diameter / 2 + DRIVER_ROOM + reach
    return RailDesign(
        length=length,
        height=rail_height(brief, screw, MOST),
        web=MOST.web,
        gap=max(1e-3, free - tray.width / 2),
        flange=MOST.flange,
        lip=MOST.lip,
        reach=reach,
        carrier=MOST.carrier,
        strap_width=0.0 if brief.payload.slung else STRAP,
        screw=tray.screw,
        material="",
    )


def rail_height(brief: Brief, screw: Screw, size: Sizes) -> float:
    """From the tray's underside, past the battery and the pins' nuts, to the lower lip's, m."""
    room = UNDER_BATTERY + stand_height(screw, screw_lengths(screw.size))
    slot = size.carrier + 2 * brief.frame.fit_gap
    return brief.battery.height + room + 2 * size.lip + slot


def resized(
    brief: Brief, rail: RailDesign, tray: TrayDesign, size: Sizes, hardware: Hardware
) -> tuple[RailDesign, TrayDesign]:
    """Rails and tray of other thicknesses in the same place."""
    height = rail_height(brief, hardware.screws[rail.screw], size)
    new = replace(
        rail, web=size.web, flange=size.flange, lip=size.lip, carrier=size.carrier, height=height
    )
    return new, with_shelves(replace(tray, thickness=size.shelf), new, hardware)


def sizes_of(rail: RailDesign, tray: TrayDesign) -> Sizes:
    """Thicknesses that rails and tray have."""
    return Sizes(
        web=rail.web, flange=rail.flange, lip=rail.lip, carrier=rail.carrier, shelf=tray.thickness
    )


def with_shelves(tray: TrayDesign, rail: RailDesign, hardware: Hardware) -> TrayDesign:
    """The tray with shelves that the rails' flanges lie under."""
    screw = hardware.screws[rail.screw]
    edge = screw.washer_diameter / 2 + 1e-3
    least = FIXED.shelf if rail.strap_width else SLUNG.shelf
    return replace(
        tray,
        thickness=max(tray.thickness, least),
        shelf=rail.gap + flange_reach(rail, screw),
        shelf_length=rail.length,
        shelf_pitch_x=rail.length - 2 * edge,
        shelf_pitch_y=tray.width + 2 * (rail.gap + rail.web + beside(screw)),
    )


def rail_depth(
    brief: Brief, tray: TrayDesign, rail: RailDesign | None, hardware: Hardware
) -> float:
    """Tray to the heads of the pins, m; 0 without rails.

    Raises WishError where a fixed payload would reach into the rails.
    """
    if rail is None:
        return 0.0
    payload, lowest = brief.payload, tray.stand + THICKEST + rail.height
    least = lowest + payload.height / 2
    given = payload.below
    if not payload.slung and given is not None and given < least - 1e-9:
        raise WishError(
            f"payload.below: payload rails reach {lowest * 1e3:.0f} mm below the lower plate, and "
            f"the payload's middle stands {given * 1e3:.0f} mm below it; next: "
            f"payload.below of at "
            f"least {least * 1e3:.0f} mm, or no rails (frame.payload_rail)"
        )
    pin = hardware.screws[rail.screw]
    return rail.height + pin.washer_thickness + pin.head_height


@dataclass(frozen=True, kw_only=True)
class Pull:
    """What a payload does to its carrier."""

    up: float
    """N, vertical."""
    side: float
    """N, sideways."""
    below: float
    """m, where it acts below the carrier."""


def slung_pull(force: float) -> Pull:
    """A line at the carrier that pulls with ``force`` (N) down and trails."""
    return Pull(up=force, side=force * tan(TRAILING), below=0.0)


@dataclass(frozen=True, kw_only=True)
class RailStress:
    """Bending stresses, Pa; tension of a screw, N, and its pressure on the plastic, Pa."""

    lip: float
    web: float
    flange: float
    shelf: float
    carrier: float
    screw: float
    pressure: float
    pin: float
    """Pressure of one pin's shank in its holes, Pa."""


def rail_stress(frame: FrameDesign, hardware: Hardware, pull: Pull) -> RailStress:
    """Stresses of the hardest-loaded rail under ``pull``.

    Statics of one rail, sideways force all on it: down it carries P = V/2 + S h / b, on its lip's
    tip; S presses its web outwards at the carrier's height. Strips bend: sigma = 6 M / (l t^2)
    (Timoshenko, Strength of Materials, rectangular section). The flange turns about its outer edge,
    which pries its screws: T = M_edge / (edge - screw). Straps pull on the carrier at their slots,
    a line in its middle. Sideways force may lie along the rails: then one pin takes it.
    """
    rail, tray = rail_of(frame), frame.tray
    screw = hardware.screws[rail.screw]
    hole, edge = clearance(screw, frame), flange_reach(rail, screw)
    apart = tray.width + 2 * rail.gap
    down = pull.up / 2 + pull.side * pull.below / apart
    tip = pull.side * (rail.height - rail.lip)
    at = rail.web + beside(screw)
    tension = (down * (edge + rail.reach) + tip) / (edge - at)
    net = rail.length - 2 * hole

    def bent(moment: float, length: float, thickness: float) -> float:
        return 6 * moment / (length * thickness**2)

    web = down * (rail.reach + rail.web / 2) + tip
    across = down * (rail.reach + EDGE + SLOT if rail.strap_width else apart / 2)
    return RailStress(
        lip=bent(down * rail.reach, rail.length - hole, rail.lip),
        web=bent(web, rail.length, rail.web) + down / (rail.length * rail.web),
        flange=HOLE_PEAK * bent(tension * beside(screw), net, rail.flange),
        shelf=HOLE_PEAK * bent(down * (at + rail.reach) + tip, net, tray.thickness),
        carrier=HOLE_PEAK * bent(across, rail.length - _cut(frame), rail.carrier),
        screw=tension / 2,
        pressure=tension / 2 / bearing_area(screw, hole),
        pin=float(bearing_stress(pull.side, screw.diameter, min(rail.carrier, 2 * rail.lip))),
    )


def _cut(frame: FrameDesign) -> float:
    """What eyes or slots take of the carrier's length in one line across it, m."""
    rail, holes = rail_of(frame), len(carrier_holes(frame))
    return holes * EYE if rail.strap_width == 0.0 else holes / 2 * (rail.strap_width + STRAP_PLAY)


def bearing_area(screw: Screw, hole: float) -> float:
    """Lesser of washer and sunk head on the plastic, m2, the head's seen from above."""
    wide = min(SINK * screw.diameter, screw.washer_diameter)
    return pi / 4 * (wide**2 - hole**2)
