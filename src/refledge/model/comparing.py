"""Materials and arm variants side by side, and their places."""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Candidate:
    """One material or arm variant to compare; figures as (value, relative standard uncertainty)."""

    name: str
    E: tuple[float, float]  # Pa
    rho: tuple[float, float]  # kg/m3
    predicted_stiffness: tuple[float, float] | None = None  # N/m
    measured_stiffness: tuple[float, float] | None = None
    mass: tuple[float, float] | None = None  # kg
    heat_limit: float = float("nan")  # K
    creep_factor: float = float("nan")
    price: float = float("nan")  # per kg, middle of the range
    piece: str = ""
    """What the next two speak of; "" for nothing."""
    print_time: tuple[float, float] | None = None
    """s, an estimate; None where there is no solid to time."""
    piece_price: float = float("nan")


@dataclass(frozen=True)
class Ranked:
    """One candidate in its place."""

    name: str
    value: float  # the figure of merit
    spread: float  # relative
    best: float
    """Probability that it is the best of all."""
    over_next: float
    """Probability that it beats the one ranked next; not a number for the last."""
    words: str
