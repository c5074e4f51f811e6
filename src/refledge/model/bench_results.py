"""What the bench found: properties, modes, lines of vibration, scores, places."""

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


@dataclass(frozen=True, eq=False)
class Recording:
    """Evenly sampled sound or acceleration."""

    samples: Floats
    """(n, channels); of full scale for sound, m/s2 for acceleration."""
    rate: float  # Hz
    unit: str
    source: str
    speed: Floats
    """(n,), rotor speed in rev/s; not a number where it was not logged."""
    notes: tuple[Finding, ...] = ()
    throttle: Floats | None = None
    """(n,), 0..1, where it was logged."""


@dataclass(frozen=True)
class MeasuredMode:
    """One mode as heard."""

    frequency: float  # Hz
    uncertainty: float
    """Hz, standard uncertainty from tap to tap, not below what the record's length allows."""
    damping: float
    """Fraction of critical, from the poles; close modes do not disturb it."""
    half_power: float
    """From the width of the peak; not a number where the peak does not stand alone."""
    log_decrement: float
    """From the decay of the band; not a number where modes lie too close."""
    disagreement: float
    """Greatest difference of the three dampings over their mean; not a number with one only."""
    level: float
    """dB over the quiet before the taps."""
    confidence: float
    """Share of taps that show it, less where it is weak or could be hum (0..1)."""
    note: str


@dataclass(frozen=True, eq=False)
class TapResult:
    """What a tap recording says."""

    modes: tuple[MeasuredMode, ...]
    taps: tuple[float, ...]
    """s, when each came."""
    window: str
    resolution: float  # Hz
    frequency: Floats
    """(k,), Hz."""
    power: Floats
    """(k,), mean of the taps' power spectra, each scaled to its own energy."""
    findings: tuple[Finding, ...]


@dataclass(frozen=True)
class ModeMatch:
    """A predicted mode beside the measured one."""

    label: str
    predicted: float  # Hz
    predicted_uncertainty: float
    measured: float
    """Hz; not a number where nothing was heard near."""
    difference: float
    """Measured over predicted less 1."""
    z: float


@dataclass(frozen=True)
class VibrationLine:
    """One source of shaking in a log."""

    name: str
    frequency: float  # Hz, mean over the log
    rms: float  # m/s2
    share: float
    """Of the whole mean square (1)."""
    follows: str
    """speed, still, or unknown."""
    matches: str
    """Predicted mode or order that it stands for, in words; "" for none."""


@dataclass(frozen=True, eq=False)
class VibrationResult:
    """What a vibration log says."""

    lines: tuple[VibrationLine, ...]
    rms: float  # m/s2, all axes, mean taken off
    time: Floats
    """(t,), s, of the spectrogram."""
    frequency: Floats
    """(f,), Hz."""
    power: Floats
    """(f, t), (m/s2)^2/Hz, sum of axes."""
    orders: Floats
    """(k,), multiples of rotor speed; empty without speed."""
    order_rms: Floats
    """(k,), m/s2 in each bin of order."""
    findings: tuple[Finding, ...]


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
