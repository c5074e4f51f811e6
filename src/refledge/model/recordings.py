"""What is heard and logged: recordings, modes and taps, vibration and where it comes from."""

from dataclasses import dataclass

from refledge.model.bench_results import Finding
from refledge.typed import Floats


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
