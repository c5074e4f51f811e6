"""Predictions and scores, evidence and what a card learned from it."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Prediction:
    """A figure written down before its test."""

    name: str
    """Such as ``arm 1, first vertical mode``."""
    value: float
    uncertainty: float
    """Standard uncertainty, unit of ``value``."""
    unit: str
    basis: str
    """Version, brief and method that it came from."""


@dataclass(frozen=True)
class Score:
    """A prediction against its test."""

    prediction: Prediction
    measured: float
    measured_uncertainty: float
    z: float
    """(measured - predicted) over both standard uncertainties together."""
    made: str
    """When predicted, UTC."""
    scored: str


@dataclass(frozen=True)
class Evidence:
    """One property as one session measured it, as kept in the store."""

    prop: str
    value: float
    """SI."""
    random: float
    """Relative standard uncertainty of this session's own."""
    systematic: float
    """Relative standard uncertainty shared by sessions with the same gauges."""
    gauges: str
    pieces: int
    date: str
    source: str
    """Title of the session."""


@dataclass(frozen=True)
class Learned:
    """One figure of a card: literature, measured, and both together."""

    prop: str
    literature: float
    literature_spread: float
    measured: float
    """Not a number where only another property was measured, which this one hangs together with."""
    measured_spread: float
    value: float
    spread: float
    z: float
    """(measured - literature) over both spreads together, in logs."""
    words: str


@dataclass(frozen=True)
class Calibration:
    """Whether predictions were as sure as they claimed."""

    count: int
    mean_z: float
    rms_z: float
    within_68: float
    """Share of tests inside one standard uncertainty."""
    within_95: float
    chance: float
    """Two-sided chance of a sum of squares as odd as this, were the uncertainties honest."""
    words: str
    small: bool = False
    """Uncertainties found too small: what rests on them may not hold."""
