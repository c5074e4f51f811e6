"""One series of readings: its compliance, and what a person should know about it."""

from dataclasses import dataclass
from math import inf

import numpy as np
from scipy import stats

from refledge.bench.lines import Fitted, fit_linear, outliers
from refledge.model.bench import Reading, Series
from refledge.model.bench_results import Finding
from refledge.typed import Bools, Floats

GRAVITY = 9.80665
"""m/s2, standard gravity (ISO 80000-3); local gravity differs by 0.3 % at most."""
SURE = 0.01
"""Chance of calling a straight, steady series crooked; ours."""
LEAST_OFF = 0.001
"""Part of the whole deflection below which no reading is called an outlier: where readings are
rounded alike, one that is not stands out by no more than the gauge's last digit. Ours."""
WORTH_SAYING = 0.01
"""Part of the whole deflection below which an effect, though sure, is not worth a word; ours."""


@dataclass(frozen=True, eq=False)
class Line:
    """A series as a straight line."""

    name: str
    compliance: float
    """m/N."""
    uncertainty: float
    dof: float
    load: float
    """Greatest load, N."""
    deflection: float
    """At the greatest load, m."""
    zero: float
    """Reading at no load, m."""
    hysteresis: float
    """Unloading above loading, m; 0 where only one branch was read."""
    residual: float
    """Standard deviation of a reading, m."""
    findings: tuple[Finding, ...]


@dataclass(frozen=True, eq=False)
class _Columns:
    load: Floats
    read: Floats
    time: Floats
    weight: Floats | None
    unloading: Bools
    number: tuple[int, ...]
    """Number of each counted reading in the series, from 1."""


def reduce_series(series: Series, name: str) -> Line:
    """The line of one series: reading = zero + compliance * load, branches apart."""
    c = _columns(series)
    both = _both_branches(c)
    fitted = _fit(c, both)
    sign = 1.0 if fitted.values[1] >= 0 else -1.0
    top = float(np.max(c.load))
    line = Line(
        name=name,
        compliance=float(sign * fitted.values[1]),
        uncertainty=fitted.uncertainty(1),
        dof=float(fitted.dof),
        load=top,
        deflection=float(sign * fitted.values[1] * top),
        zero=float(fitted.values[0]),
        hysteresis=float(sign * fitted.values[2]) if both else 0.0,
        residual=fitted.residual,
        findings=(),
    )
    return _with_findings(line, series, c, fitted, both)


def fit_series(series: Series) -> Fitted:
    """The least-squares fit behind ``reduce_series``, of the readings that count."""
    c = _columns(series)
    return _fit(c, _both_branches(c))


def _both_branches(c: _Columns) -> bool:
    return bool(np.any(c.unloading) and np.any(~c.unloading)) and len(c.load) > 4


def _fit(c: _Columns, both: bool) -> Fitted:
    parts = [np.ones_like(c.load), c.load]
    if both:
        parts.append(c.unloading.astype(np.float64))
    return fit_linear(np.column_stack(parts), c.read, c.weight)


def _columns(series: Series) -> _Columns:
    kept = [(i, r) for i, r in enumerate(series.readings, 1) if not r.excluded]
    load = np.array([force_of(r) for _, r in kept])
    spread = np.array([np.nan if r.spread is None else r.spread for _, r in kept])
    return _Columns(
        load=load,
        read=np.array([r.read for _, r in kept]),
        time=np.array([np.nan if r.time is None else r.time for _, r in kept]),
        weight=None if np.any(np.isnan(spread)) else 1 / spread**2,
        unloading=branches(load),
        number=tuple(i for i, _ in kept),
    )


def force_of(reading: Reading) -> float:
    """Load of one reading, N."""
    if reading.load is not None:
        return float(reading.load)
    return float(reading.mass or 0.0) * GRAVITY


def branches(load: Floats) -> Bools:
    """True where the load was last lowered; equal loads belong to the branch before them."""
    step = np.sign(np.diff(load, prepend=load[0] - 1.0))
    last = np.maximum.accumulate(np.where(step != 0, np.arange(len(load)), 0))
    return np.asarray(step[last] < 0)


def _with_findings(line: Line, series: Series, c: _Columns, fitted: Fitted, both: bool) -> Line:
    found = [
        *_excluded(line, series),
        *_outliers(line, c, fitted),
        *(_hysteresis(line, fitted) if both else ()),
        *_crooked(line, c, fitted),
        *_settling(line, c, fitted),
        *_few(line, fitted),
    ]
    values = {name: getattr(line, name) for name in line.__dataclass_fields__}
    return Line(**{**values, "findings": tuple(found)})


def _excluded(line: Line, series: Series) -> list[Finding]:
    words = "{}: reading {} not counted, as the file asks: {}"
    return [
        Finding("excluded", False, words.format(line.name, i, r.excluded))
        for i, r in enumerate(series.readings, 1)
        if r.excluded
    ]


def odd_readings(fitted: Fitted, deflection: float) -> Bools:
    """(n,), outliers that lie off the line by more than LEAST_OFF of the whole deflection (m)."""
    return np.asarray(outliers(fitted) & (np.abs(fitted.residuals) > LEAST_OFF * abs(deflection)))


def _outliers(line: Line, c: _Columns, fitted: Fitted) -> list[Finding]:
    found = []
    for i in np.flatnonzero(odd_readings(fitted, line.deflection)):
        words = (
            f"{line.name}: reading {c.number[i]} ({c.read[i] * 1e3:.3f} mm at {c.load[i]:.3g} N) "
            f"lies {fitted.residuals[i] * 1e3:+.3f} mm off the line, {abs(fitted.deleted[i]):.1f} "
            "times the others' scatter. It is still counted: look at it, and mark it excluded "
            "with the reason if there is one"
        )
        far = abs(float(fitted.residuals[i])) >= WORTH_SAYING * abs(line.deflection)
        found.append(Finding("outlier", bool(far), words))
    return found


def _hysteresis(line: Line, fitted: Fitted) -> list[Finding]:
    if _unsure(fitted, 2) or abs(line.hysteresis) < WORTH_SAYING * abs(line.deflection):
        return []
    part = abs(line.hysteresis / line.deflection)
    words = (
        f"{line.name}: unloading reads {line.hysteresis * 1e3:+.3f} mm against loading, "
        f"{part:.1%} of the deflection: clamp slip, gauge friction, or plastic that has not come "
        "back yet"
    )
    return [Finding("hysteresis", part > 0.05, words)]


def _crooked(line: Line, c: _Columns, fitted: Fitted) -> list[Finding]:
    """A square term that is sure and large enough to matter."""
    if len(np.unique(c.load)) < 3 or fitted.dof < 3:
        return []
    middle = c.load - c.load.mean()
    X = np.column_stack([np.ones_like(middle), middle, middle**2, c.unloading.astype(np.float64)])
    if not np.any(c.unloading) or np.all(c.unloading):
        X = X[:, :3]
    bent = fit_linear(X, c.read, c.weight)
    size = abs(float(bent.values[2])) * float(np.ptp(c.load)) ** 2 / 4
    if _unsure(bent, 2) or size < WORTH_SAYING * abs(line.deflection):
        return []
    stiffer = bent.values[2] * bent.values[1] < 0
    words = (
        f"{line.name}: not a straight line; the middle lies {size * 1e3:.3f} mm off the chord "
        f"({size / abs(line.deflection):.1%} of the deflection), it gets "
        + ("stiffer under load: does something touch?" if stiffer else "softer: does it slip?")
    )
    return [Finding("nonlinear", size > 0.05 * abs(line.deflection), words)]


def _settling(line: Line, c: _Columns, fitted: Fitted) -> list[Finding]:
    """Readings that move with time beyond what load explains; and a zero that does not return."""
    found = []
    if not np.any(np.isnan(c.time)) and np.ptp(c.time) > 0 and fitted.dof >= 3:
        t = (c.time - c.time.mean()) / np.ptp(c.time)
        drift = fit_linear(np.column_stack([np.ones_like(t), c.load, t]), c.read, c.weight)
        size = float(drift.values[2])
        if not _unsure(drift, 2) and abs(size) > WORTH_SAYING * abs(line.deflection):
            words = f"{line.name}: readings moved by {size * 1e3:+.3f} mm from first to last"
            found.append(Finding("settling", abs(size) > 0.05 * abs(line.deflection), words))
    at_zero = c.read[c.load == np.min(c.load)]
    if len(at_zero) > 1:
        shift = float(at_zero[-1] - at_zero[0])
        if abs(shift) > max(3 * line.residual, WORTH_SAYING * abs(line.deflection)):
            words = f"{line.name}: the least load read {shift * 1e3:+.3f} mm away at the end"
            found.append(Finding("zero", False, words))
    return found


def _few(line: Line, fitted: Fitted) -> list[Finding]:
    if fitted.dof > 2:
        return []
    words = f"{line.name}: {fitted.dof} spare readings; its own scatter is hardly known"
    return [Finding("few", False, words)]


def _unsure(fitted: Fitted, at: int) -> bool:
    u = fitted.uncertainty(at)
    ratio = abs(float(fitted.values[at])) / u if u > 0 else inf
    return bool(ratio < stats.t.ppf(1 - SURE / 2, fitted.dof))
