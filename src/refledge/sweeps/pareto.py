"""Candidates that no other beats in everything."""

from collections.abc import Iterable, Mapping

import numpy as np

from refledge.errors import AnalysisError
from refledge.sweeps.store import ChunkStore
from refledge.typed import Bools, Floats

OBJECTIVES = {  # column -> +1 less is better, -1 more is better
    "endurance": -1,
    "all_up_mass": 1,
    "thrust_margin": -1,
    "footprint": 1,
    "rotor_lost": -1,
    "heading_kept": -1,
    "control": -1,
}
_SLAB = 512  # rows compared with the front at once


def nondominated(costs: Floats) -> Bools:
    """(n,): True where no other row of ``costs`` (n, k) is as small in all and smaller in one.

    Rows sorted by their sum can only be dominated by earlier ones (Kung, Luccio and Preparata's
    idea in its simplest form); slabs of them are held against the front found so far. Equal rows
    are all kept.
    """
    n = len(costs)
    keep = np.zeros(n, dtype=np.bool_)
    if n == 0:
        return keep
    scale = np.ptp(costs, axis=0)
    order = np.argsort(((costs - costs.min(axis=0)) / np.where(scale > 0, scale, 1)).sum(axis=1))
    front = costs[order[:0]]
    for at in range(0, n, _SLAB):
        rows = order[at : at + _SLAB]
        rows = rows[~_beaten(costs[rows], front)]
        rows = rows[~_beaten(costs[rows], costs[rows])]
        keep[rows] = True
        front = np.concatenate((front, costs[rows]))
    return keep


def _beaten(rows: Floats, by: Floats) -> Bools:
    """(n,): which ``rows`` (n, k) some row of ``by`` (m, k) dominates."""
    beaten = np.zeros(len(rows), dtype=np.bool_)
    for at in range(0, len(by), _SLAB):
        other = by[at : at + _SLAB]
        no_worse = np.ones((len(rows), len(other)), dtype=np.bool_)
        better = np.zeros_like(no_worse)
        for column in range(rows.shape[1]):
            mine, theirs = rows[:, column, None], other[None, :, column]
            no_worse &= theirs <= mine
            better |= theirs < mine
        beaten |= np.any(no_worse & better, axis=1)
    return beaten


def pareto_set(
    store: ChunkStore | Iterable[Mapping[str, np.ndarray]],
    objectives: Mapping[str, int] | None = None,
    *,
    least_endurance: float = 0.0,
    least_margin: float = 0.0,
    most_mass: float = np.inf,
    within: float = 0.0,
) -> dict[str, np.ndarray]:
    """All columns of the candidates that hover, keep the limits and are beaten by none.

    Chunk by chunk: memory holds one chunk and the front so far. s, ratio and kg. ``within``:
    figures that differ by less than this share count as equal, and of equal candidates the first
    is kept (boxes of a logarithmic grid: Laumanns and others, Combining convergence and diversity
    in evolutionary multiobjective optimization, 2002); it keeps the front of millions small.
    """
    wanted = objectives or OBJECTIVES
    front: dict[str, np.ndarray] = {}
    for chunk in store:
        use = (
            chunk["hovers"]
            & (chunk["endurance"] >= least_endurance)
            & (chunk["thrust_margin"] >= least_margin)
            & (chunk["all_up_mass"] <= most_mass)
        )
        rows = {name: values[use] for name, values in chunk.items()}
        front = (
            _merged(front, _best(rows, wanted, within), wanted, within)
            if front
            else _best(rows, wanted, within)
        )
    if not front or not len(front["candidate"]):
        raise AnalysisError("no candidate hovers within the limits: relax one, or add items")
    order = np.argsort(-front["endurance"], kind="stable")
    return {name: values[order] for name, values in front.items()}


Columns = dict[str, np.ndarray]


def _best(columns: Columns, objectives: Mapping[str, int], within: float) -> Columns:
    """The rows that none of them beats."""
    first = _first_of_equals(columns, objectives, within)
    keep = nondominated(_costs(first, objectives, within))
    return {name: values[keep] for name, values in first.items()}


def _merged(front: Columns, rows: Columns, objectives: Mapping[str, int], within: float) -> Columns:
    """The front of both, where neither beats anything of its own."""
    old, new = _costs(front, objectives, within), _costs(rows, objectives, within)
    stay = ~_beaten(new, old)
    rows, new = {n: v[stay] for n, v in rows.items()}, new[stay]
    still = ~_beaten(old, new)
    joined = {n: np.concatenate((front[n][still], rows[n])) for n in rows}
    return _first_of_equals(joined, objectives, within)


def _first_of_equals(columns: Columns, objectives: Mapping[str, int], within: float) -> Columns:
    if within == 0:
        return columns
    _, at = np.unique(_costs(columns, objectives, within), axis=0, return_index=True)
    at.sort()
    return {name: values[at] for name, values in columns.items()}


def _costs(columns: Columns, objectives: Mapping[str, int], within: float) -> Floats:
    """(n, k), less is better; positive figures in boxes ``within`` wide."""
    found = []
    for name, sign in objectives.items():
        values = columns[name].astype(np.float64)
        if within and columns[name].dtype.kind == "f":
            tiny = np.finfo(np.float64).tiny
            values = np.round(np.log(np.maximum(values, tiny)) / np.log1p(within))
        found.append(sign * values)
    return np.column_stack(found)
