"""What is left when one rotor stops, in one layout at one mass."""

from dataclasses import dataclass

import numpy as np

from refledge.errors import FlightError
from refledge.flight import authority
from refledge.flight.air import GRAVITY
from refledge.flight.landing import time_to_land
from refledge.flight.lost import trim_without
from refledge.flight.rotor import RotorModel
from refledge.flight.turns import turns_text
from refledge.model.brief import Brief
from refledge.model.flight import OperatingPoint
from refledge.model.layout import Layout
from refledge.typed import Floats

CHARGE = 0.5
"""State of charge at which the rotor stops: half-way through."""


@dataclass(frozen=True)
class Loss:
    """One rotor stopped, the others as nature and the motors allow."""

    rotor: int
    """Number of the rotor, from 1."""
    level: bool
    """Level flight with full lift can be held by these motors and this pack."""
    heading: bool
    """The heading as well; otherwise it turns about the vertical."""
    factor: float
    """Greatest thrust of a remaining rotor over mean hover thrust; 0 where no trim exists."""
    throttle: float
    """Of the hardest worked motor; 0 where level flight cannot be held."""
    seconds: float
    """s until the usable charge is gone, from half charge; 0 where it cannot be held."""
    thrust_share: float
    """Greatest level total thrust over that of all rotors."""
    why: str
    """Why it cannot be held, or ""."""


@dataclass(frozen=True)
class Order:
    """One turn order of a flat layout."""

    turns: str
    """Such as ``ccw cw ccw cw``, in the order of the rotors' numbers."""
    kept: int
    """Losses after which attitude and heading can both be steered."""
    level: int
    """Losses after which level flight can be held."""
    healthy: float
    """Control index with all rotors over that of the best order."""
    own: bool
    """The layout's own turns, or a turn or mirror image of them."""


def losses(
    brief: Brief, layout: Layout, rotor: RotorModel, hover: OperatingPoint, full: OperatingPoint
) -> tuple[Loss, ...]:
    """Every single rotor stopped in turn."""
    most = full_thrusts(full)
    shares = authority.losses(layout, most, hover.total_thrust)
    return tuple(
        _loss(brief, layout, rotor, hover, lost, shares[lost].thrust_fraction)
        for lost in range(layout.n_rotors)
    )


def _loss(
    brief: Brief, layout: Layout, rotor: RotorModel, hover: OperatingPoint, lost: int, share: float
) -> Loss:
    trim = trim_without(layout, hover, lost)
    factor = trim.factor if trim.possible else 0.0
    try:
        landing = time_to_land(brief, layout, rotor, hover, lost, CHARGE)
    except FlightError as error:
        return Loss(lost + 1, False, False, factor, 0.0, 0.0, share, str(error))
    return Loss(lost + 1, True, trim.yaw_kept, factor, landing.throttle, landing.seconds, share, "")


def orders(layout: Layout, full: OperatingPoint, mass: float) -> tuple[Order, ...]:
    """Turn orders of a flat layout at ``mass``, kg, best first; () for pairs and uneven rings."""
    if layout.paired or layout.kind == "free":
        return ()
    found = authority.turn_orders(layout, full_thrusts(full), mass * GRAVITY)
    best = max(each.healthy for each in found)
    own = authority.alike(layout.spin)
    return tuple(
        Order(
            turns_text(each.spins),
            each.survived,
            each.level,
            each.healthy / best,
            own=each.spins in own,
        )
        for each in found
        if each.healthy > 0
    )


def full_thrusts(full: OperatingPoint) -> Floats:
    """(n_rotors,), N."""
    return np.array([state.thrust for state in full.rotors])
