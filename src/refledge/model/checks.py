"""Checks: demand against capacity, with margin, method and source."""

from dataclasses import dataclass
from enum import StrEnum


class Verdict(StrEnum):
    """What a check says, best first."""

    HOLDS = "holds"
    NARROWLY = "holds narrowly"
    FAILS = "fails"
    UNKNOWN = "cannot say"


@dataclass(frozen=True, kw_only=True)
class Check:
    """One question with its answer."""

    key: str
    title: str
    group: str
    """stiffness, strength, joints, shaking, heat, flight, fit"""
    part: str
    load_case: str
    demand: float
    capacity: float
    """The limit that the demand is held against."""
    at_least: bool
    """True where the demand must reach the capacity; False where it must not exceed it."""
    unit: str
    shown: str
    margin: float
    """Reserve as a fraction: 0 is exactly at the limit, negative fails."""
    verdict: Verdict
    method: str
    source: str
    spread: float = 0.0
    """Relative standard uncertainty of demand against capacity (1)."""
    note: str = ""
