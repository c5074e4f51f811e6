"""What depends on the layout kind or the propeller alone, found once for a whole sweep."""

import math
from functools import cache

import numpy as np

from refledge.flight import coaxial
from refledge.flight.authority import hover_authority
from refledge.flight.coaxial import BALANCED_THRUST_RATIO
from refledge.flight.curve import Curve
from refledge.flight.layout import lay_out
from refledge.flight.lost import one_rotor_lost, trim_without
from refledge.flight.rotor import RotorModel
from refledge.flight.turns import split_kind
from refledge.model.flight import OperatingPoint, RotorState
from refledge.model.layout import Layout
from refledge.model.wishes import LayoutWish
from refledge.sweeps.facts import Facts, KindFacts, PairFacts
from refledge.sweeps.grid import Grid

_RATIO = 0.012  # m, torque over thrust: from memory, typical; scales out of every figure here
MOST_ROTORS = 8
_UNIT = 0.3  # m, propeller diameter of the layout judged; scales out as well


@cache
def kind_facts(kind: str) -> KindFacts:
    """Facts of ``kind``, by the linear programme of ``flight.lost`` on a layout of unit size.

    The kind may name its turns, such as ``six-x turns ccw ccw cw ccw cw cw``.
    """
    layout, plain = _unit_layout(kind), _unit_layout(split_kind(kind)[0])
    hover = _unit_hover(layout.upper, layout.paired)
    trim = one_rotor_lost(layout, hover)
    each = [trim_without(layout, hover, rotor) for rotor in range(layout.n_rotors)]
    kept = [after.factor if after.yaw_kept else math.inf for after in each]
    gap = math.pi / layout.n_arms
    plan = layout.positions[:, :2]
    apart = np.linalg.norm(plan[:, None] - plan[None, :], axis=2)
    return KindFacts(
        arms=layout.n_arms,
        rotors=layout.n_rotors,
        paired=layout.paired,
        tip_radius=1 / (2 * math.sin(gap)),
        across=float(np.max(apart)) / layout.motor_radius,
        lost=0 if not trim.possible else 2 if trim.yaw_kept else 1,
        lost_factor=trim.factor,
        with_heading=tuple(kept + [math.inf] * (MOST_ROTORS - len(kept))),
        control=_index(layout) / _index(plain),
    )


def _unit_layout(kind: str) -> Layout:
    name, turns = split_kind(kind)
    wish = LayoutWish(tip_gap=0.0, body_gap=0.0, turn_order=turns)
    return lay_out(wish, name, _UNIT, torque_ratio=_RATIO)


def _index(layout: Layout) -> float:
    """Control index in hover with full thrust twice hover's."""
    return hover_authority(layout, np.full(layout.n_rotors, 2.0), float(layout.n_rotors)).index


def _unit_hover(upper: tuple[bool, ...], paired: bool) -> OperatingPoint:
    """Hover with a mean rotor thrust of 1 N, pairs split as momentum theory balances them."""
    share = 2 * BALANCED_THRUST_RATIO / (1 + BALANCED_THRUST_RATIO)
    thrusts = [1.0 if not paired else share if top else 2 - share for top in upper]
    states = tuple(RotorState(each, 0, 0, 0, 0, 0, 0, 0) for each in thrusts)
    return OperatingPoint("unit hover", sum(thrusts), states, 0, 0, 0, "", 0, "momentum theory")


@cache
def pair_facts(CT: float, CP: float, blades: int) -> PairFacts:
    """By ``flight.coaxial``, for a propeller of unit size in air of unit density."""
    flat_curves = (Curve((1.0,), (), (CT,)), Curve((1.0,), (), (CP,)))
    rotor = RotorModel(1.0, blades, *flat_curves, method="constant coefficients", spread=0.0)
    upper, lower = coaxial.balanced_split(rotor, 1.0, 1.0)
    turn = coaxial.lower_speed(rotor, 1.0, upper, lower) / rotor.speed_for(upper, 1.0)
    speed = 100.0
    alone = rotor.thrust(speed, 1.0)
    below = coaxial.lower_thrust(rotor, 1.0, alone, speed)
    torque = coaxial.lower_torque(rotor, 1.0, speed, alone, below) / rotor.torque(speed, 1.0)
    return PairFacts(lower / upper, turn, below / alone, torque)


def facts_of(grid: Grid) -> Facts:
    """All that a sweep of ``grid`` needs to know of its kinds and propellers."""
    blades = grid.propellers
    rows = zip(blades.CT.tolist(), blades.CP.tolist(), map(int, blades.blades), strict=True)
    return Facts(tuple(map(kind_facts, grid.kinds)), tuple(pair_facts(*row) for row in rows))
