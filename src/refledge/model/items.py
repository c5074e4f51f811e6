"""Items: things on hand or to buy that move from the wreck to the new airframe."""

from dataclasses import dataclass
from typing import Any

from refledge.model.fields import count, part, quantity, text


def power_drawn(who: str) -> Any:
    """A field for what something aboard draws all flight long; ``who`` with its verb."""
    meaning = f"electrical power that {who} from the flight pack, all flight long"
    reason = "none given: not counted in the endurance"
    return quantity(meaning, "W", low=0.0, high=2000.0, default=None, reason=reason)


@dataclass(frozen=True, kw_only=True)
class Condition:
    """How many of an item stand in each condition."""

    sound: int = count("tested or beyond doubt", low=0, default=0)
    suspect: int = count("to be inspected before use", low=0, default=0)
    scrap: int = count("not to be flown again", low=0, default=0)
    to_buy: int = count("already decided to buy", low=0, default=0)


@dataclass(frozen=True, kw_only=True)
class Item:
    """What every item has."""

    name: str = text("what you call it")
    mass: float = quantity("mass of one, with its plugs", "kg", "g", low=1e-4, high=20.0)
    condition: Condition = part("how many are sound, suspect, scrap, to buy")


@dataclass(frozen=True, kw_only=True)
class Motor(Item):
    """A brushless outrunner; electrical figures are of the motor alone."""

    Kv: float = quantity("speed constant", "rad/s/V", "rpm/V", low=1.0, high=2000.0)
    resistance: float = quantity(
        "winding resistance between two leads", "ohm", "mohm", low=1e-3, high=10.0
    )
    no_load_current: float = quantity("no-load current", "A", low=0.0, high=20.0)
    max_current: float = quantity("highest current for 30 s", "A", low=0.5, high=300.0)
    diameter: float = quantity("outer diameter of the can", "m", "mm", low=5e-3, high=0.15)
    height: float = quantity("base to propeller seat", "m", "mm", low=5e-3, high=0.15)
    holes: str = text('mounting hole pattern, such as "M3 16x19" (screw, circle diameters in mm)')
    shaft_clearance: float = quantity(
        "bore needed under the motor for shaft and clip",
        "m",
        "mm",
        low=0.0,
        high=0.03,
        default=8e-3,
        reason="common practice, no source",
    )
    thrust_table: str = text(
        "CSV beside the brief from a thrust stand with this motor and any propeller: Kv, "
        "resistance and no-load current are fitted to it",
        default="",
        reason="none given: the three figures are used as they stand",
    )


@dataclass(frozen=True, kw_only=True)
class FittedMotor(Motor):
    """A motor whose Kv, resistance and no-load current its thrust-stand run has set."""

    given: Motor
    """As the brief has it."""
    spread_Kv: float
    """Relative standard uncertainty (1)."""
    spread_resistance: float
    """The same of the winding's."""
    spread_no_load_current: float
    rows: int
    """Of the run."""
    full_rows: int
    """Of those, at full throttle with their voltage."""
    torque: bool
    """The stand measured torque."""
    scatter: float
    """Robust relative scatter of thrust and power about the fit (1)."""


@dataclass(frozen=True, kw_only=True)
class Propeller(Item):
    """A fixed-pitch propeller. Coefficients may come from a measured table."""

    diameter: float = quantity("diameter", "m", "in", low=0.05, high=1.2)
    pitch: float = quantity("pitch", "m", "in", low=0.01, high=1.0)
    blades: int = count("blades", low=2, high=6, default=2, reason="most multirotor propellers")
    coefficients: str = text(
        "CSV beside the brief with columns rpm, CT, CP (measured, static)",
        default="",
        reason="none given: estimated from diameter and pitch, and marked so",
    )
    blade_geometry: str = text(
        "CSV beside the brief with chord and twist against radius; used where nothing is measured",
        default="",
        reason="none given",
    )
    thrust_table: str = text(
        "CSV beside the brief from a thrust stand with this motor: rpm, thrust, power or current",
        default="",
        reason="none given",
    )


@dataclass(frozen=True, kw_only=True)
class SpeedController(Item):
    """One electronic speed controller per motor."""

    max_current: float = quantity("continuous current", "A", low=1.0, high=300.0)
    resistance: float = quantity(
        "on-resistance, input to motor",
        "ohm",
        "mohm",
        low=0.0,
        high=0.1,
        default=4e-3,
        reason="from memory, typical of 30 A class",
    )


@dataclass(frozen=True, kw_only=True)
class Box(Item):
    """An item with an outline, length along the nose."""

    length: float = quantity("length along the nose", "m", "mm", low=1e-3, high=1.0)
    width: float = quantity("width", "m", "mm", low=1e-3, high=1.0)
    height: float = quantity("height", "m", "mm", low=1e-3, high=1.0)


@dataclass(frozen=True, kw_only=True)
class Battery(Box):
    """The flight pack."""

    cells: int = count("cells in series", low=1, high=14)
    capacity: float = quantity("rated capacity", "C", "mAh", low=360.0, high=360_000.0)
    chemistry: str = text("cell chemistry", choices=("LiPo", "Li-ion"), default="LiPo")
    resistance: float = quantity(
        "resistance of the whole pack with its leads", "ohm", "mohm", low=1e-3, high=2.0
    )
    max_current: float = quantity("highest continuous current", "A", low=1.0, high=1000.0)
    usable: float = quantity(
        "fraction of the capacity used in a flight",
        "1",
        "%",
        low=0.1,
        high=1.0,
        default=0.8,
        reason="common practice, no source: land with a fifth left",
    )


@dataclass(frozen=True, kw_only=True)
class FlightController(Box):
    """The open flight controller with its own soft or hard mounting holes."""

    holes: str = text('mounting holes, such as "M3 30.5x30.5" (screw, spacing in mm)')
    drawn_power: float | None = power_drawn("it and all that it feeds draw")


@dataclass(frozen=True, kw_only=True)
class Standoffs:
    """Four elastic standoffs under a damped seat, of rubber or printed of a soft filament, with a
    stud of the controller's screw size at each end. Used only where frame.seat is "damped"."""

    stiffness: float = quantity(
        "of one, along its axis: hang a known weight on it and measure how far it gives",
        "N/m",
        "N/mm",
        low=10.0,
        high=1e6,
        default=700.0,
        reason="from memory, typical of hollow silicone standoffs for small boards; measure yours",
    )
    side_stiffness: float = quantity(
        "of one, across its axis",
        "N/m",
        "N/mm",
        low=10.0,
        high=1e6,
        default=500.0,
        reason="from memory, typical: a little softer than along; measure yours",
    )
    spread: float = quantity(
        "standard uncertainty of both stiffnesses: pieces differ, and rubber stiffens in the cold",
        "1",
        "%",
        low=0.0,
        high=1.0,
        default=0.2,
        reason="from memory, typical",
    )
    loss: float = quantity(
        "loss factor of the rubber",
        "1",
        low=0.01,
        high=2.0,
        default=0.2,
        reason="from memory, typical of silicone rubber",
    )
    travel: float = quantity(
        "how far one gives either way before it bottoms out",
        "m",
        "mm",
        low=1e-4,
        high=20e-3,
        default=2.5e-3,
        reason="a third of the height: common practice, no source",
    )
    height: float = quantity(
        "upper plate to carrier",
        "m",
        "mm",
        low=2e-3,
        high=40e-3,
        default=8e-3,
        reason="from memory, typical",
    )
    diameter: float = quantity(
        "greatest", "m", "mm", low=2e-3, high=25e-3, default=8e-3, reason="from memory, typical"
    )
    mass: float = quantity(
        "of one with its studs",
        "kg",
        "g",
        low=0.0,
        high=0.05,
        default=1.5e-3,
        reason="from memory, typical with steel studs",
    )


@dataclass(frozen=True, kw_only=True)
class Placed(Box):
    """An item with a place of its own: centre of mass in body axes (nose, left, up)."""

    x: float = quantity("forward of the centre", "m", "mm", low=-1.0, high=1.0, default=0.0)
    y: float = quantity("left of the centre", "m", "mm", low=-1.0, high=1.0, default=0.0)
    z: float | None = quantity(
        "above the upper plate (negative: below the lower plate)",
        "m",
        "mm",
        low=-2.0,
        high=1.0,
        default=None,
        reason="none given: it rests on the upper plate",
    )
    fixed: bool = part(
        "fixed to the frame, so that its mass shakes with it; otherwise it only loads the frame: "
        "from soft feet above, from a line below",
        default=True,
    )
    drawn_power: float | None = power_drawn("it draws")
