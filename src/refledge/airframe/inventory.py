"""Every mass of the airframe in its place: items, payload, printed parts, fasteners, wiring."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from refledge.airframe.estimate import ARM_KEYS
from refledge.airframe.fastening import bolts_mass
from refledge.geometry.antenna_holder import antenna_axes
from refledge.geometry.deck import deck_place
from refledge.geometry.parts import PART_NAMES
from refledge.geometry.placing import other_place, other_turn, payload_middle
from refledge.geometry.placing import turn as turned
from refledge.model.brief import Brief
from refledge.model.layout import Layout
from refledge.model.parts import FrameDesign
from refledge.model.results import Fastener, MassLine
from refledge.typed import Floats

BUILT_IN = (*ARM_KEYS, "leg", "leg_upper", "leg_lower")
"""Parts whose mass the beam elements themselves carry."""
AT_TIP = ("mount", "cap", "clip", "guard", "guard_left", "guard_right")
"""Parts that ride on the arms' ends, as many to each arm."""
SOURCES = {
    "printed": "computed: solid, walls, skins and infill",
    "bought": "computed: tube section and length",
    "fasteners": "computed: steel screws by size and length",
}


@dataclass(frozen=True, eq=False)
class Lump:
    """One body with its own mass."""

    name: str
    group: str
    """items, payload, printed, bought, fasteners, wiring"""
    mass: float  # kg
    centre: Floats  # (3,), m, body axes
    inertia: Floats  # (3, 3), kg m2 about its own centre
    arm: int = -1
    """Arm whose tip carries it, or -1 for the middle of the frame."""
    fixed: bool = True
    """False for what loads the frame but does not shake with it: a slung payload, loose items."""
    part: str = ""
    """Part key for printed parts and tubes."""

    @property
    def loose(self) -> bool:
        """An item that pulls with what the airframe feels, without shaking with it; a slung payload
        pulls with a force of its own (``LoadCase.slung_force``)."""
        return not self.fixed and self.group != "payload"


def box_inertia(mass: float, size: tuple[float, float, float]) -> Floats:
    """(3, 3) of a uniform box about its centre, kg m2."""
    a, b, c = (each**2 for each in size)
    return mass / 12 * np.diag([b + c, a + c, a + b])


def cylinder_inertia(mass: float, diameter: float, height: float) -> Floats:
    """(3, 3) of a uniform upright cylinder about its centre, kg m2."""
    across = mass * (diameter**2 / 16 + height**2 / 12)
    return np.diag([across, across, mass * diameter**2 / 8])


def rod_inertia(mass: float, length: float) -> Floats:
    """(3, 3) of a propeller, turning: a rod averaged over its turn, kg m2."""
    about = mass * length**2 / 12
    return np.diag([about / 2, about / 2, about])


def lumps(
    brief: Brief,
    layout: Layout,
    frame: FrameDesign,
    part_masses: Mapping[str, float],
    part_centres: Mapping[str, Floats],
    quantities: Mapping[str, int],
    fasteners: tuple[Fastener, ...],
) -> tuple[Lump, ...]:
    """All lumps.

    part_masses: kg each. part_centres: (quantity, 3), m, centre of each copy in body axes.
    """
    return (
        *_rotor_lumps(brief, layout, frame),
        *_body_items(brief, layout, frame),
        *_parts(part_masses, part_centres, quantities, layout.n_arms),
        *_fastener_lumps(fasteners, layout, frame),
    )


def _rotor_lumps(brief: Brief, layout: Layout, frame: FrameDesign) -> list[Lump]:
    motor, propeller = brief.motor, brief.propeller
    found = []
    for rotor, position in enumerate(layout.positions):
        side = 1.0 if layout.upper[rotor] else -1.0
        base = frame.seat_height if layout.upper[rotor] else frame.lower_seat_height
        centre = np.array([position[0], position[1], base + side * motor.height / 2])
        arm = layout.arm_of_rotor[rotor]
        spin = cylinder_inertia(motor.mass, motor.diameter, motor.height)
        blade = rod_inertia(propeller.mass, propeller.diameter)
        found.append(Lump(motor.name, "items", motor.mass, centre, spin, arm))
        disc = np.array([position[0], position[1], base + side * motor.height])
        found.append(Lump(propeller.name, "items", propeller.mass, disc, blade, arm))
    return found


def _body_items(brief: Brief, layout: Layout, frame: FrameDesign) -> list[Lump]:
    half, plate = frame.plate_gap / 2, frame.plate.thickness
    above, below = half + plate, -half - plate
    battery, controller, payload = brief.battery, brief.flight_controller, brief.payload
    on_seat = above + frame.seat.top
    turned = (battery.length, battery.width, battery.height)
    if abs(np.sin(frame.tray.yaw)) > 0.5:
        turned = (battery.width, battery.length, battery.height)
    under_tray = below - frame.tray.hang - battery.height / 2
    hung = below - payload_middle(frame, brief)
    box = (payload.length, payload.width, payload.height)
    controller_box = (controller.length, controller.width, controller.height)
    count = frame.n_arms * frame.mount.per_arm
    found = [
        _at(battery.name, "items", battery.mass, (0, 0, under_tray), turned),
        _at(controller.name, "items", controller.mass,
            (0, 0, on_seat + controller.height / 2), controller_box),
        _at(brief.speed_controller.name, "items", count * brief.speed_controller.mass,
            (0, 0, -half + 5e-3), (0.08, 0.08, 0.01)),
        _at("wires, plugs and straps", "wiring", brief.wiring, (0, 0, 0), (0.2, 0.2, 0.02)),
        _at(payload.name, "payload", payload.mass, (payload.forward, 0, hung),
            box, fixed=not payload.slung),
    ]  # fmt: skip
    for other in brief.others:
        x, y, z = map(float, other_place(other, frame, layout))
        turn = other_turn(other, frame, layout)
        own = box_inertia(other.mass, (other.length, other.width, other.height))
        found.append(
            Lump(
                other.name,
                "items",
                other.mass,
                np.array([x, y, z]),
                turn @ own @ turn.T,
                fixed=other.fixed,
            )
        )
    return found + _antennas(brief, layout, frame)


def _antennas(brief: Brief, layout: Layout, frame: FrameDesign) -> list[Lump]:
    """Each in its tube, as a rod."""
    holder = frame.antenna_holder
    if holder is None:
        return []
    mass, found = brief.antennas.mass, []
    place, turn = deck_place(frame, layout, holder.arm), turned(layout.arm_angles[holder.arm])
    for foot, lean in antenna_axes(frame):
        own = cylinder_inertia(mass, holder.diameter, holder.length)
        rotation = turn @ lean
        centre = place + turn @ foot + rotation[:, 2] * holder.length / 2
        found.append(Lump("antenna", "items", mass, centre, rotation @ own @ rotation.T))
    return found


def _at(
    name: str,
    group: str,
    mass: float,
    centre: tuple[float, float, float],
    size: tuple[float, float, float],
    *,
    fixed: bool = True,
) -> Lump:
    inertia = box_inertia(mass, size)
    return Lump(name, group, mass, np.asarray(centre, dtype=float), inertia, fixed=fixed)


def _parts(
    masses: Mapping[str, float],
    centres: Mapping[str, Floats],
    quantities: Mapping[str, int],
    n_arms: int,
) -> list[Lump]:
    found = []
    for key, count in quantities.items():
        group = "bought" if key == "tube" else "printed"
        at_tip = key in AT_TIP
        for copy in range(count):
            arm = copy % n_arms if at_tip else -1
            found.append(
                Lump(
                    PART_NAMES[key],
                    group,
                    masses[key],
                    centres[key][copy],
                    np.zeros((3, 3)),
                    arm,
                    part=key,
                )
            )
    return found


def _fastener_lumps(
    fasteners: tuple[Fastener, ...], layout: Layout, frame: FrameDesign
) -> list[Lump]:
    at_tips = bolts_mass(line for line in fasteners if "motor" in line.where)
    middle = bolts_mass(line for line in fasteners if "motor" not in line.where)
    none = np.zeros((3, 3))
    found = [Lump("fasteners of the body", "fasteners", middle, np.zeros(3), none)]
    radius = layout.motor_radius
    for arm, angle in enumerate(layout.arm_angles):
        place = np.array([radius * np.cos(angle), radius * np.sin(angle), frame.seat_height])
        mass = at_tips / layout.n_arms
        found.append(Lump("fasteners at the motors", "fasteners", mass, place, none, arm))
    return found


def mass_table(found: tuple[Lump, ...]) -> tuple[MassLine, ...]:
    """Lumps gathered by name, in order of first appearance."""
    lines = []
    for name in dict.fromkeys(lump.name for lump in found):
        same = [lump for lump in found if lump.name == name]
        total = sum(lump.mass for lump in same)
        centre = centre_of_mass(tuple(same))
        place = (float(centre[0]), float(centre[1]), float(centre[2]))
        group = same[0].group
        source = SOURCES.get(group, "input: the brief")
        lines.append(MassLine(name, group, len(same), total / len(same), place, source))
    return tuple(lines)


def total_mass(found: tuple[Lump, ...]) -> float:
    """All-up mass, kg."""
    return float(sum(lump.mass for lump in found))


def centre_of_mass(found: tuple[Lump, ...]) -> Floats:
    """(3,), m, body axes; a slung payload pulls where its line is tied and so counts too."""
    weighted: Floats = sum((lump.mass * lump.centre for lump in found), start=np.zeros(3))
    return weighted / total_mass(found)
