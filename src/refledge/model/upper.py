"""What stands on the upper plate: seat of the flight controller, mast, holders."""

from dataclasses import dataclass


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
class ReceiverHolderDesign:
    """Pocket on the upper plate between the two pairs of an arm's clamp bolts, open above, in which
    an item stands on its thin side; a tongue with a lip in either long wall keeps it in."""

    item: str
    """Name of what it holds, as in the brief."""
    arm: int
    upright: bool
    """The item stands on its end; else its longest side lies across the arm."""
    length: float
    """Of the item across the arm, m."""
    depth: float
    """Of the item along the arm, m."""
    height: float
    """Of the item, upwards, m."""
    across: float
    """Width of the flange, m."""
    flange_thickness: float
    wall: float
    tongue: float
    """Width of a tongue, m."""
    lip: float
    """How far a lip reaches over the item, m."""
    material: str


@dataclass(frozen=True, kw_only=True)
class AntennaHolderDesign:
    """Leaning tubes for antennas on the upper plate, on a bridge between the two pairs of an arm's
    clamp bolts under which the leads come in."""

    item: str
    """Name of what the antennas belong to, as in the brief."""
    arm: int
    count: int
    diameter: float
    """Of an antenna's stiff end, m."""
    length: float
    """Of an antenna's stiff end, m."""
    lead: float
    """Diameter of its lead, m."""
    tilt: float
    """Lean of each tube from the upright, rad; two lean apart."""
    grip: float
    """Length of a tube, m."""
    wall: float
    """Of a tube, m."""
    out: float
    """Tubes outwards of the middle between the bolts, m."""
    mouth: float
    """Upper plate to the tubes' lower ends, m."""
    across: float
    """Width of the flange, m."""
    flange_thickness: float
    material: str


@dataclass(frozen=True, kw_only=True)
class CoverDesign:
    """Cover over the flight controller: a box open below that stands on the seat's plate and snaps
    under it with two tongues."""

    room: float
    """Seat plate's top to the underside of the roof, m."""
    wall: float
    roof: float
    """Thickness of the roof, m."""
    tongue: float
    """Width of a tongue, m."""
    lip: float
    """How far a lip reaches under the seat's plate, m."""
    material: str
