"""One rotor lost: can the others hold the aircraft level, and how hard must they work?"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from scipy.optimize import linprog, lsq_linear

from refledge.flight.coaxial import BALANCED_THRUST_RATIO
from refledge.model.flight import OperatingPoint
from refledge.model.layout import Layout
from refledge.typed import Floats

_WEIGHT = 1e6  # of equations over closeness to hover
_PLACES = 12  # of numbers about 1: far beyond what the solvers settle
LEAST_SHARE = 0.05
# Least thrust of a remaining rotor over mean hover thrust, so that it can still give way for
# control: common practice, no source.


@dataclass(frozen=True, eq=False)
class RotorLost:
    """The trim after one rotor has stopped."""

    lost: int
    """Index of the rotor that stopped."""
    thrust: Floats
    """(n_rotors,), N; where no trim exists, the hover thrusts of the moment of the loss."""
    factor: float
    """Greatest thrust of a remaining rotor over mean hover thrust."""
    possible: bool
    """Level flight with full lift, perhaps turning about the vertical."""
    yaw_kept: bool
    """False where the heading must be given up."""


def one_rotor_lost(layout: Layout, hover: OperatingPoint) -> RotorLost:
    """The worst of all single losses: first one that cannot be held, then one without yaw, then
    the one that asks most of a remaining rotor."""
    cases = [trim_without(layout, hover, rotor) for rotor in range(layout.n_rotors)]
    return max(
        cases, key=lambda case: (not case.possible, not case.yaw_kept, round(case.factor, 6))
    )


def trim_without(layout: Layout, hover: OperatingPoint, lost: int) -> RotorLost:
    """Thrusts that keep hover's lift, roll, pitch and, where that can be, yaw, without ``lost``.

    Linear programme: least greatest thrust among the remaining rotors, each at LEAST_SHARE of mean
    hover thrust or more; among the trims with that peak, the one nearest to hover.
    """
    before = np.array([state.thrust for state in hover.rotors])
    mean = float(np.mean(before))
    staying = np.arange(layout.n_rotors) != lost
    rows = allocation_without(layout, lost)[:, staying]
    scale = 1 / np.max(np.abs(rows), axis=1)
    thrust = np.where(staying, before, 0.0)
    share = _trim(
        _plain(rows * scale[:, None]),
        _plain(scale * (layout.allocation @ before) / mean),
        _plain(before[staying] / mean),
    )
    if share is None:
        return RotorLost(lost, thrust, float(np.max(thrust)) / mean, False, False)
    thrust[staying] = mean * np.array(share.thrust)
    return RotorLost(lost, thrust, share.peak, True, share.yaw_kept)


@dataclass(frozen=True)
class _Share:
    """A trim in shares of mean hover thrust."""

    thrust: tuple[float, ...]
    peak: float
    yaw_kept: bool


_Plain = tuple[tuple[float, ...], ...]


def _plain(values: Floats) -> _Plain:
    """Rows of numbers to _PLACES: the same for the same aircraft, larger or heavier."""
    rounded = np.round(np.atleast_2d(values), _PLACES) + 0.0  # no -0.0
    return tuple(map(tuple, rounded.tolist()))


@lru_cache(maxsize=256)
def _trim(rows: _Plain, wanted: _Plain, before: _Plain) -> _Share | None:
    """The trim of the remaining rotors, None if none; all brought to like size and no unit.

    Without units it hangs on neither weight nor arm length, so it seldom has to be solved again.
    """
    allocation, held, level = np.array(rows), np.array(wanted[0]), np.array(before[0])
    for n_rows in (4, 3):
        peak = _least_peak(allocation[:n_rows], held[:n_rows], LEAST_SHARE)
        if peak is not None:
            found = _nearest(allocation[:n_rows], held[:n_rows], level, LEAST_SHARE, peak)
            return _Share(tuple(found.tolist()), peak, n_rows == 4)
    return None


def allocation_without(layout: Layout, lost: int) -> Floats:
    """(4, n_rotors): allocation once ``lost`` stands, its lower partner freed of its wake."""
    allocation = layout.allocation.copy()
    if layout.paired and layout.upper[lost]:
        allocation[3, lost + 1] /= BALANCED_THRUST_RATIO
    return allocation


def _least_peak(rows: Floats, wanted: Floats, least: float) -> float | None:
    """The least peak of thrusts >= ``least`` with ``rows @ thrust = wanted``; None if none."""
    n = rows.shape[1]
    found = linprog(
        np.append(np.zeros(n), 1.0),
        A_ub=np.hstack((np.eye(n), -np.ones((n, 1)))),
        b_ub=np.zeros(n),
        A_eq=np.hstack((rows, np.zeros((len(rows), 1)))),
        b_eq=wanted,
        bounds=[*[(least, None)] * n, (0.0, None)],
        method="highs",
    )
    return None if found.x is None else float(found.x[-1])


def _nearest(rows: Floats, wanted: Floats, before: Floats, least: float, peak: float) -> Floats:
    """(n,): thrusts in least..peak nearest to ``before`` with ``rows @ thrust = wanted``.

    Bounded least squares; the equations weigh so much more that they hold to about 1e-10.
    """
    found = lsq_linear(
        np.vstack((_WEIGHT * rows, np.eye(len(before)))),
        np.concatenate((_WEIGHT * wanted, before)),
        bounds=(least, peak * (1 + 1e-9)),
        method="bvls",
    )
    return np.asarray(found.x, dtype=np.float64)
