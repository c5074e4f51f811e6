"""One figure for each piece, several pieces: mean, scatter, and what nearly all will reach."""

from collections.abc import Callable, Sequence
from math import hypot, sqrt

import numpy as np
from scipy import stats

from refledge.bench.uncertainty import DRAWS, Input, Propagated, linear_parts, propagate
from refledge.errors import AnalysisError
from refledge.typed import Floats

PRIOR_DOF = 6
"""Weight of the usual scatter against pieces measured: ours; six more pieces weigh the same."""
STIFFNESS_SCATTER = 0.03
"""Of moduli from piece to piece of one spool, printed alike: from memory, typical."""
DENSITY_SCATTER = 0.005
"""Of printed densities: from memory, typical."""
STRENGTH_SCATTER = 0.10
"""Of strengths across layers and of inserts: from memory, typical."""

PieceFigure = Callable[[Floats], Floats]
"""(k, m) inputs to (m,) figures of one piece."""


def mean_of_pieces(
    figure: PieceFigure,
    pieces: Sequence[Sequence[Input]],
    shared: Sequence[Input],
    usual: float,
    draws: int = DRAWS,
) -> Propagated:
    """Mean of ``figure`` over pieces, each with its own inputs followed by the ``shared`` ones.

    Several pieces: their own errors show in the scatter of the figures (JCGM 100, 4.2.3) and only
    the shared ones are propagated beside it. One piece: all are propagated. ``usual`` is the
    relative scatter that is usual from piece to piece.
    """
    if not pieces:
        raise AnalysisError("no piece was measured")
    k = len(pieces[0])
    own = [each for piece in pieces for each in piece]
    values = piece_values(figure, pieces, shared)
    count = len(pieces)
    if count > 1:
        _, parts = linear_parts(figure, [*pieces[0], *shared])
        usual = hypot(usual, float(np.sqrt(np.sum(parts[:k] ** 2))) / float(np.mean(values)))
        own = [Input(each.name, each.value, 0.0) for each in own]
    scatter = piece_scatter(values, usual)

    def mean(x: Floats) -> Floats:
        common = x[k * count : -1]
        each = [figure(np.concatenate([x[i * k : (i + 1) * k], common])) for i in range(count)]
        return np.asarray(np.mean(each, axis=0) * (1 + x[-1]))

    return propagate(mean, [*own, *shared, scatter], draws)


def piece_scatter(values: Floats, usual: float) -> Input:
    """Relative standard uncertainty of the mean of (n,) pieces of one spool, printed alike.

    Few pieces say little about their own scatter: it is pooled with what is ``usual``, which counts
    as PRIOR_DOF degrees of freedom (conjugate scaled inverse chi-square; Gelman et al., Bayesian
    Data Analysis, normal data with unknown variance). One piece has the usual scatter.
    """
    n = len(values)
    own = float(np.var(values, ddof=1) / np.mean(values) ** 2) * (n - 1) if n > 1 else 0.0
    dof = PRIOR_DOF + n - 1
    pooled = (PRIOR_DOF * usual**2 + own) / dof
    return Input("scatter from piece to piece", 0.0, sqrt(pooled / n), dof)


def piece_values(
    figure: PieceFigure, pieces: Sequence[Sequence[Input]], shared: Sequence[Input]
) -> Floats:
    """The figure of each piece, (n,)."""
    rows = [[i.value for i in (*piece, *shared)] for piece in pieces]
    return np.array([float(figure(np.array(row)[:, None])[0]) for row in rows])


def lower_limit(values: Floats, share: float = 0.95, confidence: float = 0.95) -> float:
    """What ``share`` of all pieces will exceed, with ``confidence``, if they scatter normally.

    One-sided tolerance limit, mean - k s with k from the noncentral t distribution (ISO 16269-6).
    """
    n = len(values)
    if n < 2:
        raise AnalysisError("a lower limit needs two pieces at least")
    k = stats.nct.ppf(confidence, n - 1, stats.norm.ppf(share) * sqrt(n)) / sqrt(n)
    return float(np.mean(values) - k * np.std(values, ddof=1))
