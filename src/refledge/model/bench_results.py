"""What a session on the bench says: findings, properties, a creep law, all of them together."""

from dataclasses import dataclass

from refledge.typed import Floats

_NORMAL_95 = 1.959964
"""Standard deviations to each side that hold 95 % of a normal law."""


@dataclass(frozen=True)
class Finding:
    """Something about the readings that a person should know."""

    kind: str  # outlier, hysteresis, settling, nonlinear, clamp, zero, strain, warm, few, hum...
    grave: bool
    """True where the result should not be used before this is looked at."""
    words: str


@dataclass(frozen=True)
class Measured:
    """One property found on the bench, with its uncertainty found in two ways."""

    prop: str
    """Field of the material card it speaks of, or a name of its own such as ``stiffness``."""
    unit: str
    value: float
    """SI."""
    uncertainty: float
    """Standard uncertainty by the law of propagation (JCGM 100), SI."""
    dof: float
    """Effective degrees of freedom (Welch-Satterthwaite)."""
    low: float
    high: float
    """95 % interval by the law of propagation with Student's t."""
    carlo_uncertainty: float
    carlo_low: float
    carlo_high: float
    """By Monte Carlo (JCGM 101)."""
    agree: bool
    """The two intervals agree within the numerical tolerance of JCGM 101, clause 8."""
    shares: tuple[tuple[str, float], ...]
    """Input to its share of the variance, largest first."""
    systematic: float
    """Relative part of the uncertainty that other sessions with the same gauges share."""
    pieces: int
    method: str

    @property
    def relative(self) -> float:
        """Relative standard uncertainty of the normal law with the Monte Carlo interval's width."""
        return (self.carlo_high - self.carlo_low) / (2 * _NORMAL_95 * abs(self.value))


@dataclass(frozen=True, eq=False)
class CreepLaw:
    """Deflection under a load F held for t: F c0 + A F^q t^p (s, N, m)."""

    name: str
    """Findley (one load, q = 1) or Norton-Bailey (several loads)."""
    c0: float  # m/N
    A: float  # m/(N^q s^p)
    q: float
    p: float
    covariance: Floats
    """(4, 4) of ln c0, ln A, q, p."""
    dof: int
    residual: float  # m
    loads: tuple[float, float]
    """Least and greatest load tested, N."""
    trusted_until: float
    """s; beyond it the law is not to be used."""


@dataclass(frozen=True)
class Reduction:
    """What one session says."""

    title: str
    kind: str
    material: str
    spool: str
    orientation: str
    date: str
    gauges: str
    measured: tuple[Measured, ...]
    findings: tuple[Finding, ...]
    figures: tuple[tuple[str, float, str], ...]
    """Other figures on the way: name, value (SI), unit."""
    accepted: str = ""
    """Why grave findings do no harm, as the file says."""

    @property
    def usable(self) -> bool:
        """Whether cards may learn from it: nothing grave, or the file says why it does no harm."""
        return bool(self.accepted) or not any(each.grave for each in self.findings)
