"""From a sweep to the few candidates worth sizing in full."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from refledge.choosing.candidates import Candidates
from refledge.errors import AnalysisError
from refledge.flight.turns import split_kind
from refledge.model.brief import Brief
from refledge.sweeps.pareto import pareto_set
from refledge.sweeps.store import ChunkStore
from refledge.typed import Bools, Floats

CLOUD = 600
"""Most candidates kept of the whole sweep, for a chart."""
SAFEST = "longest hover that keeps its heading whichever rotor stops"
ALIKE = 0.02
"""Candidates closer than this in every figure count as one: what the sweep's arrays simplify
(docs/flight.md)."""
HEADING_KEPT = 2  # of the column ``rotor_lost``
Columns = Mapping[str, np.ndarray]


@dataclass(frozen=True, eq=False)
class Survey:
    """The whole sweep in brief."""

    swept: int
    hovering: int
    cloud: Columns
    """Candidates that hover, evenly chosen."""
    nearest: Mapping[str, Mapping[str, float]]
    """Layout kind to the figures of its candidate that keeps the brief's wishes best; kinds of
    which nothing hovers are missing."""


@dataclass(frozen=True, eq=False)
class Front:
    """Candidates that none beats in everything."""

    columns: Columns
    """As ``sweeps.evaluate`` has them, longest hover first."""
    relaxed: bool
    """True where no candidate keeps the brief's wishes, so that they were set aside."""

    def best(self, column: str, sign: int, among: Bools | None = None) -> int:
        """The candidate with the most (sign 1) or least (-1) of ``column``; -1 where none."""
        values = sign * self.columns[column].astype(np.float64)
        if among is not None:
            values = np.where(among, values, -np.inf)
        at = int(np.argmax(values))
        return int(self.columns["candidate"][at]) if np.isfinite(values[at]) else -1

    def balanced(self) -> int:
        """The candidate nearest to the longest hover, the least room and the least mass at once,
        each counted over its range here."""
        away = np.zeros(len(self.columns["candidate"]))
        for name, sign in (("endurance", 1), ("footprint", -1), ("all_up_mass", -1)):
            values = sign * self.columns[name].astype(np.float64)
            span = float(np.ptp(values))
            away += ((np.max(values) - values) / span) ** 2 if span > 0 else 0.0
        return int(self.columns["candidate"][np.argmin(away)])


@dataclass(frozen=True)
class Pick:
    """One candidate to be sized."""

    candidate: int
    reasons: tuple[str, ...]


def survey(store: ChunkStore, candidates: Candidates) -> Survey:
    """One pass over all chunks."""
    each = max(1, store.count // (CLOUD * 4))
    hovering, kept = 0, []
    nearest: dict[str, dict[str, float]] = {}
    least: dict[str, float] = {}
    for chunk in store:
        use = chunk["hovers"]
        hovering += int(np.sum(use))
        rows = {name: values[use] for name, values in chunk.items()}
        kept.append({name: values[::each] for name, values in rows.items()})
        short = _shortfall(candidates.brief, rows)
        kind = rows["candidate"] // (candidates.grid.count // len(candidates.kinds))
        for index in np.unique(kind):
            where = np.flatnonzero(kind == index)
            best = where[np.lexsort((-rows["endurance"][where], short[where]))[0]]
            name = candidates.kinds[int(index)]
            if short[best] < least.get(name, np.inf):
                least[name] = float(short[best])
                nearest[name] = {column: float(v[best]) for column, v in rows.items()}
    cloud = {name: np.concatenate([part[name] for part in kept]) for name in kept[0]}
    thin = max(1, len(cloud["candidate"]) // CLOUD)
    return Survey(store.count, hovering, {n: v[::thin] for n, v in cloud.items()}, nearest)


def _shortfall(brief: Brief, rows: Columns) -> Floats:
    """(n,): how far each candidate misses the brief's wishes, relative, added up."""
    parts = (
        brief.mission.hover_time / np.maximum(rows["endurance"], 1.0),
        brief.limits.thrust_margin / np.maximum(rows["thrust_margin"], 0.01),
        rows["all_up_mass"] / brief.mission.all_up_limit,
    )
    found: Floats = np.sum([np.maximum(0.0, part - 1.0) for part in parts], axis=0)
    return found


def front_of(store: ChunkStore, brief: Brief) -> Front:
    """The Pareto set within the brief's wishes, or without them where nothing keeps them."""
    try:
        kept = pareto_set(
            store,
            least_endurance=brief.mission.hover_time,
            least_margin=brief.limits.thrust_margin,
            most_mass=brief.mission.all_up_limit,
            within=ALIKE,
        )
    except AnalysisError:
        return Front(pareto_set(store, within=ALIKE), relaxed=True)
    return Front(kept, relaxed=False)


def pick(front: Front, candidates: Candidates, most: int) -> tuple[Pick, ...]:
    """At most ``most`` of the front, each with why, the brief's own first.

    Then the longest hover, that of every layout kind not yet among them, the other extremes, and
    last what differs from its kind in its turns alone.
    """
    safe = front.columns["rotor_lost"] == HEADING_KEPT
    found: dict[int, list[str]] = {}

    def want(number: int, reason: str) -> None:
        if number >= 0 and (number in found or len(found) < most):
            found.setdefault(number, []).append(reason)

    want(candidates.own, "as the brief has it")
    want(front.best("endurance", 1), "longest hover")
    want(front.best("endurance", 1, safe), SAFEST)
    want(front.balanced(), "best balance of hover, room and mass")
    plain, turned = _kinds(candidates)
    for number, reason in _longest(front, candidates, plain):
        present = {_kind_of(candidates, each) for each in found}
        if _kind_of(candidates, number) not in present:
            want(number, reason)
    want(front.best("footprint", -1), "smallest across")
    want(front.best("all_up_mass", -1), "lightest")
    want(front.best("thrust_margin", 1), "most thrust to spare")
    for number, reason in _longest(front, candidates, turned):
        want(number, reason)
    return tuple(Pick(number, tuple(reasons)) for number, reasons in found.items())


def _kinds(candidates: Candidates) -> tuple[list[str], list[str]]:
    """Layout kinds that turn alternately, and the others."""
    turned = [kind for kind in candidates.kinds if split_kind(kind)[1]]
    return [kind for kind in candidates.kinds if kind not in turned], turned


def _longest(front: Front, candidates: Candidates, kinds: list[str]) -> Iterator[tuple[int, str]]:
    """The candidate of each kind that hovers longest, where the front has one of it."""
    of = front.columns["candidate"] // (candidates.grid.count // len(candidates.kinds))
    for kind in kinds:
        turns = split_kind(kind)[1]
        number = front.best("endurance", 1, of == candidates.kinds.index(kind))
        if number >= 0:
            yield number, "longest hover of its kind" + (" with these turns" if turns else "")


def _kind_of(candidates: Candidates, number: int) -> str:
    index = number // (candidates.grid.count // len(candidates.kinds))
    return split_kind(candidates.kinds[index])[0]
