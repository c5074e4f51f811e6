"""The candidates of a sweep: every layout kind with every propeller, pack and motor."""

import hashlib
import math
from dataclasses import dataclass, fields

import numpy as np

from refledge.errors import FlightError
from refledge.flight.air import site_density, speed_of_sound
from refledge.flight.layout import rotor_count
from refledge.flight.rotor import RotorModel
from refledge.flight.throttle import MOST_TIP_MACH
from refledge.flight.turns import split_kind
from refledge.model.brief import Brief
from refledge.model.items import Battery, Motor, Propeller
from refledge.typed import Floats, Ints


@dataclass(frozen=True, eq=False)
class Propellers:
    """(p,) each. CT and CP hold at ``reference`` speed and go with powers of speed."""

    diameter: Floats  # m
    mass: Floats  # kg
    CT: Floats
    CP: Floats
    CT_power: Floats
    CP_power: Floats
    reference: Floats  # rad/s
    blades: Floats


@dataclass(frozen=True, eq=False)
class Packs:
    """(b,) each."""

    cells: Floats
    capacity: Floats  # C
    resistance: Floats  # ohm
    mass: Floats  # kg
    max_current: Floats  # A
    usable: Floats
    lithium_ion: Floats
    """1 for Li-ion, 0 for LiPo."""


@dataclass(frozen=True, eq=False)
class Motors:
    """(m,) each."""

    Kv: Floats  # rad/s/V
    resistance: Floats  # ohm
    no_load_current: Floats  # A
    max_current: Floats  # A
    mass: Floats  # kg


@dataclass(frozen=True)
class Common:
    """What every candidate shares."""

    rho: float  # kg/m3
    carried: float
    """kg: payload, flight controller, wiring, other items; all but pack, motors, propellers."""
    controller_mass: float  # kg each
    controller_resistance: float  # ohm
    controller_current: float  # A
    tip_gap: float  # m
    body_gap: float  # m
    most_tip_speed: float  # m/s


@dataclass(frozen=True, eq=False)
class Grid:
    """All combinations; a candidate's number runs through kinds slowest, motors fastest."""

    kinds: tuple[str, ...]
    propellers: Propellers
    packs: Packs
    motors: Motors
    common: Common
    reach: Floats
    """(kinds, packs), m: radius that a propeller's tip must pass; infinite where the parts in the
    middle cannot be placed."""

    def __post_init__(self) -> None:
        if 0 in self.shape:
            raise FlightError("a sweep needs at least one layout kind, propeller, pack and motor")
        for kind in self.kinds:
            rotor_count(split_kind(kind)[0])
        if self.reach.shape != (len(self.kinds), len(self.packs.cells)):
            raise FlightError("a sweep needs one reach for each layout kind and pack")

    @property
    def shape(self) -> tuple[int, int, int, int]:
        """Kinds, propellers, packs, motors."""
        return (
            len(self.kinds),
            len(self.propellers.diameter),
            len(self.packs.cells),
            len(self.motors.Kv),
        )

    @property
    def count(self) -> int:
        """Candidates."""
        return math.prod(self.shape)

    def indices(self, start: int, stop: int) -> tuple[Ints, Ints, Ints, Ints]:
        """Kind, propeller, pack and motor of candidates ``start``..``stop``, (n,) each."""
        kind, propeller, pack, motor = np.unravel_index(np.arange(start, stop), self.shape)
        return kind, propeller, pack, motor

    @property
    def fingerprint(self) -> str:
        """Short text that changes with anything a result depends on."""
        digest = hashlib.sha256("|".join(self.kinds).encode())
        for part in (self.propellers, self.packs, self.motors):
            for each in fields(part):
                digest.update(each.name.encode())
                digest.update(np.ascontiguousarray(getattr(part, each.name), float).tobytes())
        digest.update(repr(self.common).encode())
        digest.update(np.ascontiguousarray(self.reach, float).tobytes())
        return digest.hexdigest()[:16]


def propellers_of(rotors: list[tuple[Propeller, RotorModel]]) -> Propellers:
    """Each rotor's coefficients as a power law of speed, least squares over its table.

    The law meets a measured table within about 2 % (docs/flight.md); one row gives powers of 0.
    """
    rows = [_power_law(item, rotor) for item, rotor in rotors]
    return Propellers(*np.array(rows, dtype=np.float64).reshape(-1, 8).T)


def _power_law(item: Propeller, rotor: RotorModel) -> tuple[float, ...]:
    speed = np.array(rotor.CT_curve.knots)
    CT, CP = np.array(rotor.CT_curve.values), np.array(rotor.CP_curve.values)
    reference = float(np.exp(np.mean(np.log(speed))))
    laws = []
    for values in (CT, CP):
        if len(speed) == 1:
            laws += [float(values[0]), 0.0]
            continue
        power, level = np.polyfit(np.log(speed / reference), np.log(values), 1)
        laws += [float(np.exp(level)), float(power)]
    top, rise, cost, growth = laws
    return (item.diameter, item.mass, top, cost, rise, growth, reference, rotor.blades)


def packs_of(batteries: list[Battery]) -> Packs:
    """The packs as arrays."""
    rows = [
        (
            each.cells,
            each.capacity,
            each.resistance,
            each.mass,
            each.max_current,
            each.usable,
            each.chemistry == "Li-ion",
        )
        for each in batteries
    ]
    return Packs(*np.array(rows, dtype=np.float64).reshape(-1, 7).T)


def motors_of(motors: list[Motor]) -> Motors:
    """The motors as arrays."""
    rows = [
        (each.Kv, each.resistance, each.no_load_current, each.max_current, each.mass)
        for each in motors
    ]
    return Motors(*np.array(rows, dtype=np.float64).reshape(-1, 5).T)


def brief_grid(
    brief: Brief,
    rotors: list[tuple[Propeller, RotorModel]],
    packs: list[Battery],
    motors: list[Motor],
    kinds: tuple[str, ...],
    reach: Floats,
) -> Grid:
    """The grid about one brief: what it carries and its air, with the items to try.

    ``reach`` (kinds, packs), m, encloses what a propeller's tip must pass.
    """
    fixed = brief.payload.mass + brief.flight_controller.mass + brief.wiring
    controller = brief.speed_controller
    return Grid(
        kinds=kinds,
        propellers=propellers_of(rotors),
        packs=packs_of(packs),
        motors=motors_of(motors),
        common=Common(
            rho=site_density(brief.mission),
            carried=fixed + sum(each.mass for each in brief.others),
            controller_mass=controller.mass,
            controller_resistance=controller.resistance,
            controller_current=controller.max_current,
            tip_gap=brief.layout.tip_gap,
            body_gap=brief.layout.body_gap,
            most_tip_speed=MOST_TIP_MACH * speed_of_sound(brief.mission.air_temperature),
        ),
        reach=reach,
    )
