"""Series for charts: rotor speed against modes, masses by group, the discharge of a hover."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby
from math import pi

import numpy as np

from refledge.flight.discharge import Demand, simulate
from refledge.model.results import MassLine, ModeSet
from refledge.model.rotors import Discharge
from refledge.study import Study
from refledge.typed import Floats

TURN = 2 * pi
GROUP_NAMES = {
    "items": "motors, electronics and other items",
    "payload": "payload",
    "printed": "printed parts",
    "bought": "tubes",
    "fasteners": "fasteners",
    "wiring": "wiring and straps",
}


@dataclass(frozen=True)
class Hover:
    """Where one kind of rotor turns in hover."""

    name: str
    throttle: float
    once: float
    """Hz."""
    blade: float
    """Hz."""


@dataclass(frozen=True)
class Band:
    """Frequencies to be kept clear, Hz."""

    low: float
    high: float
    why: str


@dataclass(frozen=True)
class Mode:
    """One natural mode on the chart."""

    of: str
    index: int
    hz: float
    label: str
    felt: float
    felt_limit: float
    """m/s2."""

    @property
    def matters(self) -> bool:
        """Whether the flight controller would feel it beyond what is let be."""
        return self.felt >= self.felt_limit > 0.0


@dataclass(frozen=True, eq=False)
class SpeedChart:
    """Excitation over throttle, against the modes."""

    throttle: Floats
    """(k,), 1."""
    once: Floats
    """(k,), Hz, once per revolution."""
    blade: Floats
    """(k,), Hz, blade pass."""
    blades: int
    hovers: tuple[Hover, ...]
    bands: tuple[Band, ...]
    modes: tuple[Mode, ...]
    bandwidth: float
    """Hz, of attitude control."""
    wanted: float
    """Hz, that the first mode must reach."""


def speed_chart(study: Study) -> SpeedChart:
    """Rotor speed against modes over the throttle range used."""
    speeds, limits = study.speeds, study.brief.limits
    once = np.asarray(speeds.speed) / TURN
    hovers = tuple(_hovers(study))
    return SpeedChart(
        throttle=np.asarray(speeds.throttle),
        once=once,
        blade=speeds.blades * once,
        blades=speeds.blades,
        hovers=hovers,
        bands=tuple(_bands(hovers, limits.separation)),
        modes=(*_modes("airframe", study.airframe_modes), *_modes("arm", study.arm_modes)),
        bandwidth=limits.control_bandwidth,
        wanted=limits.control_bandwidth * limits.bandwidth_ratio,
    )


def _hovers(study: Study) -> Iterator[Hover]:
    speeds = study.speeds
    names = ("hover",) if len(speeds.hover_speeds) == 1 else ("hover, upper", "hover, lower")
    for name, speed in zip(names, speeds.hover_speeds, strict=True):
        throttle = float(np.interp(speed, speeds.speed, speeds.throttle))
        yield Hover(name, throttle, speed / TURN, speeds.blades * speed / TURN)


def _bands(hovers: tuple[Hover, ...], separation: float) -> Iterator[Band]:
    for hover in hovers:
        for middle, name in ((hover.once, "once per revolution"), (hover.blade, "blade pass")):
            low, high = middle * (1 - separation), middle * (1 + separation)
            yield Band(low, high, f"{name}, {hover.name}")


def _modes(of: str, found: ModeSet) -> Iterator[Mode]:
    felt = found.felt.tolist()
    for index, (hz, label) in enumerate(zip(found.frequencies.tolist(), found.labels, strict=True)):
        yield Mode(of, index, hz, label, felt[index], found.felt_limit)


@dataclass(frozen=True)
class MassGroup:
    """Everything of one kind, kg."""

    group: str
    label: str
    mass: float
    lines: tuple[MassLine, ...]


def mass_groups(study: Study) -> tuple[MassGroup, ...]:
    """The mass table by group, the heaviest first."""
    ordered = sorted(study.masses, key=lambda line: line.group)
    made = [
        _group(name, tuple(lines)) for name, lines in groupby(ordered, key=lambda line: line.group)
    ]
    return tuple(sorted(made, key=lambda each: -each.mass))


def _group(name: str, lines: tuple[MassLine, ...]) -> MassGroup:
    total = sum(line.total for line in lines)
    return MassGroup(name, GROUP_NAMES.get(name, name), total, lines)


def hover_discharge(study: Study) -> Discharge:
    """A whole hover from a full pack until it ends. Raises FlightError where it cannot begin."""
    hover = study.hover
    shaft = sum(rotor.shaft_power for rotor in hover.rotors)
    least = max(rotor.voltage for rotor in hover.rotors)
    air = study.brief.mission.air_temperature
    return simulate(study.brief.battery, Demand(hover.power, shaft, least), air)
