"""What the airframe lands on: which arms carry legs, how tall they are, how far they lean."""

from math import ceil

from refledge.airframe.clearance import feet_share, leg_arms
from refledge.airframe.legs import deepest_strut
from refledge.airframe.skid import SOLE, skid_arms, skid_for
from refledge.airframe.stance import least_radius
from refledge.airframe.tray import THICKEST
from refledge.model.brief import Brief
from refledge.model.fasteners import Hardware, Screw
from refledge.model.gear import FootDesign, LegDesign, SkidDesign
from refledge.model.hung import STRAP
from refledge.model.parts import ClampDesign

MOST_LEAN = 0.5
"""Outward lean over height (1) beyond which a leg would rather slide than stand: our choice."""
LEAST_SHARE = 0.1
"""Nearest side of the feet's polygon over their radius (1), below which leaning helps little."""
STRUT_OUT = 10e-3
"""m; middle of a strut outside its bolts: a washer's half, a fillet, half a strut, about."""


def legs_for(
    brief: Brief, angles: tuple[float, ...], clamp: ClampDesign, screw: Screw, edge: float
) -> LegDesign:
    """Legs without their height and depths; edge: from a hole to a free edge, m."""
    skids = brief.frame.gear == "skids"
    arms = skid_arms(angles)[0] if skids else leg_arms(angles, brief.frame.legs)
    return LegDesign(
        count=len(arms),
        arms=arms,
        height=0.0,
        splay=0.0,
        thickness=clamp.pitch_y + 2 * edge,
        depth_top=0.0,
        depth_foot=0.0,
        flange_thickness=least_flange(screw),
        material="",
    )


def least_flange(screw: Screw) -> float:
    """Thickness of a leg's flange whatever it bears, m: one and a half bolts, our choice."""
    return ceil(1.5 * screw.diameter * 1e4) / 1e4


def foot_for(brief: Brief) -> FootDesign | None:
    """Pads as the brief asks for them; all sizes our choice."""
    if brief.frame.feet == "ends":
        return None
    return FootDesign(sleeve=12e-3, wall=1.8e-3, sole=3e-3, flare=6e-3, material="")


def skids_for(
    brief: Brief, angles: tuple[float, ...], most: float, hardware: Hardware
) -> SkidDesign | None:
    """Skids as the brief asks for them; most: greatest radius of the legs' ends, m."""
    if brief.frame.gear == "legs":
        return None
    return skid_for(brief, skid_arms(angles)[1], most, "M3", hardware)


def sole_under(brief: Brief, foot: FootDesign | None) -> float:
    """Plastic between the legs' ends and the ground, m."""
    if brief.frame.gear == "skids":
        return SOLE
    return foot.sole if foot else 0.0


def leg_height(brief: Brief, stand: float, rails: float = 0.0) -> float:
    """Lower plate's underside to the ground, m: what hangs fixed below it, and the gap.

    A slung payload stands below all that where the brief asks for that room.

    stand: of the battery tray off the plate, m. rails: depth of payload rails under the tray, m.
    """
    hanging = stand + THICKEST + max(brief.battery.height + STRAP, rails)
    payload = brief.payload
    if not payload.slung:
        hanging = max(hanging, payload.middle(hanging) + payload.height / 2)
    elif brief.frame.payload_room == "slung":
        hanging += payload.height
    return hanging + brief.frame.ground_gap


def splay_of(
    brief: Brief,
    angles: tuple[float, ...],
    paired: bool,
    clamp: ClampDesign,
    arms: tuple[int, ...],
    height: float,
) -> float:
    """Outward lean of legs ``height`` (m) tall: our choice, and more where they would stand too
    narrow for the slope that the brief asks for, m.

    Where even the most lean is not enough, or the feet do not stand round the middle, the check of
    that slope says so.
    """
    share = feet_share([angles[arm] for arm in arms])
    bolts = clamp.root_radius + clamp.first + clamp.pitch_x + STRUT_OUT
    needed = least_radius(height, brief.limits.tip_angle) / max(share, LEAST_SHARE) - bolts
    return max((0.08 if paired else 0.25) * height, min(needed, MOST_LEAN * height))


def foot_radius(clamp: ClampDesign, leg: LegDesign, edge: float) -> float:
    """Greatest radius at which the legs may end, m; edge: from a hole to a free edge, m."""
    top = clamp.root_radius + clamp.first + clamp.pitch_x + edge
    return top + leg.splay + deepest_strut(leg.height)
