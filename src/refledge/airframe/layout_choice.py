"""Layouts side by side, before any is sized, where the brief says choose."""

from dataclasses import replace

import numpy as np

from refledge.airframe.body import body_for, least_arm_width
from refledge.errors import FlightError, WishError
from refledge.flight.air import GRAVITY
from refledge.flight.kinds import rotor_count
from refledge.flight.layout import lay_out, layout_options
from refledge.flight.operating import full_thrust, hover
from refledge.flight.rotor import RotorModel
from refledge.model.brief import Brief
from refledge.model.fasteners import Hardware
from refledge.model.layout import Layout
from refledge.model.results import LayoutOption

FIRST_FRAME_SHARE = 0.3
"""Frame mass over the mass of everything it carries, to start the closure from."""
FIRST_GUESS_OF_TORQUE = 0.012
"""m; torque over thrust of a small propeller, for laying out only: from memory, typical."""


def wanted_kinds(brief: Brief) -> tuple[str, ...]:
    """The layout kind asked for, or every kind that the motors on the list make up."""
    if brief.layout.kind != "choose":
        return (brief.layout.kind,)
    condition = brief.motor.condition
    count = condition.sound + condition.suspect + condition.scrap + condition.to_buy
    return layout_options(count)


def first_mass(brief: Brief, kind: str) -> float:
    """All-up mass to start from, kg: all that is carried, and a frame in proportion."""
    per_rotor = brief.motor.mass + brief.propeller.mass + brief.speed_controller.mass
    body = brief.battery.mass + brief.flight_controller.mass + brief.payload.mass + brief.wiring
    others = sum(each.mass for each in brief.others)
    return (1.0 + FIRST_FRAME_SHARE) * (_rotors(brief, kind) * per_rotor + body + others)


def _rotors(brief: Brief, kind: str) -> int:
    free = len(brief.layout.arm_angles) * (2 if brief.layout.pairs else 1)
    return free if kind == "free" else rotor_count(kind)


def first_layout(brief: Brief, kind: str, hardware: Hardware) -> Layout:
    """The layout with the narrowest arms, for a first look."""
    torque = FIRST_GUESS_OF_TORQUE
    plain = lay_out(brief.layout, kind, brief.propeller.diameter, 0.0, torque_ratio=torque)
    width = least_arm_width(hardware.screws[brief.frame.rod_screw])
    body = body_for(brief, tuple(plain.arm_angles), plain.paired, width, hardware)
    return lay_out(brief.layout, kind, brief.propeller.diameter, body.reach, torque_ratio=torque)


def compare_layouts(
    brief: Brief, rotor: RotorModel, hardware: Hardware
) -> tuple[LayoutOption, ...]:
    """Every kind that could be built, the chosen one marked.

    The longest hover wins; equal ones go to the X arrangement, which keeps the nose clear.
    """
    options, refused = [], []
    for kind in wanted_kinds(brief):
        try:
            layout = first_layout(brief, kind, hardware)
        except WishError as error:
            refused.append(error)
            options.append(_refused(brief, kind, str(error)))
        else:
            options.append(_option(brief, rotor, kind, layout, first_mass(brief, kind)))
    if len(refused) == len(options):
        raise refused[0]
    flying = [each for each in options if each.endurance > 0.0]
    if not flying:
        raise FlightError(
            f"none of {', '.join(each.kind for each in options)} can hover at "
            f"its estimated mass with these motors, propellers and battery: {options[0].reason}"
        )
    best = max(flying, key=lambda each: (round(each.endurance), each.kind.endswith("-x")))
    reason = "asked for" if len(options) == 1 else "longest hover at the estimated mass"
    return tuple(
        replace(each, chosen=True, reason=reason) if each is best else each for each in options
    )


def _refused(brief: Brief, kind: str, reason: str) -> LayoutOption:
    """A layout that what the brief asks for does not go with."""
    mass, rotors = first_mass(brief, kind), _rotors(brief, kind)
    return LayoutOption(kind, mass, 0.0, 0.0, 0.0, 0.0, 0.0, rotors, chosen=False, reason=reason)


def _option(
    brief: Brief, rotor: RotorModel, kind: str, layout: Layout, mass: float
) -> LayoutOption:
    try:
        level = hover(brief, layout, rotor, mass)
        full = full_thrust(brief, layout, rotor)
    except FlightError as error:
        return LayoutOption(
            kind, mass, 0.0, 0.0, 0.0, layout.motor_radius, layout.footprint, layout.n_rotors,
            chosen=False, reason=str(error),
        )  # fmt: skip
    reach = np.round(layout.footprint, 2)
    return LayoutOption(
        kind,
        mass,
        level.power,
        level.endurance,
        full.total_thrust / (mass * GRAVITY),
        layout.motor_radius,
        layout.footprint,
        layout.n_rotors,
        chosen=False,
        reason=f"{reach} m across",
    )
