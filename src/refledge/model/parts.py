"""Designed parts: the numbers from which solids are built and sections are computed.

Axes of an arm: x from its inner end outwards, y to the left looking outwards, z up; z = 0 lies
half-way between the plates. Its top face is flat over the whole length; depth tapers from below.
"""

from dataclasses import dataclass

from refledge.model.gear import FootDesign, LegDesign, SkidDesign
from refledge.model.grown import GrownArm
from refledge.model.hinge import HingeDesign
from refledge.model.hung import RailDesign, TrayDesign
from refledge.model.upper import (
    AntennaHolderDesign,
    CoverDesign,
    MastDesign,
    ReceiverHolderDesign,
    SeatDesign,
)


@dataclass(frozen=True, kw_only=True)
class ArmDesign:
    """One arm. Lengths in m.

    The root block (solid, bolted between the plates) spans 0..root_length at full depth; the free
    span tapers from ``depth_root`` to ``depth_tip``; the tenon (solid, inside the motor mount)
    spans the last ``tenon_length``. The motor axis stands at ``length - tenon_length / 2``.
    """

    family: str
    length: float
    width: float
    depth_root: float
    depth_tip: float
    root_length: float
    tenon_length: float
    side: float
    """box, channel: side wall thickness; truss: width (along y) of the two side trusses."""
    top: float
    """Thickness of the top wall or plate."""
    bottom: float
    """box: bottom wall; truss: bottom chord depth; channel: 0."""
    pitch: float
    """channel: rib spacing; truss: panel length along x; box, tube: 0."""
    web: float
    """channel: rib thickness; truss: diagonal thickness in the plane of the truss; box, tube: 0."""
    bore: float
    """Wire bore through root block and tenon; tube: inside diameter of the tube."""
    material: str
    """Material key of arm (the tube itself for the tube family)."""
    split: float = 0.0
    """Inner end to the middle of the joint between two printed parts; 0: in one piece."""
    lap: float = 0.0
    """Length of the half-lap joint along x."""
    lap_screw: str = ""
    """Size of the four bolts through the lap."""
    grown: GrownArm | None = None
    """family grown only: the arm that was kept; walls, pitch and web are 0."""

    @property
    def axis(self) -> float:
        """Motor axis from the arm's inner end, m."""
        return self.length - self.tenon_length / 2

    @property
    def span(self) -> float:
        """Free span between root block and mount, m."""
        return self.length - self.root_length - self.tenon_length


@dataclass(frozen=True, kw_only=True)
class ClampDesign:
    """How each arm is bolted between the plates: four through bolts, two by two."""

    screw: str
    root_radius: float
    """Centre to the inner end of the arms, m."""
    first: float
    """Inner bolt pair from the arm's inner end, m."""
    pitch_x: float
    pitch_y: float


@dataclass(frozen=True, kw_only=True)
class PlateDesign:
    """Upper or lower centre plate, printed flat."""

    outer_radius: float
    thickness: float
    centre_bore: float
    arm_pad_width: float
    """Width of the pad that carries each arm, m."""
    core_radius: float
    """Radius of the disc that joins the pads, m."""
    material: str
    style: str = "spider"
    """``spider``: core and pads; ``ring``: a rim round them as well; ``full``: a whole disc."""
    rim: float = 0.0
    """Width of a ring plate's rim, m."""


@dataclass(frozen=True, kw_only=True)
class MountDesign:
    """Motor mount: a flat plate on the arm's tenon, bolted through it fore and aft of the motor.

    Pairs carry a second, identical mount upside down under the tenon, on the same bolts. The motor
    is screwed to its mount first: its screw heads sink into counterbores on the arm's side.
    """

    per_arm: int
    """1, or 2 for pairs."""
    length: float
    """Along the arm (the tenon's length), m."""
    width: float
    """Across the arm, away from the seat disc, m."""
    seat_radius: float
    """Disc under the motor, m."""
    thickness: float
    holes: str
    """The motor's hole pattern, as in the brief."""
    head_depth: float
    """Depth of the counterbores for the motor screws' heads, m."""
    shaft_bore: float
    """Diameter of the centre bore, m."""
    screw: str
    pitch_x: float
    """Between the bolts before and behind the motor, m."""
    pitch_y: float
    """Between the bolts side by side, m."""
    material: str


@dataclass(frozen=True, kw_only=True)
class GuardDesign:
    """Propeller guard on each motor mount: a frame round the can on the mount's bolts, two struts
    under the blades, a rim outside their tips on the side away from the body."""

    radius: float
    """Motor axis to the rim's inner face, m."""
    span: float
    """Angle that the rim covers, rad."""
    strut_at: float
    """Angle of each strut from the arm, rad."""
    thickness: float
    """Of frame and struts (printed height), m."""
    strut: float
    """Width of a strut, m."""
    rim: float
    """Thickness of the rim, m."""
    height: float
    """Of the rim, m."""
    can: float
    """Hole for the motor can, m across."""
    screw: str
    """Of the joint between its two printed halves; "" in one piece."""
    material: str


@dataclass(frozen=True, kw_only=True)
class ClipDesign:
    """Wire clips on top of the arms, each tied down with a cable tie round its arm."""

    bundle: float
    """Diameter of an arm's motor wires together, m."""
    places: tuple[float, ...]
    """Middle of each clip from the arm's inner end, m."""
    length: float
    """Along the arm, m."""
    wall: float
    """Beside and under the wires, m."""
    tie: float
    """Width of the groove for the tie, m."""
    material: str


@dataclass(frozen=True, kw_only=True)
class FrameDesign:
    """All printed parts of one airframe."""

    arm: ArmDesign
    n_arms: int
    clamp: ClampDesign
    plate: PlateDesign
    mount: MountDesign
    leg: LegDesign
    tray: TrayDesign
    seat: SeatDesign
    mast: MastDesign | None = None
    """Where the brief asks for one."""
    foot: FootDesign | None = None
    """Under each leg, where the brief asks for them."""
    hinge: HingeDesign | None = None
    """At the root of each arm, where the brief asks for folding ones."""
    rail: RailDesign | None = None
    """Under the tray, where the brief asks for a payload's rails."""
    skid: SkidDesign | None = None
    """Under the legs, where the brief asks for skids."""
    guard: GuardDesign | None = None
    """Round each propeller, where the brief asks for them."""
    clip: ClipDesign | None = None
    """On the arms, where the motor wires do not run inside."""
    receiver_holder: ReceiverHolderDesign | None = None
    """On the upper plate, where the brief asks for one."""
    antenna_holder: AntennaHolderDesign | None = None
    """On the upper plate, where the brief asks for one."""
    cover: CoverDesign | None = None
    """Over the flight controller, where the brief asks for one."""
    block_width: float = 0.0
    """tube family only: width of the printed half blocks around the tube at the root, m."""
    block_height: float = 0.0
    """tube family only: height of the two half blocks together (the plates' gap), m."""
    hole_allowance: float = 0.0
    """Added to the diameter of every printed hole, m."""
    fit_gap: float = 0.0
    """Gap each side where parts slide into one another, m."""

    @property
    def plate_gap(self) -> float:
        """Distance between the plates, m."""
        return self.block_height or self.arm.depth_root

    @property
    def seat_height(self) -> float:
        """Upper motor's base above the arms' mid-plane, m."""
        return self.arm.depth_root / 2 + self.mount.thickness

    @property
    def lower_seat_height(self) -> float:
        """Lower motor's base (pairs), m, negative: below the mid-plane."""
        return self.arm.depth_root / 2 - self.arm.depth_tip - self.mount.thickness
