"""What a design found: parts, masses, modes, drivers, lists. Arrays in SI, body axes."""

from dataclasses import dataclass, field

from refledge.typed import Floats, Ints


@dataclass(frozen=True, eq=False)
class TriMesh:
    """Closed triangle surface."""

    vertices: Floats
    """(n, 3), m."""
    triangles: Ints
    """(m, 3), indices, outward normals by the right-hand rule."""


@dataclass(frozen=True, eq=False)
class Placement:
    """One body of the assembly: a part or an item put in its place."""

    key: str
    """Key of the printed part or item whose mesh is placed."""
    name: str
    """Name in the assembly, such as ``arm 3``."""
    group: str
    """part, item, or disc (the space swept by a propeller)."""
    rotation: Floats
    """(3, 3)."""
    translation: Floats
    """(3,), m."""


@dataclass(frozen=True, eq=False)
class PartSpec:
    """One printed part (or cut tube) as it goes on the list."""

    key: str
    name: str
    quantity: int
    material: str
    printed: bool
    volume: float
    """Of the solid, m3."""
    mass: float
    """As printed with walls, skins and infill, kg."""
    size: tuple[float, float, float]
    """As it lies on the bed, m."""
    print_rotation: Floats
    """(3, 3), from part axes to the bed (z up)."""
    print_note: str
    """Which face lies down and why; where support is needed."""
    fits_bed: bool


@dataclass(frozen=True)
class MassLine:
    """One line of the mass table."""

    name: str
    group: str
    """items, payload, printed, bought, fasteners, wiring"""
    quantity: int
    each: float  # kg
    centre: tuple[float, float, float]  # m, of all of them together
    source: str

    @property
    def total(self) -> float:
        return self.quantity * self.each


@dataclass(frozen=True)
class ClosureStep:
    """One pass of the mass closure."""

    all_up_mass: float  # kg, assumed at the start of the pass
    frame_mass: float  # kg, found in the pass
    change: float  # kg, all-up mass found minus assumed


@dataclass(frozen=True, eq=False)
class ModeSet:
    """Natural modes of one model."""

    title: str
    frequencies: Floats
    """(n_modes,), Hz, elastic modes only."""
    labels: tuple[str, ...]
    """What moves in each mode, in words."""
    nodes: Floats
    """(n_nodes, 3), m."""
    elements: Ints
    """(n_elements, 2)."""
    shapes: Floats
    """(n_modes, n_nodes, 6), translations and rotations, largest translation 1."""
    felt: Floats
    """(n_modes,), m/s2: acceleration at the flight controller were the mode in resonance with the
    rotors' residual unbalance; 0 where that has no meaning."""
    felt_limit: float = 0.0
    """m/s2, below which a mode is let be."""


@dataclass(frozen=True, eq=False)
class Deflected:
    """The frame under one load case."""

    load_case: str
    nodes: Floats
    """(n_nodes, 3), m."""
    elements: Ints
    displacements: Floats
    """(n_nodes, 6), m and rad."""
    motor_tilt: Floats
    """(n_rotors,), rad."""
    tip_deflection: Floats
    """(n_arms,), m, at the motor axis relative to the clamp."""


@dataclass(frozen=True)
class Driver:
    """Which check holds one dimension where it is."""

    dimension: str
    value: float  # m
    shown: str
    check: str
    """The check that would fail first at the next smaller value, or a reason, in words."""
    saved: float
    """Frame mass saved were that limit relaxed by a tenth, kg."""


@dataclass(frozen=True)
class Alternative:
    """One combination of arm family and material, sized the same way."""

    family: str
    material: str
    feasible: bool
    frame_mass: float  # kg, or 0 where not feasible
    arm_mass: float  # kg
    tilt: float  # rad
    first_mode: float  # Hz, arm clamped at the root
    worst: str
    """The check that comes nearest to its limit, or why nothing fits."""


@dataclass(frozen=True)
class LayoutOption:
    """One layout considered where the brief says choose, before its frame is sized."""

    kind: str
    assumed_mass: float  # kg, all-up
    hover_power: float  # W
    endurance: float  # s
    thrust_margin: float
    motor_radius: float  # m
    footprint: float  # m
    rotors: int
    chosen: bool
    reason: str


@dataclass(frozen=True)
class Fastener:
    """One line of the bolts list."""

    name: str
    """Such as ``M3 x 40 cap screw, ISO 4762``."""
    quantity: int
    where: str
    torque: float  # N m, 0 where only snug
    mass: float  # kg, of one with nut and washers
    note: str = ""


@dataclass(frozen=True)
class ShoppingLine:
    """One thing to buy or to inspect."""

    name: str
    needed: int
    sound: int
    inspect: int
    buy: int
    why: str


@dataclass(frozen=True, eq=False)
class Assembly:
    """Everything in its place, as triangles."""

    meshes: dict[str, TriMesh]
    """Key of part, item or disc to its mesh in its own axes."""
    placements: tuple[Placement, ...]
    overlaps: tuple[str, ...] = field(default=())
    """Pairs that share volume, in words; empty is what is wanted."""
    least_gap: float = 0.0
    """Least distance from a propeller disc to any part, m."""
