"""The method of moving asymptotes, for many variables and few limits.

Svanberg, The method of moving asymptotes, a new method for structural optimization, 1987;
parameters as in his MMA and GCMMA, two methods for nonlinear optimization (notes, 2007; from
memory). The convex subproblem is solved in its dual, one multiplier a limit, by Newton's method
kept between bounds.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np

from refledge.errors import AnalysisError
from refledge.typed import Floats
from refledge.voxels.backend import Array

_START, _NARROW, _WIDEN = 0.5, 0.7, 1.2
_NEAREST, _FARTHEST = 0.01, 10.0  # of asymptotes from x, in ranges
_INSIDE = 0.1  # share of the way to an asymptote that x may not enter
_CURVE = 1e-5  # least curvature, per range
DEAREST = 1e4
"""Price of breaking a limit by one, objective and limits being about one."""
_NEWTON_STEPS, _NEWTON_GOAL = 60, 1e-9


@dataclass(frozen=True, eq=False)
class MovingAsymptotes:
    """Where the method stands; ``x`` (n,) between 0 and 1."""

    x: Array
    before: tuple[Array, ...] = ()
    """The iterates before, newest first, two at most."""
    low: Array = None
    high: Array = None

    def step(
        self,
        xp: Any,
        slope: Array,
        limits: Floats,
        limit_slopes: Array,
        move: float = 0.2,
        dearest: Floats | float = DEAREST,
    ) -> "MovingAsymptotes":
        """Minimise an objective of gradient ``slope`` (n,) with ``limits`` (m,) at most 0, of
        gradients ``limit_slopes`` (m, n), moving no variable by more than ``move``.

        dearest: (m,) or one, price of breaking a limit by one where it cannot be kept.
        """
        if len(limits) < 1 or limit_slopes.shape != (len(limits), len(self.x)):
            raise AnalysisError("moving asymptotes need at least one limit, and a slope for each")
        low, high = self._asymptotes(xp)
        prices = np.broadcast_to(dearest, limits.shape)
        sub = _Subproblem(xp, self.x, low, high, slope, limits, limit_slopes, move, prices)
        return MovingAsymptotes(sub.solve(), (self.x, *self.before[:1]), low, high)

    def _asymptotes(self, xp: Any) -> tuple[Array, Array]:
        x = self.x
        if len(self.before) < 2:
            return x - _START, x + _START
        one, two = self.before
        turn = (x - one) * (one - two)
        factor = xp.where(turn < 0, _NARROW, xp.where(turn > 0, _WIDEN, 1.0))
        low, high = x - factor * (one - self.low), x + factor * (self.high - one)
        return (
            xp.clip(low, x - _FARTHEST, x - _NEAREST),
            xp.clip(high, x + _NEAREST, x + _FARTHEST),
        )


class _Subproblem:
    """The separable convex model at one iterate and its dual."""

    def __init__(self, xp: Any, x: Array, low: Array, high: Array, slope: Array, limits: Floats,
                 limit_slopes: Array, move: float, dearest: Floats) -> None:  # fmt: skip
        self.xp, self.low, self.high, self.dearest = xp, low, high, dearest
        self.least = xp.maximum(xp.maximum(0.0, x - move), low + _INSIDE * (x - low))
        self.most = xp.minimum(xp.minimum(1.0, x + move), high - _INSIDE * (high - x))
        up, down = (high - x) ** 2, (x - low) ** 2
        self.p0, self.q0 = self._model(slope, up, down)
        self.p, self.q = self._model(limit_slopes, up, down)
        at = self.p / (high - x) + self.q / (x - low)
        self.b = _host(at.sum(axis=1, dtype=np.float64)) - limits

    def _model(self, slope: Array, up: Array, down: Array) -> tuple[Array, Array]:
        rise, fall = self.xp.maximum(slope, 0), self.xp.maximum(-slope, 0)
        return (
            up * (1.001 * rise + 0.001 * fall + _CURVE),
            down * (0.001 * rise + 1.001 * fall + _CURVE),
        )

    def solve(self) -> Array:
        """The minimiser: Newton on the dual, halving steps that do not gain."""
        price = np.minimum(1.0, self.dearest)
        value, slope, curve, x = self._dual(price)
        for _ in range(_NEWTON_STEPS):
            stuck = ((price <= 0) & (slope < 0)) | ((price >= self.dearest) & (slope > 0))
            free = ~stuck
            if not free.any() or np.abs(slope[free]).max() < _NEWTON_GOAL:
                break
            step = self._newton(price, slope, curve, free)
            found = self._search(price, value, slope, step)
            if found is None:
                break
            price, (value, slope, curve, x) = found
        return x

    @staticmethod
    def _newton(price: Floats, slope: Floats, curve: Floats, free: Any) -> Floats:
        step = np.zeros(len(price))
        H = curve[np.ix_(free, free)]
        damp = 1e-10 * max(np.trace(H), 1e-12)
        step[free] = np.linalg.solve(H + damp * np.eye(len(H)), slope[free])
        longest = 10 * (1 + price.max())
        return np.asarray(step * min(1.0, longest / max(np.abs(step).max(), 1e-300)))

    def _search(self, price: Floats, value: float, slope: Floats, step: Floats) -> Any:
        for halving in range(30):
            trial = np.clip(price + step * 0.5**halving, 0, self.dearest)
            found = self._dual(trial)
            if found[0] >= value + 1e-4 * slope @ (trial - price) and not np.array_equal(
                trial, price
            ):
                return trial, found
        return None

    def _dual(self, price: Floats) -> tuple[float, Floats, Floats, Array]:
        """Dual function, its gradient (m,), its negated Hessian (m, m), and the minimiser."""
        xp = self.xp
        rates = xp.asarray(price)
        P, Q = self.p0 + rates @ self.p, self.q0 + rates @ self.q
        a, b = xp.sqrt(P), xp.sqrt(Q)
        x = xp.clip((a * self.low + b * self.high) / (a + b), self.least, self.most)
        up, down = 1 / (self.high - x), 1 / (x - self.low)
        value = float((P * up + Q * down).sum(dtype=np.float64)) - float(price @ self.b)
        slope = _host(self.p @ up + self.q @ down) - self.b
        free = (x > self.least) & (x < self.most)
        rows = self.p * up**2 - self.q * down**2
        curve = free / (2 * (P * up**3 + Q * down**3))
        return value, slope, np.atleast_2d(_host((rows * curve) @ rows.T)), x


def _host(values: Any) -> Floats:
    """A small array of any backend as NumPy's."""
    return np.asarray(values.get() if hasattr(values, "get") else values, float)
