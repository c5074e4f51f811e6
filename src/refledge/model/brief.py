"""The brief: what is left, what the aircraft must do, what can be printed, what must hold."""

from dataclasses import dataclass
from math import radians

from refledge.model.fields import count, part, quantity, text
from refledge.model.items import (
    Battery,
    Box,
    FlightController,
    Motor,
    Placed,
    Propeller,
    SpeedController,
)

LAYOUT_KINDS = (
    "four-x", "four-plus", "six-x", "six-plus", "eight-x", "eight-plus",
    "three-pairs", "four-pairs", "free",
)  # fmt: skip
ARM_FAMILIES = ("box", "channel", "truss", "tube")


@dataclass(frozen=True, kw_only=True)
class Mission:
    """What the aircraft must do, and where."""

    hover_time: float = quantity("hover time wanted", "s", "min", low=10.0, high=7200.0)
    all_up_limit: float = quantity("all-up mass not to exceed", "kg", low=0.05, high=25.0)
    altitude: float = quantity(
        "height of the site above sea level",
        "m",
        low=-450.0,
        high=6000.0,
        default=0.0,
        reason="sea level",
    )
    air_temperature: float = quantity(
        "air temperature",
        "K",
        "degC",
        low=233.15,
        high=328.15,
        default=298.15,
        reason="a summer day, 25 °C",
    )
    sunlight: str = text(
        "sun or shade on the parts",
        choices=("sun", "shade"),
        default="sun",
        reason="the worse case",
    )
    gust: float = quantity(
        "vertical gust met in flight",
        "m/s",
        low=0.0,
        high=20.0,
        default=5.0,
        reason="common practice, no source: a breezy day",
    )
    landing_speed: float = quantity(
        "sink speed of a hard landing",
        "m/s",
        low=0.1,
        high=5.0,
        default=1.0,
        reason="common practice, no source: a drop from 51 mm",
    )


@dataclass(frozen=True, kw_only=True)
class Payload(Box):
    """What is carried."""

    below: float = quantity(
        "its centre below the lower plate",
        "m",
        "mm",
        low=0.0,
        high=50.0,
        default=0.08,
        reason="close under the body",
    )
    forward: float = quantity(
        "its centre ahead of the middle", "m", "mm", low=-0.5, high=0.5, default=0.0
    )
    slung: bool = part(
        "hung on a line: it loads the frame but does not shake with it", default=False
    )


@dataclass(frozen=True, kw_only=True)
class Printer:
    """What the printer can make."""

    bed_length: float = quantity("bed, longer side", "m", "mm", low=0.05, high=2.0)
    bed_width: float = quantity("bed, shorter side", "m", "mm", low=0.05, high=2.0)
    height: float = quantity("greatest printed height", "m", "mm", low=0.05, high=2.0)
    nozzle: float = quantity(
        "nozzle bore", "m", "mm", low=1e-4, high=2e-3, default=4e-4, reason="the usual nozzle"
    )
    layer: float = quantity(
        "layer height",
        "m",
        "mm",
        low=5e-5,
        high=1.2e-3,
        default=2e-4,
        reason="half of the usual nozzle",
    )
    nozzle_limit: float = quantity(
        "highest nozzle temperature",
        "K",
        "degC",
        low=453.15,
        high=773.15,
        default=533.15,
        reason="260 °C, a common hot end",
    )
    bed_limit: float = quantity(
        "highest bed temperature",
        "K",
        "degC",
        low=293.15,
        high=473.15,
        default=373.15,
        reason="100 °C, a common bed",
    )
    enclosed: bool = part("closed or heated chamber", default=False)
    hardened_nozzle: bool = part("nozzle stands fibre-filled plastic", default=False)
    filaments: tuple[str, ...] = part("material keys of the spools on the shelf")

    @property
    def extrusion_width(self) -> float:
        """Width of one printed line, m: 1.125 nozzle bores (common practice, no source)."""
        return 1.125 * self.nozzle


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
    tube: str = text(
        "tube key for arms of the tube family",
        default="carbon-tube-16x14",
        reason="used only where the tube family is asked for",
    )
    legs: int = count("landing legs", low=3, high=8, default=4, reason="stable, one broken")
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
        choices=("M3", "M4", "M5"),
        default="M3",
        reason="common practice on airframes under 10 kg",
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


@dataclass(frozen=True, kw_only=True)
class Limits:
    """What must hold. Every default is visible in the result."""

    motor_tilt: float = quantity(
        "motor tilt at full thrust",
        "rad",
        "deg",
        low=1e-4,
        high=0.2,
        default=radians(1.0),
        reason="1 degree; common practice, no source",
    )
    tip_deflection: float = quantity(
        "arm tip deflection at full thrust over arm length",
        "1",
        "%",
        low=1e-4,
        high=0.2,
        default=0.02,
        reason="common practice, no source",
    )
    flight_factor: float = quantity(
        "factor on strength in flight",
        "1",
        low=1.0,
        high=10.0,
        default=2.0,
        reason="printed parts vary; from memory, typical",
    )
    landing_factor: float = quantity(
        "factor on strength in landing and handling",
        "1",
        low=1.0,
        high=10.0,
        default=1.3,
        reason="from memory, typical",
    )
    joint_factor: float = quantity(
        "factor on bolts, inserts and bearing",
        "1",
        low=1.0,
        high=10.0,
        default=2.0,
        reason="from memory, typical",
    )
    creep_stress: float = quantity(
        "hover stress over short-time strength",
        "1",
        "%",
        low=0.01,
        high=1.0,
        default=0.2,
        reason="linear creep range is wider than this (Polymers 2025, 17, 2075 for PETG: 50 %)",
    )
    heat_reserve: float = quantity(
        "part temperature below softening",
        "K",
        "K",
        low=0.0,
        high=100.0,
        default=10.0,
        reason="common practice, no source",
    )
    control_bandwidth: float = quantity(
        "attitude-rate control bandwidth",
        "Hz",
        low=1.0,
        high=100.0,
        default=8.0,
        reason="from memory, typical with propellers near 11 in; small craft are faster",
    )
    bandwidth_ratio: float = quantity(
        "lowest frame mode over control bandwidth",
        "1",
        low=1.0,
        high=20.0,
        default=2.0,
        reason="common practice, no source: keep a factor of two",
    )
    separation: float = quantity(
        "modes away from rotor excitation at hover",
        "1",
        "%",
        low=0.0,
        high=1.0,
        default=0.15,
        reason="common practice, no source",
    )
    thrust_margin: float = quantity(
        "full thrust over all-up weight",
        "1",
        low=1.05,
        high=10.0,
        default=1.8,
        reason="common practice, no source",
    )
    centre_offset: float = quantity(
        "centre of mass from the rotors' centre, over motor radius",
        "1",
        "%",
        low=0.0,
        high=1.0,
        default=0.05,
        reason="common practice, no source",
    )
    balance_grade: float = quantity(
        "balance grade of motor with propeller (ISO 21940-11), mm/s",
        "m/s",
        "mm/s",
        low=1e-4,
        high=0.1,
        default=6.3e-3,
        reason="G 6.3, general machinery; from memory",
    )


@dataclass(frozen=True)
class Assumed:
    """A default that the brief did not state."""

    field: str
    value: str
    reason: str


@dataclass(frozen=True, kw_only=True)
class Brief:
    """Everything that a design starts from, complete and in SI."""

    title: str = text("name of the aircraft")
    note: str = text("anything worth saying about it", default="")
    mission: Mission = part("what it must do")
    motor: Motor = part("the motors")
    propeller: Propeller = part("the propellers")
    speed_controller: SpeedController = part("the speed controllers")
    battery: Battery = part("the flight pack")
    flight_controller: FlightController = part("the flight controller")
    payload: Payload = part("what is carried")
    others: tuple[Placed, ...] = part(
        "receiver, GNSS receiver, camera, lights and the like", default=()
    )
    wiring: float = quantity(
        "wires, plugs, straps and screws together",
        "kg",
        "g",
        low=0.0,
        high=5.0,
        default=0.12,
        reason="from memory, typical of six rotors",
    )
    printer: Printer = part("the printer")
    layout: LayoutWish = part("where the rotors should sit", default=LayoutWish())
    frame: FrameWish = part("what the frame should be", default=FrameWish())
    limits: Limits = part("what must hold", default=Limits())
    assumed: tuple[Assumed, ...] = part("defaults used, filled by the reader", default=())
    folder: str = part(
        "folder of the brief, for the tables it names; filled by the reader", default=""
    )
