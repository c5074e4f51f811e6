"""Blades, operating points along the flight, and figures with their uncertainty."""

from dataclasses import dataclass

from refledge.typed import Floats


@dataclass(frozen=True, eq=False)
class BladeGeometry:
    """One blade as measured: chord and twist against radius."""

    diameter: float  # m
    blades: int
    radius: Floats
    """(n,), rising, radius over tip radius (1)."""
    chord: Floats
    """(n,), m."""
    twist: Floats
    """(n,), rad, chord line against the disc."""
    source: str


@dataclass(frozen=True)
class RotorLoad:
    """What one rotor does at one axial speed."""

    thrust: float  # N
    torque: float  # N m
    speed: float  # rad/s
    axial: float  # m/s, climb positive
    CT: float
    CP: float

    @property
    def power(self) -> float:
        """W, on the shaft."""
        return self.torque * self.speed


@dataclass(frozen=True)
class Estimate:
    """A figure with its standard uncertainty and where that comes from."""

    value: float
    uncertainty: float
    """Standard uncertainty, in the unit of ``value``."""
    shares: tuple[tuple[str, float], ...]
    """Input name to its part of the variance (sums to 1), largest first."""

    @property
    def low(self) -> float:
        """Lower end of the band of two standard uncertainties."""
        return self.value - 2 * self.uncertainty

    @property
    def high(self) -> float:
        """Upper end of the band of two standard uncertainties."""
        return self.value + 2 * self.uncertainty


@dataclass(frozen=True)
class FlightPoint:
    """The whole aircraft in steady flight along a path: climb, cruise, holding against wind."""

    name: str
    speed: float  # m/s, horizontal, through the air
    climb: float  # m/s
    tilt: float  # rad, nose down
    thrust: float  # N, all rotors
    shaft_power: float  # W, all rotors
    power: float  # W, at the battery's plug
    rotor_speed: float  # rad/s
    throttle: float
    endurance: float  # s, at this power; 0 where not meant
    range: float  # m, through still air; 0 where not meant
    method: str


@dataclass(frozen=True, eq=False)
class Discharge:
    """One flight from full to cut-off, sample by sample."""

    time: Floats
    """(n,), s."""
    charge: Floats
    """(n,), state of charge 0..1."""
    voltage: Floats
    """(n,), V, at the plug."""
    current: Floats
    """(n,), A."""
    ended_by: str
    """charge, cell floor, or voltage (the motors need more than the pack holds)."""
    delivered: float  # J, at the plug
    lost: float  # J, heat in the pack
    shaft: float  # J, on the shafts
    other: float  # J, motors' and controllers' losses

    @property
    def endurance(self) -> float:
        """s."""
        return float(self.time[-1])


@dataclass(frozen=True)
class Authority:
    """How well one set of rotors holds hover and turns."""

    lost: int
    """Index of the rotor that stopped; -1 with all running."""
    index: float
    """Available control authority index, N (or N m): distance of hover to the nearest face."""
    level: bool
    """Lift, roll and pitch can be held with some control left."""
    heading: bool
    """Yaw as well."""
    peak: float
    """Greatest thrust of a rotor in the best trim over its full thrust; infinite where none."""
    thrust_fraction: float
    """Greatest level total thrust over that with all rotors."""


@dataclass(frozen=True)
class TurnOrder:
    """One order of turn directions round the ring and what it survives."""

    spins: tuple[int, ...]
    healthy: float  # N, index with all running
    worst: float  # N, least index after one loss
    survived: int  # losses after which attitude and heading both stay controllable
    level: int  # losses after which at least level flight can be held
