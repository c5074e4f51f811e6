"""A monotone curve through measured points, fast to call with one number."""

from bisect import bisect_right
from dataclasses import dataclass

import numpy as np
from scipy.interpolate import PchipInterpolator

from refledge.typed import Floats


@dataclass(frozen=True)
class Curve:
    """Piecewise cubic that keeps the points' order (Fritsch and Butland, SIAM J. Sci. Stat.
    Comput. 5, 1984, local monotone piecewise cubic interpolants); end values hold outside."""

    knots: tuple[float, ...]
    """(n,), rising."""
    cubics: tuple[tuple[float, float, float, float], ...]
    """(n - 1, 4), highest power first, in the distance from the left knot."""
    values: tuple[float, ...]
    """(n,), at the knots."""

    def __call__(self, x: float) -> float:
        if x <= self.knots[0]:
            return self.values[0]
        if x >= self.knots[-1]:
            return self.values[-1]
        piece = bisect_right(self.knots, x) - 1
        c3, c2, c1, c0 = self.cubics[piece]
        step = x - self.knots[piece]
        return ((c3 * step + c2) * step + c1) * step + c0


def curve_through(x: Floats, y: Floats) -> Curve:
    """The curve through (n,) rising ``x`` and ``y``; one point gives a constant."""
    if len(x) == 1:
        return Curve((float(x[0]),), (), (float(y[0]),))
    cubics = np.asarray(PchipInterpolator(x, y).c).T
    rows = tuple((float(a), float(b), float(c), float(d)) for a, b, c, d in cubics)
    return Curve(tuple(map(float, x)), rows, tuple(map(float, y)))
