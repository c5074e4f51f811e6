"""Deflection under a held load to a creep law, with the time it may be trusted for."""

from math import exp

import numpy as np
from scipy.optimize import least_squares

from refledge.bench.series import GRAVITY
from refledge.bench.uncertainty import DRAWS, Input, Propagated, propagate
from refledge.errors import AnalysisError
from refledge.model.bench import BenchFile, Series
from refledge.model.bench_results import CreepLaw, Finding
from refledge.typed import Floats

SHORT_TIME = 10.0
"""s; a modulus read as quickly as one hangs a weight and reads a gauge: ours."""
CARD_TIME = 600.0
"""s; the material card's creep factor holds after ten minutes."""
DECADES_TRUSTED = 10.0
"""Times the longest reading: common practice, no source, one decade beyond the test."""
LEAST_RATIO = 10.0
"""Longest over shortest time under load; less cannot tell the exponent. Ours."""


def fit_creep(file: BenchFile) -> CreepLaw:
    """F c0 + A F^q t^p through the readings of all series.

    Findley, Lai and Onaran, Creep and Relaxation of Nonlinear Viscoelastic Materials, power law
    e = e0 + m t^n, where one load was held (q = 1). With several loads the creep part is that of
    Norton and Bailey, A F^q t^p.
    """
    load, time, moved, span = _held(file)
    loads = np.unique(np.round(load, 6))
    several = len(loads) > 1 and loads[-1] > 1.3 * loads[0]
    start = np.array([np.log(np.min(moved / load)), np.log(0.05 * np.max(moved / load)), 1.0, 0.2])
    free = [0, 1, 2, 3] if several else [0, 1, 3]

    def rest(x: Floats) -> Floats:
        full = start.copy()
        full[free] = x
        return np.asarray((_law(full, load, time) - moved) / span)

    low = np.array([-60.0, -60.0, 0.2, 0.01])[free]
    high = np.array([10.0, 10.0, 5.0, 1.0])[free]
    solved = least_squares(rest, start[free], bounds=(low, high), xtol=1e-12, ftol=1e-14)
    n, p = len(moved), len(free)
    if solved.status <= 0 or n <= p:
        raise AnalysisError(f"the creep law could not be fitted to {n} readings: {solved.message}")
    J = np.asarray(solved.jac)
    s2 = 2 * float(solved.cost) / (n - p)
    covariance = np.zeros((4, 4))
    covariance[np.ix_(free, free)] = s2 * np.linalg.pinv(J.T @ J, rcond=1e-14)
    full = start.copy()
    full[free] = solved.x
    return CreepLaw(
        name="Norton-Bailey" if several else "Findley",
        c0=exp(full[0]),
        A=exp(full[1]),
        q=float(full[2]),
        p=float(full[3]),
        covariance=covariance,
        dof=n - p,
        residual=float(np.sqrt(s2) * span),
        loads=(float(loads[0]), float(loads[-1])),
        trusted_until=DECADES_TRUSTED * float(np.max(time)),
    )


def deflection_at(law: CreepLaw, load: float, time: float) -> float:
    """Deflection, m, under ``load`` (N) held for ``time`` (s); raises beyond what was tested."""
    if not 0 < time <= law.trusted_until:
        raise AnalysisError(
            f"{law.name} law: trusted up to {law.trusted_until / 3600:.3g} h, asked for "
            f"{time / 3600:.3g} h; hold a piece for longer"
        )
    if load > 1.3 * law.loads[1]:
        raise AnalysisError(
            f"{law.name} law: tested up to {law.loads[1]:.3g} N, asked for {load:.3g} N"
        )
    return float(_law(_vector(law), np.array([load]), np.array([time]))[0])


def creep_factor(law: CreepLaw, draws: int = DRAWS) -> Propagated:
    """Short-time deflection over that after ten minutes: the modulus that is left.

    The parameters hang together; they are drawn along the axes of their covariance.
    """
    centre = _vector(law)
    values, vectors = np.linalg.eigh(law.covariance)
    axes = vectors * np.sqrt(np.maximum(values, 0.0))
    inputs = [Input(f"fit, direction {i + 1}", 0.0, 1.0, law.dof) for i in range(4)]
    load = np.array([law.loads[1]])

    def factor(z: Floats) -> Floats:
        at = centre[:, None] + axes @ z
        quick, slow = (_law(at, load, np.array([t])) for t in (SHORT_TIME, CARD_TIME))
        return np.asarray(quick / slow)

    return propagate(factor, inputs, draws)


def creep_findings(law: CreepLaw) -> list[Finding]:
    """What limits the law."""
    found = []
    u_p = float(np.sqrt(law.covariance[3, 3]))
    words = f"the {law.name} law is trusted up to {law.trusted_until / 3600:.3g} h under load"
    found.append(Finding("horizon", False, words))
    if u_p > 0.5 * law.p or not 0.011 < law.p < 0.99:
        words = f"the exponent of time, {law.p:.2f} with {u_p:.2f} uncertainty, is hardly known"
        found.append(Finding("few", True, words))
    if law.trusted_until / DECADES_TRUSTED < CARD_TIME:
        found.append(Finding("few", True, "no reading after ten minutes; the factor is a guess"))
    return found


def law_values(law: CreepLaw, load: float, time: Floats) -> Floats:
    """Deflection, m, under ``load`` (N) at ``time`` (n,), s, without a look at what was tested."""
    return _law(_vector(law), np.full_like(time, load), time)


def held_readings(file: BenchFile) -> tuple[Floats, Floats, Floats]:
    """Load (N), time under load (s) and deflection (m) of the readings under load, (n,) each."""
    return _held(file)[:3]


def _vector(law: CreepLaw) -> Floats:
    return np.array([np.log(law.c0), np.log(law.A), law.q, law.p])


def _law(x: Floats, load: Floats, time: Floats) -> Floats:
    return np.asarray(load * np.exp(x[0]) + np.exp(x[1]) * load ** x[2] * time ** x[3])


def _held(file: BenchFile) -> tuple[Floats, Floats, Floats, float]:
    """Load, time under load and deflection from the unloaded zero, (n,), and the largest of it."""
    rows = [row for series in file.series for row in _one(series)]
    load, time, moved = (np.array(column) for column in zip(*rows, strict=True))
    span = float(np.max(np.abs(moved)))
    if np.max(time) < LEAST_RATIO * np.min(time):
        raise AnalysisError("creep: read at times that differ tenfold at least")
    return load, time, np.abs(moved), span


def _one(series: Series) -> list[tuple[float, float, float]]:
    counted = [r for r in series.readings if not r.excluded]
    forces = [r.load if r.load is not None else (r.mass or 0.0) * GRAVITY for r in counted]
    free = [r for r, f in zip(counted, forces, strict=True) if f == 0]
    held = [(r, f) for r, f in zip(counted, forces, strict=True) if f > 0]
    if not free or not held:
        raise AnalysisError("creep: a reading at no load is needed first, then the held load")
    zero = float(np.mean([r.read for r in free]))
    began = free[-1].time or 0.0
    return [(f, (r.time or 0.0) - began, r.read - zero) for r, f in held if (r.time or 0.0) > began]
