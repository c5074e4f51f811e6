"""What the builder wishes of layout and frame, as the brief says it."""

from dataclasses import dataclass

from refledge.model.fields import count, part, quantity, text

LAYOUT_KINDS = (
    "four-x", "four-plus", "six-x", "six-plus", "eight-x", "eight-plus",
    "three-pairs", "four-pairs", "free",
)  # fmt: skip
WEAK_LINKS = ("arm", "leg", "bolt")
ARM_FAMILIES = ("box", "channel", "truss", "tube")


@dataclass(frozen=True, kw_only=True)
class LayoutWish:
    """Where the rotors should sit."""

    kind: str = text(
        "layout, or choose",
        choices=("choose", *LAYOUT_KINDS),
        default="choose",
        reason="the layouts that the motors on hand allow are compared",
    )
    arm_angles: tuple[float, ...] = part(
        'free layout only: angle of each arm from the nose, to the left, as "60 deg"', default=()
    )
    pairs: bool = part("free layout only: two rotors on each arm", default=False)
    turn_order: str = text(
        'which way each rotor turns seen from above, such as "ccw cw ccw cw", in the order of '
        "their numbers",
        default="",
        reason="none given: neighbours turn against each other; in a pair both rotors do",
    )
    tip_gap: float = quantity(
        "gap between neighbouring propeller tips",
        "m",
        "mm",
        low=0.0,
        high=0.5,
        default=0.02,
        reason="common practice, no source",
    )
    body_gap: float = quantity(
        "gap from propeller tip to the body",
        "m",
        "mm",
        low=0.0,
        high=0.5,
        default=0.015,
        reason="common practice, no source",
    )
    motor_radius: float | None = quantity(
        "centre to motor axis",
        "m",
        "mm",
        low=0.05,
        high=1.5,
        default=None,
        reason="none given: the least that the gaps allow",
    )


@dataclass(frozen=True, kw_only=True)
class FrameWish:
    """What the frame should be made of, or choose."""

    material: str = text(
        "material key, or choose",
        default="choose",
        reason="every filament on the shelf that the printer can print is sized",
    )
    arm_family: str = text(
        "arm family, or choose",
        choices=("choose", *ARM_FAMILIES),
        default="choose",
        reason="every printed family is sized",
    )
    grown_arm: str = text(
        "record of a grown arm, beside the brief, such as grown/arm.toml, as refledge shape "
        "--verify writes it: every arm is that one, and only the rest is sized",
        default="",
        reason="none given: arms are drawn and sized",
    )
    tube: str = text(
        "tube key for arms of the tube family",
        default="carbon-tube-16x14",
        reason="used only where the tube family is asked for",
    )
    legs: int = count("landing legs", low=3, high=8, default=4, reason="stable, one broken")
    gear: str = text(
        "what it lands on: a leg under each of some arms, or two printed skids, each across the "
        "ends of a front and a rear leg",
        choices=("legs", "skids"),
        default="legs",
        reason="the lightest; skids slide over grass and do not sink",
    )
    feet: str = text(
        "what the legs stand on: their own rounded ends, or printed pads glued over them, which "
        "sink less into soft ground and wear in the leg's place",
        choices=("ends", "pads"),
        default="ends",
        reason="nothing to print, nothing to glue",
    )
    plates: str = text(
        "outline of the centre plates: a pad for each arm round a small disc, the same with a rim "
        "round it that ties the pads together, or a whole disc",
        choices=("spider", "ring", "full"),
        default="spider",
        reason="the lightest, and open between the arms for wires and fingers",
    )
    payload_rail: str = text(
        "what the payload is changed by: nothing of the frame's, or two printed rails beside the "
        "battery and a carrier that slides between them, held by two pins",
        choices=("none", "rails"),
        default="none",
        reason="a slung payload hangs from the battery tray; any other comes with what holds it",
    )
    wires: str = text(
        "how the motor wires run along printed arms: inside, outside in clips, or inside where "
        "they fit and in clips where not",
        choices=("fit", "inside", "clips"),
        default="fit",
        reason="inside nothing catches on them",
    )
    seat: str = text(
        "how the flight controller sits on the upper plate: on stiff printed posts, or on a "
        "printed carrier that stands on four elastic standoffs (the table standoffs)",
        choices=("hard", "damped"),
        default="hard",
        reason="common practice with controllers that have their own damped sensor",
    )
    payload_room: str = text(
        "what the legs are tall enough for: only what hangs fixed below the belly, or a slung "
        "payload too, standing under the belly with its line drawn up",
        choices=("fixed", "slung"),
        default="fixed",
        reason="short legs; a slung payload is laid down beside the aircraft",
    )
    seat_threads: str = text(
        "what the screws of the flight controller's seat hold in: brass inserts set with a hot "
        "tip, or plain nuts pushed into slots from the side",
        choices=("inserts", "nuts"),
        default="inserts",
        reason="common practice: they stay in when the screw comes out",
    )
    guards: str = text(
        "what stands between propellers and what they fly into: nothing, or a printed rim on "
        "struts round the outer third of each",
        choices=("none", "rims"),
        default="none",
        reason="guards are heavy and catch wind; they suit flight near walls",
    )
    mast: str = text(
        "name of the item, one of the others, that a printed mast carries at its height",
        default="",
        reason="none given: items are held by what they come with",
    )
    cover: str = text(
        "what stands over the flight controller: nothing, or a printed lid with vents that snaps "
        "onto its seat",
        choices=("none", "lid"),
        default="none",
        reason="a controller in its own case needs none",
    )
    cover_room: float = quantity(
        "between the flight controller and its cover's roof, for plugs and air",
        "m",
        "mm",
        low=0.0,
        high=0.1,
        default=4e-3,
        reason="our choice, a plug lying flat",
    )
    receiver_holder: str = text(
        "name of the item, one of the others, that a printed pocket on the upper plate holds",
        default="",
        reason="none given: items are held by what they come with",
    )
    antenna_holder: str = text(
        "name of the item, one of the others, whose antennas (the table antennas) a printed holder "
        "keeps apart and at an angle",
        default="",
        reason="none given: antennas are held by what they come with",
    )
    ground_gap: float = quantity(
        "ground to the lowest fixed thing",
        "m",
        "mm",
        low=0.0,
        high=1.0,
        default=0.03,
        reason="common practice, no source",
    )
    rod_screw: str = text(
        "screw of the clamped joints",
        choices=("M2", "M2.5", "M3", "M4", "M5"),
        default="M3",
        reason="common practice on airframes under 10 kg",
    )
    arm_root: str = text(
        "how the arms are held: clamped by four bolts each, or folding, each on a pivot bolt "
        "between the plates with a lock bolt that is taken out to fold it beside the body",
        choices=("clamped", "folding"),
        default="clamped",
        reason="the stiffest; folding arms are for those who carry it far",
    )
    hinge_gap: float = quantity(
        "folding arms: diameter of the hinge's bores over their bolts, once reamed",
        "m",
        "mm",
        low=0.0,
        high=5e-4,
        default=1e-4,
        reason="what a drill of the bolt's own size leaves by hand: common practice, no source",
    )
    weak_link: str = text(
        "part that is to break first in a crash, before plates, mounts and electronics; bolt: a "
        "polyamide lock bolt of folding arms",
        choices=("none", *WEAK_LINKS),
        default="none",
        reason="none given: nothing is sized to break",
    )
    weak_link_ratio: float = quantity(
        "how much sooner it breaks: its use of strength over theirs, in the same blow",
        "1",
        "1",
        low=1.0,
        high=3.0,
        default=1.25,
        reason="a choice: more than copies of one spool scatter",
    )
    walls: int = count(
        "perimeters of each part",
        low=2,
        high=12,
        default=4,
        reason="1.8 mm of solid skin with the usual nozzle",
    )
    skins: int = count(
        "solid layers at bottom and top",
        low=2,
        high=30,
        default=6,
        reason="1.2 mm of solid skin with 0.2 mm layers",
    )
    infill: float = quantity(
        "infill fraction inside the skin",
        "1",
        "%",
        low=0.05,
        high=1.0,
        default=0.4,
        reason="common practice, no source",
    )
    hole_allowance: float = quantity(
        "added to the diameter of printed holes",
        "m",
        "mm",
        low=0.0,
        high=1e-3,
        default=2e-4,
        reason="common practice, no source; measure your own printer",
    )
    fit_gap: float = quantity(
        "gap each side where one part slides into another",
        "m",
        "mm",
        low=0.0,
        high=1e-3,
        default=1.5e-4,
        reason="common practice, no source; measure your own printer",
    )
