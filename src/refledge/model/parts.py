"""Designed parts: the numbers from which solids are built and sections are computed.

Axes of an arm: x from its inner end outwards, y to the left looking outwards, z up; z = 0 lies
half-way between the plates. Its top face is flat over the whole length; depth tapers from below.
"""

from dataclasses import dataclass


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
class LegDesign:
    """Landing leg: a flat profile in the plane of its arm, hung from the outer clamp bolts."""

    count: int
    arms: tuple[int, ...]
    """Arm index of each leg."""
    height: float
    """Underside of the lower plate to the ground, m."""
    splay: float
    """Outward shift of the foot from the flange, m."""
    thickness: float
    """Across the profile (printed height), m."""
    depth_top: float
    depth_foot: float
    flange_thickness: float
    material: str


@dataclass(frozen=True, kw_only=True)
class FootDesign:
    """Foot of each landing leg: a sleeve glued over the leg's end, on a wide sole."""

    sleeve: float
    """Height over the leg's end, m."""
    wall: float
    sole: float
    """Thickness under the leg's end, m."""
    flare: float
    """Reach of the sole beyond the sleeve on every side, m."""
    material: str


@dataclass(frozen=True, kw_only=True)
class SkidDesign:
    """Skid on either side that joins the ends of two legs: a bar with a sleeve over each end.

    Both skids are alike, half a turn apart.
    """

    turn: float
    """Plane of the front leg from the skid, rad; that of the rear leg is its mirror image."""
    nose: float
    """Reach of the bar beyond the legs' ends, m."""
    width: float
    height: float
    sleeve: float
    """Height over a leg's end, m."""
    wall: float
    """Of the sleeve, m."""
    sole: float
    """Thickness under a leg's end, m."""
    flare: float
    """Reach of the sole beyond the sleeve on every side, m."""
    lap: float
    """Length of the joint half-way between two printed parts, m; 0: in one piece."""
    screw: str
    """Size of the two bolts through the joint."""
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
class TrayDesign:
    """Battery tray under the lower plate, open below, straps around.

    It lies flat on the plate, or stands off on a boss round each of its screws where it would hide
    nuts of the clamp bolts; it has no fences then, so that it still prints flat.
    """

    length: float
    width: float
    thickness: float
    yaw: float
    """Turn of the tray (and battery) about z, rad: 0 lies along the nose."""
    fence: float
    """Height of the side fences, m; 0 where the tray stands off."""
    strap_width: float
    screw: str
    pitch_x: float
    pitch_y: float
    material: str
    stand: float = 0.0
    """Height of the bosses between lower plate and tray, m; 0: flat on the plate."""
    boss: float = 0.0
    """Diameter of the bosses, m."""
    wall: float = 0.0
    """Thickness of the walls that join the bosses across the tray, m; 0: none."""
    shelf: float = 0.0
    """Reach of the plate beyond both long sides between the straps, for payload rails, m."""
    shelf_length: float = 0.0
    shelf_pitch_x: float = 0.0
    """Screws of the payload rails, as those of the tray: along it and across, m."""
    shelf_pitch_y: float = 0.0

    @property
    def hang(self) -> float:
        """Underside of the lower plate to the battery, m."""
        return self.stand + self.thickness


@dataclass(frozen=True, kw_only=True)
class RailDesign:
    """Two payload rails under the tray's shelves, and the carrier that slides between their lips.

    A rail is a plate on edge beside the battery: a flange outwards under the shelf, two lips
    inwards under the battery.
    """

    length: float
    height: float
    """Tray's underside to the lower lip's, m."""
    web: float
    gap: float
    """Long side of the tray to the web's inner face, m."""
    flange: float
    """Thickness of the flange, m."""
    lip: float
    """Thickness of each lip, m."""
    reach: float
    """Of the lips from the web, m."""
    carrier: float
    """Thickness of the carrier, m."""
    strap_width: float
    """Of the straps that hold a payload under the carrier, m; 0: the carrier holds a line."""
    screw: str
    """Of rails and pins."""
    material: str


@dataclass(frozen=True, kw_only=True)
class SeatDesign:
    """Flight-controller seat on the upper plate."""

    side: float
    thickness: float
    post_height: float
    post_diameter: float
    screw: str
    pitch: float
    """Hole spacing of the flight controller, m."""
    foot_pitch: float
    """Spacing of the screws into the upper plate, m."""
    material: str
    rise: float = 0.0
    """Height of the elastic standoffs between upper plate and posts, m; 0: posts on the plate."""
    standoff_mass: float = 0.0
    """Of one elastic standoff, kg."""
    turn: float = 0.0
    """Turn of the square of posts about the middle, rad."""
    threads: str = "inserts"
    """What its screws hold in: heat-set ``inserts``, or plain ``nuts`` in slots."""

    @property
    def top(self) -> float:
        """Upper plate to what the flight controller lies on, m."""
        return self.rise + self.post_height + self.thickness


@dataclass(frozen=True, kw_only=True)
class MastDesign:
    """Mast on the upper plate that carries one item aloft: a flat profile in the plane of its arm,
    held by the four clamp bolts of that arm."""

    item: str
    """Name of what it carries, as in the brief."""
    arm: int
    height: float
    """Upper plate to the top of the platform, m."""
    thickness: float
    """Across the profile (printed height), m."""
    depth: float
    """Of the column, m."""
    flange_thickness: float
    platform_length: float
    platform_thickness: float
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
    rail: RailDesign | None = None
    """Under the tray, where the brief asks for a payload's rails."""
    skid: SkidDesign | None = None
    """Under the legs, where the brief asks for skids."""
    guard: GuardDesign | None = None
    """Round each propeller, where the brief asks for them."""
    clip: ClipDesign | None = None
    """On the arms, where the motor wires do not run inside."""
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
