"""Conjugate gradients preconditioned by one multigrid cycle, several load cases side by side.

Hestenes and Stiefel, Methods of conjugate gradients for solving linear systems, 1952. Vectors are
fp64 or fp32 as the right-hand side is; the cycle is fp32; every inner product is summed in fp64.
"""

from dataclasses import dataclass

import numpy as np

from refledge.errors import AnalysisError
from refledge.typed import Floats, Ints
from refledge.voxels.backend import Array
from refledge.voxels.multigrid import Multigrid


@dataclass(frozen=True, eq=False)
class Solved:
    """Motions x of A x = b for each case, with how it went."""

    x: Array
    """(k, 3, nodes), the backend's."""
    iterations: Ints
    """(k,): when each case first met the tolerance."""
    residuals: Floats
    """(k,): norm of b - A x, computed afresh, over that of b."""


def solve(
    mg: Multigrid, b: Array, guess: Array | None = None, tolerance: float = 1e-5, limit: int = 500
) -> Solved:
    """Raises AnalysisError where a case does not meet ``tolerance`` within ``limit`` iterations."""
    backend, xp, level = mg.backend, mg.backend.xp, mg.levels[0]
    x = xp.zeros_like(b) if guess is None else guess.astype(b.dtype)
    r, p, q = (xp.zeros(b.shape, backend.search(b.dtype)) for _ in range(3))
    level.residual(b, x, r)
    whole = backend.dots(b, b)
    goal = tolerance**2 * whole
    met = np.full(len(b), -1)
    rr = backend.dots(r, r)
    rz = xp.ones(len(b))
    for count in range(limit + 1):
        done = np.asarray(backend.get(rr <= goal))
        met[done & (met < 0)] = count
        if done.all():
            break
        if count == limit:
            raise AnalysisError(_not_met(backend.get(rr), backend.get(whole), tolerance, limit))
        mg.right[...] = r
        z = mg.cycle()
        fresh = backend.dots(z, r)
        backend.turn(z, _over(xp, fresh, rz) if count else xp.zeros(len(b)), p)
        rz = fresh
        level.apply(p, q)
        rr = backend.advance(_over(xp, rz, backend.dots(p, q)), p, q, x, r)
    level.residual(b, x, r)
    residuals = np.sqrt(backend.get(_over(xp, backend.dots(r, r), whole)))
    return Solved(x, met, residuals)


def _over(xp: Array, a: Array, b: Array) -> Array:
    """a / b, zero where b is not above zero: a case without loads, or one long done."""
    good = b > 0
    return xp.where(good, a / xp.where(good, b, 1), 0.0)


def _not_met(rr: Floats, whole: Floats, tolerance: float, limit: int) -> str:
    worst = float(np.sqrt((rr / np.where(whole > 0, whole, 1)).max()))
    return (
        f"relative residual {worst:.2g} after {limit} iterations, {tolerance:.2g} asked for: the "
        "structure is not held, or stiff pieces hang in soft ones; hold it or raise the least "
        "stiffness"
    )
