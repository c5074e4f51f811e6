"""The toll of crashes: how often each kind of part breaks, how far that is known, what it costs."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np

from refledge.model.copies import kind_of
from refledge.repair.breaking import KINDS, Breaks
from refledge.repair.record import PartRecord
from refledge.repair.sampling import Chances


@dataclass(frozen=True)
class Toll:
    """One kind of part in a crash."""

    kind: str
    keys: tuple[str, ...]
    """Parts printed anew for it; empty where nothing of it is printed."""
    breaks: float
    """Chance that at least one copy breaks (1)."""
    breaks_scatter: float
    """Standard deviation of that chance, from the number of crashes marched (1)."""
    first: float
    """Chance that it breaks first (1)."""
    first_scatter: float
    copies: float
    """Copies broken in a crash, on average."""
    seconds: float
    """s of printing that a crash costs in it on average, warm-up left out."""
    cost: float
    """The same in the currency of the prices."""


def tolls(found: Breaks) -> tuple[Toll, ...]:
    """Over crashes of all ways by their shares; what goes first most often stands first."""
    return _ranked(found, found.found, found.shares)


def tolls_of(found: Breaks, number: int) -> tuple[Toll, ...]:
    """In one way to crash."""
    return _ranked(found, found.found[number : number + 1], (1.0,))


def chance_scatter(chance: float, samples: int) -> float:
    """Standard deviation of a chance counted in ``samples`` (1), also where none or all were hit.

    Beta distribution after Jeffreys' prior (Brown, Cai and DasGupta, Interval estimation for a
    binomial proportion, Statistical Science 2001).
    """
    hits = chance * samples + 0.5
    misses = (1.0 - chance) * samples + 0.5
    total = samples + 1.0
    return sqrt(hits * misses / (total**2 * (total + 1.0)))


def _ranked(found: Breaks, cases: Sequence[Chances], shares: Sequence[float]) -> tuple[Toll, ...]:
    kinds = dict.fromkeys(kind_of(part) for part in found.parts)
    made = [_toll(found, kind, cases, shares) for kind in kinds]
    return tuple(sorted(made, key=lambda each: (-each.first, -each.breaks)))


def _toll(found: Breaks, kind: str, cases: Sequence[Chances], shares: Sequence[float]) -> Toll:
    breaks = [1.0 - float(case.copies[kind][0]) for case in cases]
    first = [case.first_of(kind) for case in cases]
    numbers = [float(np.arange(len(c.copies[kind])) @ c.copies[kind]) for c in cases]
    copies = float(np.dot(numbers, shares))
    parts = _printed(found, kind)
    samples = [case.samples for case in cases]
    return Toll(
        kind=kind,
        keys=tuple(part.key for part in parts),
        breaks=float(np.dot(breaks, shares)),
        breaks_scatter=_scatter(breaks, samples, shares),
        first=float(np.dot(first, shares)),
        first_scatter=_scatter(first, samples, shares),
        copies=copies,
        seconds=copies * sum(part.seconds for part in parts),
        cost=copies * sum(part.cost for part in parts),
    )


def _printed(found: Breaks, kind: str) -> list[PartRecord]:
    known = (found.record.part(key) for key in KINDS.get(kind, ()))
    return [part for part in known if part is not None]


def _scatter(chances: Sequence[float], samples: Sequence[int], shares: Sequence[float]) -> float:
    """Of a weighted sum of independent chances: variances add by the squares of the weights."""
    each = (
        (share * chance_scatter(chance, number)) ** 2
        for chance, number, share in zip(chances, samples, shares, strict=True)
    )
    return sqrt(sum(each))
