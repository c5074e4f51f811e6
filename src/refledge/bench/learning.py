"""The model learns: a material card is a prior in logs, readings of a spool update it.

Logs of the figures are normal, prior and evidence alike, so the update is conjugate: precision
adds to precision (Gelman et al., Bayesian Data Analysis, normal model with known variance).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import exp, hypot, log, nan, sqrt
from typing import Any

import numpy as np

from refledge.analysis.torsion import rectangle_torsion, stretched
from refledge.model.learning import Evidence, Learned
from refledge.model.materials import MaterialCard, Property, PullOut
from refledge.typed import Floats

TOGETHER = ("E_xy", "E_z", "G_xz")
"""Moduli that hang together: the cards' E_z and G_xz are ratios to E_xy and hold its spread."""
ALONE = ("rho", "strength_xy", "strength_z", "shear_z", "creep_factor", "damping")
TORSION = "G_torsion"
"""Shear modulus of a flat square bar in torsion."""
TORSION_MODEL = 0.05
"""Relative; walls and the lines' direction leave the plane of the layers not quite isotropic: a
judgement, ours."""
INSERT = "insert_pull_out"
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


def update(
    belief: Belief, evidence: Sequence[Evidence], torsion: Mapping[str, float] | None = None
) -> Belief:
    """The belief after the evidence; sessions with the same gauges share their systematic part.

    torsion: parts of a torsion's log in the logs of the figures, see ``Torsion``.
    """
    if not evidence:
        return belief
    parts = {TORSION: torsion or {}}
    H = np.array([_row_of(belief.names, parts.get(e.prop, {e.prop: 1.0})) for e in evidence])
    y = np.log([each.value for each in evidence])
    R = evidence_covariance(evidence)
    S = H @ belief.covariance @ H.T + R
    gain = np.linalg.solve(S, H @ belief.covariance).T
    mean = belief.mean + gain @ (y - H @ belief.mean)
    kept = np.eye(len(belief.names)) - gain @ H
    covariance = kept @ belief.covariance @ kept.T + gain @ R @ gain.T
    return Belief(belief.names, mean, covariance)


def _row_of(names: Sequence[str], parts: Mapping[str, float]) -> Floats:
    """(k,): parts in which the log of a measured figure holds the logs of the card's figures."""
    return np.array([parts.get(name, 0.0) for name in names])


@dataclass(frozen=True)
class Torsion:
    """What a square bar printed flat shows in torsion, by the moduli of a card.

    The bar shears in the plane of the layers, G_xy = E_xy / (2 (1 + nu)), and between them, G_xz.
    About the card, ln G = said + in_plane (ln E_xy - ..) + (1 - in_plane) (ln G_xz - ..).
    """

    said: float
    """Pa, by the card's moduli."""
    in_plane: float
    """Part of ln E_xy in ln G; one half where both shear moduli are the same."""

    @property
    def parts(self) -> dict[str, float]:
        """The same by name."""
        return {"E_xy": self.in_plane, "G_xz": 1.0 - self.in_plane}


def torsion_of(card: MaterialCard) -> Torsion:
    """By the exact solution for a square of two shear moduli (``stretched``), and its slope."""
    G, step = card.E_xy.value / (2.0 * (1.0 + card.nu.value)), 1e-3
    low, said, high = (_square(G * exp(s), card.G_xz.value) for s in (-step, 0.0, step))
    return Torsion(said, log(high / low) / (2 * step))


def _square(G_xy: float, G_xz: float) -> float:
    """Shear modulus of a square bar in torsion, Pa."""
    one = np.array(1.0)
    depth, factor = stretched(one, np.array(G_xy / G_xz))
    twisted, alike = rectangle_torsion(one, depth)[0], rectangle_torsion(one, one)[0]
    return G_xz * float(factor * twisted / alike)


def _weighed(card: MaterialCard, seen: Torsion) -> float:
    """Weighted mean of E_xy and G_xz that stands for the torsion, over the torsion (1)."""
    parts = seen.parts
    return exp(sum(parts[name] * log(getattr(card, name).value) for name in parts)) / seen.said


def _as_moduli(card: MaterialCard, seen: Torsion, evidence: Sequence[Evidence]) -> list[Evidence]:
    """Evidence with torsion as a weighted mean of moduli, and what that idea may err by."""
    scale = _weighed(card, seen)
    return [
        each
        if each.prop != TORSION
        else replace(each, value=scale * each.value, random=hypot(each.random, TORSION_MODEL))
        for each in evidence
    ]


def insert_prop(thread: str) -> str:
    """Name of the pull-out load of an insert of one thread."""
    return f"{INSERT} {thread}"


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
    groups = [TOGETHER, *((name,) for name in ALONE)]
    changed: dict[str, Any] = {}
    rows: list[Learned] = []
    for names in groups:
        told = (*names, TORSION) if names == TOGETHER and card.kind == "printed" else names
        own = [each for each in evidence if each.prop in told]
        if not own:
            continue
        before, seen = prior_of(card, names), torsion_of(card)
        own = _as_moduli(card, seen, own)
        after = update(before, own, seen.parts)
        for i, name in enumerate(names):
            row = _row(card, name, own, after, i)
            if row is not None:
                rows.append(row)
                changed[name] = _property(getattr(card, name), row, own)
        if any(each.prop == TORSION for each in own):
            rows.append(_torsion_row(card, seen, own, before, after))
    pulled = _pulled(evidence)
    if pulled:
        changed["pull_outs"] = tuple(each for each, _ in pulled)
    return replace(card, **changed), (*rows, *(row for _, row in pulled))


def _torsion_row(
    card: MaterialCard,
    seen: Torsion,
    evidence: Sequence[Evidence],
    before: Belief,
    after: Belief,
) -> Learned:
    """The measured torsion beside what the card's moduli say of it, before and after."""
    H, scale = _row_of(before.names, seen.parts), _weighed(card, seen)
    now = exp(float(H @ after.mean)) / scale
    spreads = [sqrt(float(H @ each.covariance @ H)) for each in (before, after)]
    moduli, spread = _together([each for each in evidence if each.prop == TORSION])
    measured = moduli / scale
    z = log(measured / seen.said) / hypot(spreads[0], spread)
    words = f"{_compared(z)}; {seen.in_plane:.0%} of it speaks of E_xy, the rest of G_xz"
    return Learned(TORSION, seen.said, spreads[0], measured, spread, now, spreads[1], z, words)


def _pulled(evidence: Sequence[Evidence]) -> list[tuple[PullOut, Learned]]:
    """Measured pull-out of each thread: no card foretells it, so the bench stands alone."""
    found = []
    props = dict.fromkeys(e.prop for e in evidence if e.prop.startswith(f"{INSERT} "))
    for prop in props:
        own = [each for each in evidence if each.prop == prop]
        value, spread = _together(own)
        load = Property(value, spread, _measured_here(own), measured_here=True)
        words = "takes the place of the plastic around the insert in its checks"
        row = Learned(prop, nan, nan, value, spread, value, spread, nan, words)
        found.append((PullOut(prop.removeprefix(f"{INSERT} "), load), row))
    return found


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
    words = _compared(z) if own else "not measured itself; moved with what was"
    return Learned(name, old.value, old.spread, measured, measured_spread, value, spread, z, words)


def _compared(z: float) -> str:
    if abs(z) > ODD:
        return f"the bench lies {abs(z):.1f} standard deviations from the card: ask why"
    return f"card and bench agree ({z:+.1f} standard deviations)"


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
    source = (
        f"{_measured_here(own)}; before it {old.value:.4g} with spread {old.spread:.2g} "
        f"({old.source})"
    )
    return Property(row.value, row.spread, source, measured_here=True)


def _measured_here(own: Sequence[Evidence]) -> str:
    days = sorted({each.date for each in own})
    pieces = sum(each.pieces for each in own)
    sessions = "1 session" if len(own) == 1 else f"{len(own)} sessions"
    when = days[0] if len(days) == 1 else f"{days[0]} to {days[-1]}"
    return f"measured here: {sessions}, {pieces} pieces, {when}"
