"""How one aircraft flies: hover, full thrust, climb, wind, cruise, steering, a rotor lost."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeVar

from refledge.airframe.assessment import Assessment
from refledge.airframe.task import Task
from refledge.choosing.inertia import Body, whole_body
from refledge.choosing.losses import Loss, Order, full_thrusts, losses, orders
from refledge.errors import FlightError
from refledge.flight import along, authority
from refledge.flight.air import GRAVITY, site_density
from refledge.flight.bands import endurance_band
from refledge.flight.cautions import cautions
from refledge.flight.pairs import Flat, against_flat
from refledge.model.flight import OperatingPoint
from refledge.model.layout import Layout
from refledge.model.parts import FrameDesign
from refledge.model.rotors import Estimate, FlightPoint

T = TypeVar("T")
LARGER = 1.2
"""Diameter of the larger flat rotors that a pair is held against, over its own."""


@dataclass(frozen=True)
class Reach:
    """The most of something that can be held, and what ends it."""

    value: float  # m/s
    limit: str


@dataclass(frozen=True)
class Steering:
    """What the rotors can do at hover's lift, the weaker sense of each axis, others unmoved."""

    yaw: float  # N m
    turning: tuple[float, float, float]
    """rad/s2 in roll, pitch, yaw, from the inertia of the real parts and items."""


@dataclass(frozen=True, eq=False)
class Flying:
    """Everything about flight of one sized aircraft."""

    mass: float  # kg
    hover: OperatingPoint
    full: OperatingPoint
    endurance: Estimate  # s
    thrust_margin: float
    long: FlightPoint | str
    """Cruise for the longest time, or why there is none."""
    far: FlightPoint | str
    """Cruise for the longest way through still air."""
    wind: Reach | str
    climb: Reach | str
    cautions: tuple[str, ...]
    losses: tuple[Loss, ...]
    orders: tuple[Order, ...]
    steering: Steering | str
    body: Body
    against_flat: Flat | None
    """One pair in hover against flat rotors; None for flat layouts."""


def flying(
    task: Task, frame: FrameDesign, layout: Layout, assessment: Assessment, mass: float
) -> Flying:
    """Figures at ``mass``, kg, the all-up mass that ``task``'s operating points were made for."""
    brief, rotor, hover, full = task.brief, task.rotor, task.hover, task.full
    depth = (frame.arm.depth_root + frame.arm.depth_tip) / 2
    craft = along.craft(brief, layout, rotor, mass, depth)
    body = whole_body(assessment)
    most, weight = full_thrusts(full), mass * GRAVITY
    pair = None
    if layout.paired:
        total = hover.total_thrust / layout.n_arms
        pair = against_flat(rotor, site_density(brief.mission), total, LARGER)
    return Flying(
        mass=mass,
        hover=hover,
        full=full,
        endurance=endurance_band(brief, layout, rotor, mass),
        thrust_margin=full.total_thrust / weight,
        long=_or_why(lambda: along.best_endurance(craft)),
        far=_or_why(lambda: along.best_range(craft)),
        wind=_or_why(lambda: Reach(*along.strongest_wind(craft))),
        climb=_or_why(lambda: Reach(*along.fastest_climb(craft))),
        cautions=tuple(
            f"{point.name}: {text}"
            for point in (hover, full)
            for text in cautions(brief, rotor, point)
        ),
        losses=losses(brief, layout, rotor, hover, full),
        orders=orders(layout, full, mass),
        steering=_or_why(
            lambda: Steering(
                min(authority.yaw_authority(layout, most, weight)),
                authority.angular_acceleration(layout, most, weight, body.inertia),
            )
        ),
        body=body,
        against_flat=pair,
    )


def _or_why(figure: Callable[[], T]) -> T | str:
    """The figure, or in words why it does not exist."""
    try:
        return figure()
    except FlightError as error:
        return str(error)
