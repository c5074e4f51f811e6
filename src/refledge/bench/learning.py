"""The model learns: a material card is a prior in logs, readings of a spool update it.

Logs of the figures are normal, prior and evidence alike, so the update is conjugate: precision
adds to precision (Gelman et al., Bayesian Data Analysis, normal model with known variance).
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import exp, log, nan, sqrt
from typing import Any

import numpy as np

from refledge.model.bench_results import Evidence, Learned
from refledge.model.materials import MaterialCard, Property
from refledge.typed import Floats

TOGETHER = ("E_xy", "E_z", "G_xz")
"""Moduli that hang together: the cards' E_z and G_xz are ratios to E_xy and hold its spread."""
ALONE = ("rho", "strength_xy", "strength_z", "shear_z", "creep_factor", "damping")
ODD = 2.5
"""Standard deviations between card and bench that deserve a word: ours."""


@dataclass(frozen=True, eq=False)
class Belief:
    """Normal law of the logs of some figures."""

    names: tuple[str, ...]
    mean: Floats
    """(k,)."""
    covariance: Floats
    """(k, k)."""


def prior_of(card: MaterialCard, names: Sequence[str]) -> Belief:
    """The card's figures; printed moduli share the spread of E_xy."""
    given = [getattr(card, name) for name in names]
    spread = np.array([max(p.spread, 1e-6) for p in given])
    covariance = np.diag(spread**2)
    if card.kind == "printed":
        for i, a in enumerate(names):
            for j, b in enumerate(names):
                if i != j and a in TOGETHER and b in TOGETHER:
                    covariance[i, j] = min(card.E_xy.spread, spread[i], spread[j]) ** 2
    return Belief(tuple(names), np.log([p.value for p in given]), covariance)


def update(belief: Belief, evidence: Sequence[Evidence]) -> Belief:
    """The belief after the evidence; sessions with the same gauges share their systematic part."""
    if not evidence:
        return belief
    rows = [belief.names.index(each.prop) for each in evidence]
    H = np.zeros((len(rows), len(belief.names)))
    H[np.arange(len(rows)), rows] = 1.0
    y = np.log([each.value for each in evidence])
    R = evidence_covariance(evidence)
    S = H @ belief.covariance @ H.T + R
    gain = np.linalg.solve(S, H @ belief.covariance).T
    mean = belief.mean + gain @ (y - H @ belief.mean)
    kept = np.eye(len(belief.names)) - gain @ H
    covariance = kept @ belief.covariance @ kept.T + gain @ R @ gain.T
    return Belief(belief.names, mean, covariance)


def evidence_covariance(evidence: Sequence[Evidence]) -> Floats:
    """(n, n) in logs: random parts alone, systematic parts shared by the same gauges.

    Gauges without a name are taken for the same ones: the careful side.
    """
    random = np.array([each.random for each in evidence])
    shared = np.array([each.systematic for each in evidence])
    same = np.array([[a.gauges == b.gauges for b in evidence] for a in evidence])
    return np.asarray(np.diag(random**2) + np.outer(shared, shared) * same)


def learn(
    card: MaterialCard, evidence: Sequence[Evidence]
) -> tuple[MaterialCard, tuple[Learned, ...]]:
    """The card after the bench, and each figure that changed beside its literature."""
    known = [each for each in evidence if each.prop in (*TOGETHER, *ALONE)]
    groups = [TOGETHER, *((name,) for name in ALONE)]
    changed: dict[str, Any] = {}
    rows: list[Learned] = []
    for names in groups:
        own = [each for each in known if each.prop in names]
        if not own:
            continue
        before = prior_of(card, names)
        after = update(before, own)
        for i, name in enumerate(names):
            row = _row(card, name, own, after, i)
            if row is not None:
                rows.append(row)
                changed[name] = _property(getattr(card, name), row, own)
    return replace(card, **changed), tuple(rows)


def _row(
    card: MaterialCard, name: str, evidence: Sequence[Evidence], after: Belief, at: int
) -> Learned | None:
    """What became of one figure; None where the evidence says nothing of it."""
    old = getattr(card, name)
    own = [each for each in evidence if each.prop == name]
    value, spread = exp(after.mean[at]), sqrt(after.covariance[at, at])
    if not own and abs(value / old.value - 1) < 1e-9:
        return None
    measured, measured_spread = _together(own) if own else (nan, nan)
    z = log(measured / old.value) / sqrt(old.spread**2 + measured_spread**2) if own else nan
    if not own:
        words = "not measured itself; moved with what was, by the card's ratio"
    elif abs(z) > ODD:
        words = f"the bench lies {abs(z):.1f} standard deviations from the card: ask why"
    else:
        words = f"card and bench agree ({z:+.1f} standard deviations)"
    return Learned(name, old.value, old.spread, measured, measured_spread, value, spread, z, words)


def _together(evidence: Sequence[Evidence]) -> tuple[float, float]:
    """Weighted mean of several sessions and its relative spread, without the card."""
    precision = np.linalg.inv(evidence_covariance(evidence) + 1e-12 * np.eye(len(evidence)))
    total = float(precision.sum())
    mean = float(precision.sum(axis=0) @ np.log([each.value for each in evidence])) / total
    return exp(mean), 1 / sqrt(total)


def _property(old: Property, row: Learned, evidence: Sequence[Evidence]) -> Property:
    own = [each for each in evidence if each.prop == row.prop]
    if not own:
        source = f"card ({old.source}) moved by measured {evidence[0].prop}"
        return Property(row.value, row.spread, source)
    days = sorted({each.date for each in own})
    pieces = sum(each.pieces for each in own)
    source = (
        f"measured here: {len(own)} sessions, {pieces} pieces, {days[0]} to {days[-1]}; "
        f"before it {old.value:.4g} with spread {old.spread:.2g} ({old.source})"
    )
    return Property(row.value, row.spread, source, measured_here=True)
