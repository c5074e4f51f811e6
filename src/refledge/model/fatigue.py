"""How often printed plastic bears a load before it cracks."""

from dataclasses import dataclass


@dataclass(frozen=True)
class FatigueTest:
    """One bar pulled again and again."""

    material: str
    share: float
    """Greatest stress of the cycle over the strength of such bars (1)."""
    cycles: float
    broke: bool
    """Whether it broke after ``cycles``; else the test ended there."""
    stress_ratio: float
    """Least over greatest stress of the cycle (1)."""
    source: str


@dataclass(frozen=True)
class Endurance:
    """Cycles that a plastic bears: ``life`` (share of strength) ** -``slope``."""

    material: str
    life: float
    """Cycles to failure, at the safe side of the scatter, were the whole strength used (1)."""
    slope: float
    stress_ratio: float
    """Of the tests behind it (1)."""
    source: str
    given: bool
    """Whether a paper gives the line as it is, safe side included."""
