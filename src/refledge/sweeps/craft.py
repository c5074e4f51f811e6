"""Every figure of a run of candidates at once, as arrays.

The same physics as ``flight.operating`` with three simplifications, each stated in docs/flight.md
with what it costs: coefficients are powers of speed; what couples a pair is found once for each
propeller, with constant coefficients; the battery's integral is by six Gauss points.
Frame mass is the surrogate's. Workers read this: it imports nothing heavy
(tests/sweeps/test_workers.py).
"""

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from refledge.flight import power
from refledge.flight.air import GRAVITY
from refledge.sweeps.facts import Facts
from refledge.sweeps.frame_mass import FrameMass
from refledge.sweeps.grid import Grid
from refledge.typed import Bools, Floats, Ints

TURN = 2 * math.pi
CHUNK = 1 << 15
"""Candidates in a block: their arrays stay in a core's cache; docs/flight.md has the trial."""
LIMITS = ("voltage", "motor", "controller", "tip speed", "battery")
"""Meaning of the column ``full_limit``."""
COLUMNS = {
    "candidate": "int64",
    "all_up_mass": "float32",  # kg
    "frame_mass": "float32",  # kg
    "motor_radius": "float32",  # m
    "footprint": "float32",  # m
    "hover_power": "float32",  # W, at the plug
    "hover_throttle": "float32",
    "hover_current": "float32",  # A, each motor
    "endurance": "float32",  # s, 0 where it cannot hover
    "thrust_margin": "float32",  # full thrust over weight
    "full_limit": "int8",
    "rotor_lost": "int8",  # 0 cannot be held, 1 level only, 2 heading kept; full thrust considered
    "heading_kept": "int8",  # rotors of which any one may stop without losing the heading
    "control": "float32",  # hover's control index over that of alternating turns
    "hovers": "bool",
}
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(6)
_STEPS = 7  # Newton steps; the functions are convex and rising, so they close in from one side


@dataclass(frozen=True, eq=False)
class Work:
    """All that a worker needs for any chunk of a sweep."""

    grid: Grid
    facts: Facts
    frame_mass: FrameMass

    def columns(self, start: int, stop: int) -> dict[str, np.ndarray]:
        """Candidates ``start``..``stop``: column name to (n,), as in COLUMNS, block by block."""
        blocks = [evaluated(self, at, min(at + CHUNK, stop)) for at in range(start, stop, CHUNK)]
        return {name: np.concatenate([block[name] for block in blocks]) for name in blocks[0]}


def evaluated(work: Work, start: int, stop: int) -> dict[str, np.ndarray]:
    """Candidates ``start``..``stop`` in one block."""
    craft = _Craft(work, *work.grid.indices(start, stop))
    hovers = craft.hovers
    full, limit = craft.full_speed
    found = {
        "candidate": np.arange(start, stop),
        "all_up_mass": craft.mass,
        "frame_mass": craft.frame,
        "motor_radius": craft.radius,
        "footprint": craft.across * craft.radius + craft.diameter,
        "hover_power": craft.hover_power,
        "hover_throttle": craft.hover_made / craft.middle_voltage,
        "hover_current": craft.current(craft.hover_speed),
        "endurance": np.where(hovers, craft.endurance, 0.0),
        "thrust_margin": craft.rotors * craft.full_share * craft.thrust(full) / craft.weight,
        "full_limit": limit,
        "rotor_lost": np.where(craft.lost_factor * craft.mean <= craft.thrust(full), craft.lost, 0),
        "heading_kept": craft.heading_kept(craft.thrust(full)),
        "control": craft.control,
        "hovers": hovers,
    }
    return {name: found[name].astype(kind) for name, kind in COLUMNS.items()}


class _Craft:
    """A run of candidates; every array is (n,)."""

    def __init__(self, work: Work, kind: Ints, propeller: Ints, pack: Ints, motor: Ints) -> None:
        grid, facts, pairs = work.grid, work.facts.kinds, work.facts.pairs
        common = grid.common

        def of_kind(values: list[float]) -> Floats:
            return np.array(values, dtype=np.float64)[kind]

        arms = of_kind([each.arms for each in facts])
        self.common = common
        self.rotors = of_kind([each.rotors for each in facts])
        self.across = of_kind([each.across for each in facts])
        self.lost = of_kind([each.lost for each in facts])
        self.lost_factor = of_kind([each.lost_factor for each in facts])
        self.control = of_kind([each.control for each in facts])
        self.with_heading = np.array([each.with_heading for each in facts])[kind]
        tip_radius = of_kind([each.tip_radius for each in facts])
        paired = of_kind([each.paired for each in facts])
        blades, motors, packs = grid.propellers, grid.motors, grid.packs

        def lower(values: list[float]) -> Floats:
            """Lower over upper rotor; 1 where the layout is flat."""
            found: Floats = 1 + paired * (np.array(values)[propeller] - 1)
            return found

        self.hover_share = (1 + lower([each.hover_thrust for each in pairs])) / 2
        self.hover_turn = lower([each.hover_turn for each in pairs])
        self.full_share = (1 + lower([each.full_thrust for each in pairs])) / 2
        self.full_torque = lower([each.full_torque for each in pairs])
        self.diameter = blades.diameter[propeller]
        self.CT_power, self.CP_power = blades.CT_power[propeller], blades.CP_power[propeller]
        self.reference = blades.reference[propeller]
        head = common.rho * (self.reference / TURN) ** 2 * self.diameter**4
        self.top_thrust = blades.CT[propeller] * head  # N at the reference speed
        self.top_torque = blades.CP[propeller] * head * self.diameter / TURN
        self.Kv, self.idle = motors.Kv[motor], motors.no_load_current[motor]
        self.resistance = motors.resistance[motor] + common.controller_resistance
        self.most_current = motors.max_current[motor]
        self.cells, self.capacity = packs.cells[pack], packs.capacity[pack]
        self.pack_resistance, self.usable = packs.resistance[pack], packs.usable[pack]
        self.pack_current, self.lithium = packs.max_current[pack], packs.lithium_ion[pack] > 0
        reach = grid.reach[kind, pack]
        self.buildable = np.isfinite(reach)
        self.radius = np.maximum(
            (self.diameter + common.tip_gap) * tip_radius,
            np.where(self.buildable, reach, 0.0) + common.body_gap + self.diameter / 2,
        )
        self.frame = work.frame_mass(arms, self.radius)
        each = motors.mass[motor] + blades.mass[propeller] + common.controller_mass
        self.mass = common.carried + packs.mass[pack] + self.rotors * each + self.frame
        self.weight = self.mass * GRAVITY
        self.mean = self.weight / self.rotors  # N, mean rotor thrust in hover

    def thrust(self, speed: Floats) -> Floats:
        """N of an upper or single rotor at ``speed``, rad/s."""
        found: Floats = self.top_thrust * (speed / self.reference) ** (2 + self.CT_power)
        return found

    def heading_kept(self, full: Floats) -> Ints:
        """(n,): losses survived with heading where a rotor gives at most ``full``, N."""
        found: Ints = np.sum(self.with_heading * self.mean[:, None] <= full[:, None], axis=1)
        return found

    def current(self, speed: Floats, torque: Floats | float = 1.0) -> Floats:
        """A in a motor with ``torque`` times that of an upper or single rotor."""
        one = self.top_torque * (speed / self.reference) ** (2 + self.CP_power)
        found: Floats = torque * one * self.Kv + self.idle
        return found

    def made(self, speed: Floats, turn: Floats | float = 1.0) -> Floats:
        """V that a controller makes before its resistance, the rotor turning ``turn`` as fast."""
        return self.current(speed) * self.resistance + turn * speed / self.Kv

    @cached_property
    def hover_power(self) -> Floats:
        """W at the plug; both rotors of a pair have one torque."""
        mean = self.made(self.hover_speed, (1 + self.hover_turn) / 2)
        return self.rotors * mean * self.current(self.hover_speed) + self.common.other_power

    @cached_property
    def hover_made(self) -> Floats:
        """V that the faster rotors' controllers make."""
        return self.made(self.hover_speed, np.maximum(self.hover_turn, 1.0))

    @cached_property
    def hover_speed(self) -> Floats:
        """rad/s."""
        wanted = self.mean / self.hover_share / self.top_thrust
        found: Floats = self.reference * wanted ** (1 / (2 + self.CT_power))
        return found

    def rest_voltage(self, charge: Floats | float) -> Floats:
        """V of the pack at rest at ``charge``."""
        cell = np.where(self.lithium, _cell("Li-ion", charge), _cell("LiPo", charge))
        return self.cells * cell

    def loaded(self, charge: Floats | float) -> Floats:
        """V at the plug in hover; half the rest voltage where the pack cannot give the power."""
        rest = self.rest_voltage(charge)
        inside = rest**2 - 4 * self.pack_resistance * self.hover_power
        found: Floats = (rest + np.sqrt(np.maximum(inside, 0.0))) / 2
        return found

    @cached_property
    def middle_voltage(self) -> Floats:
        """V at the plug half-way through the usable charge."""
        return self.loaded(1 - self.usable / 2)

    @cached_property
    def last_charge(self) -> Floats:
        """State of charge at which the flight ends; above 1 where it cannot begin."""
        floor = np.where(self.lithium, power.CELL_FLOOR["Li-ion"], power.CELL_FLOOR["LiPo"])
        least = np.maximum(self.hover_made, self.cells * floor)
        drop = self.pack_resistance * self.hover_power / least
        rest = (least + drop) / self.cells
        needed = np.where(self.lithium, _charge("Li-ion", rest), _charge("LiPo", rest))
        return np.maximum(needed, 1 - self.usable)

    @cached_property
    def hovers(self) -> Bools:
        """The pack, the motors and the controllers can all hold hover half-way through."""
        current = self.current(self.hover_speed)
        drawn = self.hover_power / self.middle_voltage
        found: Bools = (
            self.buildable
            & (self.last_charge <= 1 - self.usable / 2)
            & (current <= self.most_current)
            & (current <= self.common.controller_current)
            & (drawn <= self.pack_current)
        )
        return found

    @cached_property
    def endurance(self) -> Floats:
        """s from full to the last charge: C integral of V(z)/P dz."""
        half = np.maximum(1 - self.last_charge, 0.0) / 2
        total = np.zeros_like(half)
        for node, weight in zip(_NODES, _WEIGHTS, strict=True):
            total += weight * self.loaded(1 - half + half * node)
        found: Floats = self.capacity * half * total / self.hover_power
        return found

    @cached_property
    def full_speed(self) -> tuple[Floats, Ints]:
        """rad/s at full throttle of a full pack within every limit, and index into LIMITS."""
        most = np.minimum(self.most_current, self.common.controller_current)
        hardest = self.top_torque * np.maximum(self.full_torque, 1.0)
        room = np.maximum(most - self.idle, 1e-9) / (self.Kv * hardest)
        bounds = np.stack(
            (
                self._voltage_speed(),
                self.reference * room ** (1 / (2 + self.CP_power)),
                np.full_like(room, np.inf),
                self.common.most_tip_speed / (self.diameter / 2),
            )
        )
        limit = np.argmin(bounds, axis=0)
        of_controller = (limit == 1) & (self.common.controller_current < self.most_current)
        limit = np.where(of_controller, 2, limit)
        speed = np.min(bounds, axis=0)
        held = self._within_pack(speed)
        return held, np.where(held < speed, 4, limit)

    def _drawn(self, speed: Floats) -> tuple[Floats, Floats]:
        """A of all motors together at full throttle, and its rate, A per rad/s."""
        mean = (1 + self.full_torque) / 2
        current = self.current(speed, mean)
        rate = (current - self.idle) * (2 + self.CP_power) / speed
        return self.rotors * current, self.rotors * rate

    def _made_rate(self, speed: Floats) -> Floats:
        """V per rad/s."""
        rate = (self.current(speed) - self.idle) * (2 + self.CP_power) / speed
        return rate * self.resistance + 1 / self.Kv

    def _voltage_speed(self) -> Floats:
        """rad/s where motors take all that the sagging full pack holds."""
        rest = self.rest_voltage(1.0)
        speed = self.Kv * rest
        for _ in range(_STEPS):
            (drawn, rate), made = self._drawn(speed), self.made(speed)
            beside = self.pack_resistance * self.common.other_power / made  # V of sag
            over = made + self.pack_resistance * drawn + beside - rest
            slope = self._made_rate(speed) * (1 - beside / made) + self.pack_resistance * rate
            speed = speed - over / slope
        return speed

    def _within_pack(self, speed: Floats) -> Floats:
        """rad/s lowered until the pack's current is allowed."""
        allowed = self.pack_current
        most = allowed * (self.rest_voltage(1.0) - self.pack_resistance * allowed)
        most = most - self.common.other_power
        for _ in range(_STEPS):
            (drawn, rate), made = self._drawn(speed), self.made(speed)
            slope = made * rate + drawn * self._made_rate(speed)
            speed = speed - np.maximum(made * drawn - most, 0.0) / slope
        return speed


def _cell(chemistry: str, charge: Floats | float) -> Floats:
    known, volts = power.cell_voltages(chemistry)
    return np.interp(np.asarray(charge, dtype=np.float64), known, volts)


def _charge(chemistry: str, volts: Floats) -> Floats:
    """State of charge whose rest voltage per cell is ``volts``; above 1 where none is enough."""
    known, rest = power.cell_voltages(chemistry)
    return np.interp(volts, rest, known, right=2.0)
