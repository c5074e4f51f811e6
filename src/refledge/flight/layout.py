"""Where the rotors sit: arm angles, arm length from clearances, turn directions, allocation."""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np

from refledge.errors import FlightError
from refledge.flight.coaxial import BALANCED_THRUST_RATIO
from refledge.flight.kinds import FIRST_ARM, PAIRED, rotor_count
from refledge.flight.turns import parse_turns
from refledge.model.layout import Layout
from refledge.model.wishes import LayoutWish
from refledge.typed import Floats

_HAIR = 1e-9  # rad; rounding must not renumber an arm on the nose or the tail
_COINCIDENT = math.radians(1.0)  # arms closer than this are a slip of the pen, not a layout


def layout_options(n_motors: int) -> tuple[str, ...]:
    """Ready-made kinds that use exactly ``n_motors`` rotors, flat ones first."""
    kinds = tuple(kind for kind in FIRST_ARM if rotor_count(kind) == n_motors)
    if not kinds:
        raise FlightError(
            f"no ready-made layout has {n_motors} rotors (4, 6 or 8 do); "
            "ask for layout.kind = 'free' with arm angles"
        )
    return kinds


def lay_out(
    wish: LayoutWish,
    kind: str,
    propeller_diameter: float,
    body_radius: float = 0.0,
    z_upper: float = 0.0,
    z_lower: float = 0.0,
    *,
    torque_ratio: float,
) -> Layout:
    """The layout of one kind, with the shortest arms that the clearances allow.

    ``body_radius``, m, encloses what a propeller tip must pass; ``z_upper`` and ``z_lower``, m, are
    the heights of the propeller discs; ``torque_ratio``, m, is rotor torque over thrust.
    """
    angles = _arm_angles(wish, kind)
    paired = wish.pairs if kind == "free" else kind in PAIRED
    radius = _motor_radius(wish, angles, propeller_diameter, body_radius)
    upper = (True, False) * len(angles) if paired else (True,) * len(angles)
    arm_of_rotor = tuple(range(len(angles)))
    if paired:
        arm_of_rotor = tuple(arm for arm in arm_of_rotor for _ in range(2))
    at = angles[list(arm_of_rotor)]
    heights = np.where(upper, z_upper, z_lower)
    positions = np.column_stack((radius * np.cos(at), radius * np.sin(at), heights))
    spin = parse_turns(wish.turn_order, len(upper)) or _spins(len(angles), paired)
    allocation = _allocation(positions, spin, upper, torque_ratio)
    _refuse_uncontrollable(allocation, kind)
    return Layout(
        kind=kind,
        arm_angles=angles,
        motor_radius=radius,
        positions=positions,
        arm_of_rotor=arm_of_rotor,
        spin=spin,
        upper=upper,
        paired=paired,
        tip_gap=2 * radius * math.sin(_least_angle(angles) / 2) - propeller_diameter,
        footprint=_footprint(positions, propeller_diameter),
        allocation=allocation,
    )


def with_heights(layout: Layout, z_upper: float, z_lower: float) -> Layout:
    """The same layout with its propeller discs at ``z_upper`` and, for pairs, ``z_lower``, m."""
    positions = layout.positions.copy()
    positions[:, 2] = np.where(layout.upper, z_upper, z_lower)
    return replace(layout, positions=positions)


def _arm_angles(wish: LayoutWish, kind: str) -> Floats:
    """(n_arms,), rad in (-pi, pi], clockwise from above starting at the nose."""
    if kind in FIRST_ARM:
        n_arms, first = FIRST_ARM[kind]
        clockwise = np.radians(first + 360.0 / n_arms * np.arange(n_arms))
    elif kind == "free":
        if not wish.arm_angles:
            raise FlightError("a free layout needs layout.arm_angles, one angle for each arm")
        rightwards = -np.asarray(wish.arm_angles, dtype=np.float64)
        clockwise = np.sort(np.mod(rightwards + _HAIR, 2 * math.pi) - _HAIR)
    else:
        raise FlightError(f"layout kind {kind!r} is not known")
    angles: Floats = np.where(clockwise < math.pi - _HAIR, -clockwise, 2 * math.pi - clockwise)
    return angles + 0.0  # turns -0.0 into 0.0


def _least_angle(angles: Floats) -> float:
    """Least angle between two arms, rad; the ring is closed."""
    if len(angles) < 2:
        return math.pi
    ring = np.sort(np.mod(angles, 2 * math.pi))
    around = np.append(ring, ring[0] + 2 * math.pi)
    return float(min(min(later - earlier, math.pi) for earlier, later in pairwise(around)))


def _motor_radius(wish: LayoutWish, angles: Floats, diameter: float, body_radius: float) -> float:
    """Centre to motor axis, m: as wished, or the least that the gaps at tips and body allow."""
    least_angle = _least_angle(angles)
    if least_angle < _COINCIDENT:
        raise FlightError("two arms of the free layout point the same way; move or remove one")
    between_tips = (diameter + wish.tip_gap) / (2 * math.sin(least_angle / 2))
    past_body = body_radius + wish.body_gap + diameter / 2
    least = max(between_tips, past_body)
    if wish.motor_radius is None:
        return least
    if wish.motor_radius < least * (1 - 1e-9):
        reason = "neighbouring tips" if between_tips >= past_body else "tips and body"
        raise FlightError(
            f"layout.motor_radius {1e3 * wish.motor_radius:.1f} mm leaves too little between "
            f"{reason}; the gaps need at least {1e3 * least:.1f} mm"
        )
    return wish.motor_radius


def _spins(n_arms: int, paired: bool) -> tuple[int, ...]:
    """+1 counter-clockwise. Neighbouring arms alternate; within a pair the rotors oppose.

    An odd number of pairs cannot alternate round the ring: there every upper rotor turns alike,
    which keeps the arms interchangeable, and each pair balances its own torque.
    """
    if not paired:
        return tuple(1 if arm % 2 == 0 else -1 for arm in range(n_arms))
    top = [1 if n_arms % 2 or arm % 2 == 0 else -1 for arm in range(n_arms)]
    return tuple(turn for each in top for turn in (each, -each))


def _allocation(
    positions: Floats, spin: tuple[int, ...], upper: tuple[bool, ...], torque_ratio: float
) -> Floats:
    """(4, n_rotors): thrust (1) and roll, pitch, yaw moments (m) per newton of each rotor.

    Moments about body x, y, z by the right-hand rule, so roll = y T and pitch = -x T. The frame
    feels the reaction: a rotor that turns counter-clockwise (+1) yaws the frame clockwise (-). The
    lower rotor of a pair has more torque per newton by the ratio at which momentum theory balances
    the pair's torque.
    """
    ratio = torque_ratio * np.where(upper, 1.0, BALANCED_THRUST_RATIO)
    yaw = -np.asarray(spin) * ratio
    return np.vstack((np.ones(len(spin)), positions[:, 1], -positions[:, 0], yaw))


def _refuse_uncontrollable(allocation: Floats, kind: str) -> None:
    scale = np.max(np.abs(allocation), axis=1, keepdims=True)
    if np.any(scale == 0) or np.linalg.matrix_rank(allocation / scale, tol=1e-6) < 4:
        raise FlightError(
            f"layout {kind}: these rotors cannot give thrust, roll, pitch and yaw independently; "
            "use at least four rotors on arms that point to both sides, fore and aft"
        )


def _footprint(positions: Floats, diameter: float) -> float:
    """Greatest distance across the propeller discs seen from above, m."""
    plan = positions[:, :2]
    apart = np.linalg.norm(plan[:, None] - plan[None, :], axis=2)
    return float(np.max(apart)) + diameter
