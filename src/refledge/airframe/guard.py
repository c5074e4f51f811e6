"""Propeller guards: how far out, how high, how stout; what a push from the side does to them."""

from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise, product
from math import radians

import numpy as np

from refledge.airframe.clearance import widest_angle
from refledge.airframe.judge import reserve
from refledge.airframe.working import Working
from refledge.analysis import sections
from refledge.analysis.beam import BeamFrame, all_dofs, end_forces, frame_of, solve_static
from refledge.errors import WishError
from refledge.flight.air import GRAVITY
from refledge.geometry.guard import guard_size, hub_radius, rim_length
from refledge.geometry.items import disc_thickness
from refledge.model.brief import Brief
from refledge.model.parts import GuardDesign, MountDesign
from refledge.printing.bed import turned_to_fit
from refledge.typed import Floats, Ints

CLEAR = 8e-3
"""m; from the blades' tips to the rim, unloaded: our choice."""
LEFT = 3e-3
"""m; of that gap, left under a push: our choice."""
ABOVE = 2e-3
"""m; rim above the propeller's seat: our choice."""
BEYOND = radians(10.0)
"""rad; a rim covers more than the angle between two arms, half of it to either side, so that a wall
that touches two rotors meets both rims: our choice."""
WIDEST = radians(150.0)
"""rad; most that a rim covers, whatever the layout: our choice."""
STRUT_AT = 0.35
"""Angle of a strut from the arm, over the rim's (1): our choice, near where the rim bends least."""
CAN_GAP = 1e-3
"""m; round the motor can: our choice."""
LEAST, MOST = 3e-3, 8e-3
"""m; thickness of frame and struts: our choice."""
BLADE_GAP = 6e-3
"""m; blades' sweep to the struts below them: our choice, more than the fit check asks for."""
PUSH = 0.5
"""Push from the side over the aircraft's weight: our choice; it leans so hard at 27 degrees."""
LINES = tuple(range(3, 11))
"""Thicknesses of the rim that are tried, in printed lines: our choice."""
STRUTS = (6e-3, 8e-3, 10e-3, 12e-3)
"""m; widths of the struts that are tried: our choice."""
SIDES = 8
"""Straight beams that stand for each of three stretches of the rim's arc: beside and between the
struts."""
PARTS = 4
"""Beams that stand for a strut."""


def guard_for(
    brief: Brief, angles: tuple[float, ...], paired: bool, mount: MountDesign, line: float
) -> GuardDesign:
    """Guards with the least rim and struts, in two halves where whole ones would not fit the bed.

    line: extrusion width, m. Raises WishError where they cannot be put.
    """
    if paired:
        raise WishError(
            "frame.guards: guards stand on the mount beside one motor, and this layout has pairs; "
            'next: guards = "none", or a layout.kind without pairs'
        )
    motor, propeller = brief.motor, brief.propeller
    room = motor.height - disc_thickness(propeller) / 2 - BLADE_GAP
    if room < LEAST:
        raise WishError(
            f"frame.guards: {1e3 * max(room, 0.0):.1f} mm below the propeller are left for their "
            f'struts, at least {1e3 * LEAST:.1f} mm needed; next: guards = "none", or a taller '
            "motor (motor.height)"
        )
    span = min(widest_angle(angles) + BEYOND, WIDEST)
    whole = GuardDesign(
        radius=propeller.diameter / 2 + CLEAR, span=span, strut_at=STRUT_AT * span,
        thickness=min(room, MOST), strut=STRUTS[0], rim=LINES[0] * line,
        height=motor.height + ABOVE, can=motor.diameter + 2 * CAN_GAP, screw="", material="",
    )  # fmt: skip
    x, y = guard_size(replace(whole, rim=LINES[-1] * line), mount.length)
    corners = np.array([[a, b, 0.0] for a, b in product((0.0, x), (0.0, y))])
    bed = brief.printer.bed_length, brief.printer.bed_width
    _, lies = turned_to_fit(corners, *bed)
    if lies[0] <= bed[0] and lies[1] <= bed[1]:
        return whole
    return replace(whole, screw="M3")


@dataclass(frozen=True)
class GuardStress:
    """What a push from the side does to a guard, at the worst place along its rim."""

    stress: float
    """Pa, in the plane of the layers."""
    inward: float
    """m, of the rim towards the blades."""


def side_push(all_up_mass: float) -> float:
    """N."""
    return PUSH * all_up_mass * GRAVITY


@lru_cache(maxsize=512)
def guard_stress(guard: GuardDesign, E: float, G: float, push: float, level: float) -> GuardStress:
    """The guard as a frame of straight beams, its struts held at the frame round the can.

    push: N, towards the motor, at each place along the rim in turn. level: of the push above the
    frame's underside, m. E, G: Pa. Method: ``analysis.beam``; sigma = N / A + M / W.
    """
    model, rim, held, section = _model(guard, E, G)
    angles = np.arctan2(model.nodes[rim, 1], model.nodes[rim, 0])
    inward = -np.column_stack([np.cos(angles), np.sin(angles), np.zeros(len(rim))])
    loads = np.zeros((len(rim), len(model.nodes), 6))
    lift = np.array([0.0, 0.0, level - guard.height / 2])
    for row, node in enumerate(rim):
        loads[row, node, :3] = push * inward[row]
        loads[row, node, 3:] = np.cross(lift, push * inward[row])
    moved = solve_static(model, loads, held).displacements
    forces = np.abs(end_forces(model, moved))
    stress = (
        forces[..., 0] / section["A"]
        + forces[..., 4] / section["Wy"]
        + forces[..., 5] / section["Wz"]
    )
    towards = np.einsum("lni,ni->ln", moved[:, rim, :3], inward)
    return GuardStress(float(stress.max()), float(towards.max()))


def _model(
    guard: GuardDesign, E: float, G: float
) -> tuple[BeamFrame, Ints, Ints, dict[str, Floats]]:
    """Beams; nodes of the rim; what is held; area and section moduli for both ends, (m, 1)."""
    middle, half = guard.radius + guard.rim / 2, guard.span / 2
    ends = (-half, -guard.strut_at, guard.strut_at, half)
    stretches = [np.linspace(*pair, SIDES + 1)[1:] for pair in pairwise(ends)]
    angles = np.concatenate([[-half], *stretches])
    arc = np.column_stack(
        [middle * np.cos(angles), middle * np.sin(angles), np.full(len(angles), guard.height / 2)]
    )
    nodes, pairs = [arc], [np.column_stack([np.arange(len(arc) - 1), np.arange(1, len(arc))])]
    offsets, held = [np.zeros((len(arc) - 1, 2, 3))], []
    for way in (-1.0, 1.0):
        foot = SIDES if way < 0 else 2 * SIDES
        start, shift = (
            sum(map(len, nodes)),
            np.array([0.0, 0.0, (guard.thickness - guard.height) / 2]),
        )
        out = np.array([np.cos(angles[foot]), np.sin(angles[foot]), 0.0])
        along = np.linspace(hub_radius(guard), middle, PARTS + 1)[:-1, None] * out
        nodes.append(along + np.array([0.0, 0.0, guard.thickness / 2]))
        chain = np.append(np.arange(start, start + PARTS), foot)
        pairs.append(np.column_stack([chain[:-1], chain[1:]]))
        offset = np.zeros((PARTS, 2, 3))
        offset[-1, 1] = shift
        offsets.append(offset)
        held.append(start)
    count = [len(arc) - 1, 2 * PARTS]
    wide, deep = (
        np.repeat([guard.rim, guard.strut], count),
        np.repeat([guard.height, guard.thickness], count),
    )
    model = frame_of(
        np.vstack(nodes), np.vstack(pairs), sections.rectangle(wide, deep), E, G, 0.0,
        offsets=np.vstack(offsets),
    )  # fmt: skip
    modulus = {"A": wide * deep, "Wy": wide * deep**2 / 6, "Wz": deep * wide**2 / 6}
    columns = {name: each[:, None] for name, each in modulus.items()}
    return model, np.arange(len(arc)), all_dofs(*held), columns


def sized_guard(
    guard: GuardDesign, material: Working, push: float, level: float, line: float, factor: float
) -> GuardDesign:
    """The lightest rim and struts that a push neither breaks nor bends into the blades.

    The stoutest where none holds: its check says so. line: extrusion width, m.
    """
    limit = material.strength_xy / factor / (1.0 + reserve(material.strength_spread))
    room = (CLEAR - LEFT) / (1.0 + reserve(material.stiffness_spread))
    tried = [
        replace(guard, rim=lines * line, strut=strut) for lines, strut in product(LINES, STRUTS)
    ]
    tried.sort(key=_volume)
    for one in tried:
        found = guard_stress(one, material.E, material.G, push, level)
        if found.stress <= limit and found.inward <= room:
            return one
    return tried[-1]


def _volume(guard: GuardDesign) -> float:
    """Of rim and struts, m3."""
    struts = 2 * guard.strut * guard.thickness * (guard.radius - hub_radius(guard))
    return rim_length(guard) * guard.rim * guard.height + struts
