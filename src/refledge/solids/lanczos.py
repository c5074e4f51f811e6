"""Block Lanczos: the greatest and least eigenvalues of an operator that is symmetric in a metric.

Ericsson and Ruhe, The spectral transformation Lanczos method (1980); blocks, so that vectors that
share a value are all found.
"""

from collections.abc import Callable

import numpy as np

from refledge.errors import AnalysisError
from refledge.typed import Floats

CONVERGED, MOST_STEPS = 1e-6, 60

Apply = Callable[[Floats], Floats]
Operate = Callable[[Floats, Floats], Floats]


def lanczos(
    operate: Operate,
    metric: Apply,
    start: Floats,
    ends: tuple[int, int],
    *,
    what: str = "modes",
    converged: float = CONVERGED,
    floor: float = 0.0,
) -> tuple[Floats, Floats, float]:
    """Values, M-orthonormal vectors (n, k) and the greatest residual of A v = t v.

    operate: (v, M v), each (n, b), to A v, with M A symmetric. ends: how many of the greatest
    values, and then how many of the least, least first. Residuals are in the metric's norm, over
    the value, or over ``floor`` of the greatest magnitude where that is more.
    """
    V = MV = np.zeros((len(start), 0))
    block, m_block = _orthonormal(V, MV, start, metric)[:2]
    H = np.zeros((0, 0))
    for _ in range(MOST_STEPS):
        V, MV = np.hstack((V, block)), np.hstack((MV, m_block))
        image = operate(block, m_block)
        column = MV.T @ image
        H = _bordered(H, column)
        block, m_block, rest = _orthonormal(V, MV, image - V @ column, metric)
        values, mixed = np.linalg.eigh(H)
        if len(values) >= sum(ends):
            rows = [*range(len(values) - 1, len(values) - 1 - ends[0], -1), *range(ends[1])]
            last = mixed[-column.shape[1] :, rows]
            weight = np.maximum(np.abs(values[rows]), floor * float(np.abs(values).max()))
            errors = np.linalg.norm(rest @ last, axis=0) / np.maximum(weight, 1e-300)
            if errors.max() < converged:
                return values[rows], V @ mixed[:, rows], float(errors.max())
        if not block.shape[1]:
            raise AnalysisError(f"{what}: the mesh has fewer than were asked for")
    raise AnalysisError(f"{what} did not converge in {MOST_STEPS} steps")


def _orthonormal(V: Floats, MV: Floats, W: Floats, metric: Apply) -> tuple[Floats, Floats, Floats]:
    """W made M-orthonormal and M-orthogonal to V: block, M block, and R with W = block R."""
    for _ in range(2):
        W = W - V @ (MV.T @ W)
    MW = metric(W)
    squares, turn = np.linalg.eigh(W.T @ MW)
    kept = squares > 1e-20 * max(float(squares[-1]), 1e-300)
    scale = np.sqrt(squares[kept])
    change = turn[:, kept] / scale
    return W @ change, MW @ change, scale[:, None] * turn[:, kept].T


def _bordered(H: Floats, column: Floats) -> Floats:
    """H grown by one block column and its mirror."""
    old, width = len(H), column.shape[1]
    grown = np.zeros((old + width, old + width))
    grown[:old, :old] = H
    grown[:, old:] = column
    grown[old:, :old] = column[:old].T
    corner = column[old:]
    grown[old:, old:] = (corner + corner.T) / 2
    return grown
