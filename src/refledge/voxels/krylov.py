"""Conjugate gradients preconditioned by one multigrid cycle, several load cases side by side.

Hestenes and Stiefel, Methods of conjugate gradients for solving linear systems, 1952. The cycle is
fp32; every inner product is summed in fp64. The residual iterated drifts from the true one by
rounding, so they are begun again from the true one until that meets the tolerance.
"""

from dataclasses import dataclass

import numpy as np

from refledge.errors import AnalysisError
from refledge.typed import Floats, Ints
from refledge.voxels.backend import Array
from refledge.voxels.loads import Field, Loads
from refledge.voxels.multigrid import Multigrid

_NEAR = 1.02  # square of the true residual over that of the tolerance that counts as met
_STARTS = 6  # from the true residual; each gains the digits that one of fp32 has


@dataclass(frozen=True, eq=False)
class Solved:
    """Motions x of A x = b for each case, with how it went."""

    x: Array
    """(k, 3, nodes), the backend's."""
    iterations: Ints
    """(k,): when each case first met the tolerance."""
    residuals: Floats
    """(k,): norm of b - A x, computed afresh, over that of b; before x is rounded to fp32 where
    the backend keeps it in that."""


def solve(
    mg: Multigrid,
    loads: Loads | Field,
    guess: Array | None = None,
    tolerance: float = 1e-5,
    limit: int = 500,
) -> Solved:
    """Raises AnalysisError where a case does not meet ``tolerance`` within ``limit`` iterations.

    A ``guess`` in the backend's own precision of motions is overwritten by the answer.
    """
    return _Run(mg, loads, guess, tolerance, limit).go()


class _Run:
    def __init__(
        self,
        mg: Multigrid,
        loads: Loads | Field,
        guess: Array | None,
        tolerance: float,
        limit: int,
    ) -> None:
        backend, level = mg.backend, mg.levels[0]
        xp, dtype = backend.xp, backend.motion(level.shape)
        self.mg, self.loads, self.tolerance, self.limit = mg, loads, tolerance, limit
        self.backend, self.xp, self.level = backend, xp, level
        self.x = xp.zeros(loads.shape, dtype) if guess is None else xp.asarray(guess, dtype)
        self.low = backend.low(self.x)
        search = backend.search(dtype)
        self.r, self.p = (xp.zeros(loads.shape, search) for _ in range(2))
        self.q = None if search == np.float32 else xp.zeros(loads.shape, search)
        self.whole = loads.squares
        self.count, self.met = 0, np.full(len(self.x), -1)

    def go(self) -> Solved:
        goal = self.tolerance**2 * self.whole
        for _ in range(_STARTS):
            self._true_residual()
            rr = self.backend.dots(self.r, self.r)
            if self._done(rr, _NEAR * goal):
                residuals = np.sqrt(self.backend.get(_over(self.xp, rr, self.whole)))
                return Solved(self.x, self.met, residuals)
            self._descend(rr, goal)
        raise AnalysisError(
            f"{self._told(rr)} is as near as motions of {self.x.dtype} come on so slender a body, "
            f"{self.tolerance:.2g} asked for; ask for less"
        )

    def _descend(self, rr: Array, goal: Array) -> None:
        """Iterate until the residual carried along meets the goal."""
        backend, xp, r, p = self.backend, self.xp, self.r, self.p
        before = None
        while not self._done(rr, goal):
            if self.count == self.limit:
                raise AnalysisError(
                    f"{self._told(rr)} after {self.limit} iterations, {self.tolerance:.2g} asked "
                    "for: the structure is not held, or stiff pieces hang in soft ones; hold it "
                    "or raise the least stiffness"
                )
            z = self.mg.cycle(r)
            rz = backend.dots(z, r)
            backend.turn(z, xp.zeros(len(r)) if before is None else _over(xp, rz, before), p)
            q = z if self.q is None else self.q  # z is free from here on
            self.level.apply(p, q)
            alpha = _over(xp, rz, backend.dots(p, q))
            rr, before = backend.advance(alpha, p, q, self.x, self.low, r), rz
            self.count += 1

    def _done(self, rr: Array, goal: Array) -> bool:
        done = np.asarray(self.backend.get(rr <= goal))
        self.met[done & (self.met < 0)] = self.count
        return bool(done.all())

    def _true_residual(self) -> None:
        r = self.r
        self.level.apply(self.x, r)
        if self.low is not None and self.count:
            rest, product = self.mg.spare
            self.backend.rest(self.x, self.low, rest)
            self.level.apply(rest, product)
            r += product
        self.xp.negative(r, out=r)
        self.loads.add(r)

    def _told(self, rr: Array) -> str:
        share = _over(self.xp, rr, self.whole)
        return f"relative residual {float(np.sqrt(self.backend.get(share).max())):.2g}"


def _over(xp: Array, a: Array, b: Array) -> Array:
    """a / b, zero where b is not above zero: a case without loads, or one long done."""
    good = b > 0
    return xp.where(good, a / xp.where(good, b, 1), 0.0)
