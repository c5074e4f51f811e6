"""What a sweep's workers are told of layout kinds and propellers, found once beforehand.

Workers read this: it imports nothing heavy (tests/sweeps/test_workers.py).
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class KindFacts:
    """One ready-made layout kind."""

    arms: int
    rotors: int
    paired: bool
    tip_radius: float
    """Motor radius over (diameter + tip gap) where neighbouring tips decide it."""
    across: float
    """Greatest distance between two motors over the motor radius."""
    lost: int
    """After the worst single loss: 0 cannot be held, 1 level without heading, 2 with heading."""
    lost_factor: float
    """Greatest thrust of a remaining rotor over mean hover thrust then."""
    with_heading: tuple[float, ...]
    """The same after each loss that leaves the heading, infinite after the others; as many as the
    most rotors of any kind."""
    control: float
    """Control index in hover over that of the same kind with alternating turns (1)."""


@dataclass(frozen=True)
class PairFacts:
    """A coaxial pair of one propeller: the same at every speed while CT and CP are constant."""

    hover_thrust: float
    """Lower over upper thrust at equal torque."""
    hover_turn: float
    """Lower over upper speed then."""
    full_thrust: float
    """Lower over upper thrust at equal speed, which equal throttle nearly is."""
    full_torque: float
    """Lower over upper torque then."""


@dataclass(frozen=True)
class Facts:
    """Of one grid."""

    kinds: tuple[KindFacts, ...]
    """In the grid's order."""
    pairs: tuple[PairFacts, ...]
    """Of each propeller, in the grid's order."""
