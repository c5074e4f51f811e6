"""Control with all rotors and with one lost: index, linear programmes, turn orders, agility."""

from dataclasses import replace
from itertools import product

import numpy as np
from scipy.optimize import linprog

from refledge.errors import FlightError
from refledge.flight.attainable import authority_index
from refledge.flight.lost import allocation_without
from refledge.model.layout import Layout
from refledge.model.rotors import Authority, TurnOrder
from refledge.typed import Floats

_FLAT = 1e-6  # of the full thrust: an index under this is none


def hover_authority(layout: Layout, most: Floats, weight: float) -> Authority:
    """With all rotors: ``most`` (n_rotors,), N, full thrust of each; ``weight``, N."""
    return _judged(layout.allocation, most, weight, -1, most)


def losses(layout: Layout, most: Floats, weight: float) -> tuple[Authority, ...]:
    """Every single rotor lost, one after the other."""
    return tuple(_without(layout, most, weight, lost) for lost in range(layout.n_rotors))


def _without(layout: Layout, most: Floats, weight: float, lost: int) -> Authority:
    left = most.copy()
    if layout.paired and layout.upper[lost]:
        left[lost + 1] = most[lost]  # freed of its wake, a lower rotor gives what an upper does
    left[lost] = 0.0
    return _judged(allocation_without(layout, lost), left, weight, lost, most)


def _judged(B: Floats, most: Floats, weight: float, lost: int, healthy: Floats) -> Authority:
    wanted = np.array([weight, 0.0, 0.0, 0.0])
    index = authority_index(B, most, wanted)
    tilt = authority_index(B[:3], most, wanted[:3])
    flat = _FLAT * float(np.max(healthy))
    top = _top_thrust(B if index > flat else B[:3], most)
    return Authority(
        lost=lost,
        index=index,
        level=tilt > flat,
        heading=index > flat,
        peak=_least_peak(B if index > flat else B[:3], most, weight),
        thrust_fraction=top / float(np.sum(healthy)),
    )


def _top_thrust(B: Floats, most: Floats) -> float:
    """N: the greatest total thrust without any moment of the rows in ``B``."""
    found = linprog(
        -B[0], A_eq=B[1:], b_eq=np.zeros(len(B) - 1), bounds=_bounds(most), method="highs"
    )
    return -float(found.fun) if found.fun is not None else 0.0


def _least_peak(B: Floats, most: Floats, weight: float) -> float:
    """Least greatest thrust over full thrust among trims at ``weight``, N; infinite where none."""
    n, wanted = len(most), np.zeros(len(B))
    wanted[0] = weight
    running = most > 0
    found = linprog(
        np.append(np.zeros(n), 1.0),
        A_ub=np.hstack((np.eye(n), -most[:, None]))[running],
        b_ub=np.zeros(int(np.sum(running))),
        A_eq=np.hstack((B, np.zeros((len(B), 1)))),
        b_eq=wanted,
        bounds=[*[(0.0, None if on else 0.0) for on in running], (0.0, None)],
        method="highs",
    )
    return float(found.x[-1]) if found.x is not None else float("inf")


def yaw_authority(layout: Layout, most: Floats, weight: float) -> tuple[float, float]:
    """Greatest yaw moments, N m, left and right, at hover's lift without roll or pitch."""
    left, right = _reach(layout.allocation, most, weight, 3)
    return left, right


def angular_acceleration(
    layout: Layout, most: Floats, weight: float, inertia: Floats
) -> tuple[float, float, float]:
    """rad/s2 about x, y, z at hover's lift, the weaker sense of each axis, others unmoved.

    ``inertia`` (3, 3), kg m2, of the whole aircraft about its centre of mass, body axes.
    """
    found = []
    for axis in (1, 2, 3):
        moment = min(_reach(layout.allocation, most, weight, axis))
        turned = np.zeros(3)
        turned[axis - 1] = moment
        found.append(float(np.linalg.solve(inertia, turned)[axis - 1]))
    return found[0], found[1], found[2]


def _reach(B: Floats, most: Floats, weight: float, row: int) -> tuple[float, float]:
    """Greatest moments of ``row`` in both senses with lift ``weight``, N, and no other moment."""
    others = [r for r in range(4) if r != row]
    wanted = np.array([weight if r == 0 else 0.0 for r in others])
    found = []
    for sense in (1.0, -1.0):
        solved = linprog(
            -sense * B[row], A_eq=B[others], b_eq=wanted, bounds=_bounds(most), method="highs"
        )
        if solved.fun is None:
            raise FlightError(f"these rotors do not hold {weight:.1f} N level")
        found.append(-float(solved.fun))
    return found[0], found[1]


def turn_orders(layout: Layout, most: Floats, weight: float) -> tuple[TurnOrder, ...]:
    """Every order of turn directions of a flat layout with as many left as right, best first.

    Orders that are turns or mirror images of another, or its reverse, are judged once. Best: most
    losses survived with heading, then level, then the largest index after the worst loss.
    """
    if layout.paired:
        raise FlightError("turn orders are compared for flat layouts; pairs balance by themselves")
    seen: set[tuple[int, ...]] = set()
    found = []
    for order in product((1, -1), repeat=layout.n_rotors):
        if sum(order) or alike(order) & seen:
            continue
        seen.add(order)
        found.append(_order(with_spins(layout, order), most, weight))
    return tuple(
        sorted(found, key=lambda each: (-each.survived, -each.level, -each.worst, -each.healthy))
    )


def alike(order: tuple[int, ...]) -> set[tuple[int, ...]]:
    """All turns and mirror images of ``order``, and all reversed: a regular ring looks alike."""
    n = len(order)
    turns = {order[k:] + order[:k] for k in range(n)}
    turns |= {each[::-1] for each in turns}
    return turns | {tuple(-spin for spin in each) for each in turns}


def with_spins(layout: Layout, spins: tuple[int, ...]) -> Layout:
    """The layout with other turn directions."""
    if len(spins) != layout.n_rotors or set(spins) - {1, -1}:
        raise FlightError(f"{layout.n_rotors} turn directions of +1 or -1 are needed")
    allocation = layout.allocation.copy()
    allocation[3] = -np.abs(allocation[3]) * np.array(spins)
    return replace(layout, spin=spins, allocation=allocation)


def _order(layout: Layout, most: Floats, weight: float) -> TurnOrder:
    after = losses(layout, most, weight)
    return TurnOrder(
        spins=layout.spin,
        healthy=hover_authority(layout, most, weight).index,
        worst=min(each.index for each in after),
        survived=sum(each.heading for each in after),
        level=sum(each.level for each in after),
    )


def _bounds(most: Floats) -> list[tuple[float, float]]:
    return [(0.0, float(each)) for each in most]
