"""The candidates of a sweep: every layout kind with every propeller, pack and motor.

Workers read this: it imports nothing heavy (tests/sweeps/test_workers.py).
"""

import hashlib
import math
from dataclasses import dataclass, fields

import numpy as np

from refledge.errors import FlightError
from refledge.flight.kinds import rotor_count
from refledge.flight.turns import split_kind
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
    other_power: float = 0.0
    """W that the pack feeds beside the motors."""


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
