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
) -> dict[str, np.ndarray]:
    """All columns of the candidates that hover, keep the limits and are beaten by none.

    Chunk by chunk: memory holds one chunk and the front so far. s, ratio and kg.
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
        rows = _best({name: values[use] for name, values in chunk.items()}, wanted)
        joined = {n: np.concatenate((front[n], rows[n])) for n in rows} if front else rows
        front = _best(joined, wanted)
    if not front or not len(front["candidate"]):
        raise AnalysisError("no candidate hovers within the limits: relax one, or add items")
    order = np.argsort(-front["endurance"], kind="stable")
    return {name: values[order] for name, values in front.items()}


def _best(columns: dict[str, np.ndarray], objectives: Mapping[str, int]) -> dict[str, np.ndarray]:
    costs = [sign * columns[name].astype(np.float64) for name, sign in objectives.items()]
    keep = nondominated(np.column_stack(costs))
    return {name: values[keep] for name, values in columns.items()}
