"""Rows of one thrust-stand run that do not lie with the others."""

import numpy as np
from scipy.optimize import least_squares

from refledge.model.rotor_tables import ThrustTable
from refledge.typed import Floats

LIMIT = 6.0
"""Robust standard deviations from the run's own trend: common practice, no source."""
FLOOR = 0.05
"""Least deviation, relative, that is told: a hobby stand's own spread (rotor_sources)."""
SMALL = 0.05
"""Of the greatest thrust: below it a scale reads too little to be held against a trend."""
_LEAST_ROWS = 6  # a parabola through fewer has nothing to say about one of them


def odd_rows(table: ThrustTable) -> tuple[tuple[int, str], ...]:
    """Row and what is odd about it.

    The trend of thrust, power and torque is a parabola of logarithms against that of speed: near a
    power law, bent by Reynolds number and, for power, by the no-load loss. Scatter: 1.4826 times
    the median absolute deviation.
    """
    used = np.flatnonzero(table.thrust >= SMALL * np.max(table.thrust))
    if len(used) < _LEAST_ROWS:
        return ()
    figures = {"thrust": table.thrust, "power": table.electrical_power}
    if len(table.torque):
        figures["torque"] = table.torque
    x = np.log(table.speed[used])
    off = {what: _off_trend(x, np.log(values[used])) for what, values in figures.items()}
    listed = []
    for what, values in off.items():
        scatter = 1.4826 * float(np.median(np.abs(values)))
        for at in np.flatnonzero(np.abs(values) > max(LIMIT * scatter, FLOOR)):
            listed.append((int(used[at]), f"{what} {_amount(float(values[at]))} the run's trend"))
    return tuple(sorted(listed))


def odd_words(table: ThrustTable) -> tuple[str, ...]:
    """The same in words, with the file's lines."""
    file = table.source.split(";")[0]
    return tuple(
        f"{file}, line {table.lines[row]}: {what}; measure it again or strike it out"
        for row, what in odd_rows(table)
    )


def _amount(off: float) -> str:
    ratio = float(np.exp(off))
    return f"{ratio:.0f} times" if ratio > 3 else f"{ratio - 1:+.0%} from"


def _off_trend(x: Floats, y: Floats) -> Floats:
    """(n,): y less the parabola through it.

    It starts as the line through medians of slopes and of rests, which a quarter of bad rows cannot
    lead (Sen, Estimates of the regression coefficient based on Kendall's tau, 1968), and is bent by
    least squares in which far rows count for next to nothing (Cauchy's weights).
    """
    i, j = np.triu_indices(len(x), 1)
    run = x - np.mean(x)
    slope = float(np.median((y[j] - y[i]) / (run[j] - run[i])))
    start = np.array([float(np.median(y - slope * run)), slope, 0.0])

    def misses(p: Floats) -> Floats:
        return np.asarray(y - p[0] - p[1] * run - p[2] * run**2)

    solved = least_squares(misses, start, loss="cauchy", f_scale=FLOOR / 2)
    return misses(np.asarray(solved.x))
