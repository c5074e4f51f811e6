"""Simple bodies of the items: for pictures and for finding clashes. Each in its own axes."""

from functools import partial
from math import atan, pi, sin

from refledge.geometry import kernel as solid_kernel
from refledge.geometry.kernel import Solid
from refledge.geometry.needs import Memory
from refledge.geometry.port import Kernel
from refledge.model.antennas import Antennas
from refledge.model.brief import Brief
from refledge.model.items import Box, Motor, Propeller, Standoffs

BLADE_CHORD = 0.11
"""Greatest blade chord over diameter; from memory, typical of two-blade multirotor propellers."""
CHORD_STATION = 0.35
"""Radius of the greatest chord over tip radius; from memory, typical."""
FLEX = 4e-3
"""Blades flap and sag this far up and down, m; from memory, typical of 10 to 13 inch blades."""

_MADE = Memory()


def motor_body(motor: Motor, kernel: Kernel = solid_kernel) -> Solid:
    """Base, bell and propeller seat, standing on z = 0."""
    d, h = motor.diameter, motor.height
    base = kernel.cone((0.0, 0.0, 0.0), 0.8 * d, 0.8 * d, 0.2 * h)
    bell = kernel.cone((0.0, 0.0, 0.15 * h), d, d, 0.65 * h)
    shoulder = kernel.cone((0.0, 0.0, 0.8 * h), d, 0.6 * d, 0.08 * h)
    hub = kernel.cone((0.0, 0.0, 0.85 * h), 0.3 * d, 0.3 * d, 0.15 * h)
    return kernel.checked(kernel.fuse(base, bell, shoulder, hub), "motor")


def disc_thickness(propeller: Propeller) -> float:
    """Height of the space that the blades sweep, m: pitched chord and flapping."""
    radius = CHORD_STATION * propeller.diameter / 2
    angle = atan(propeller.pitch / (2 * pi * radius))
    return BLADE_CHORD * propeller.diameter * sin(angle) + FLEX


def disc_body(propeller: Propeller, kernel: Kernel = solid_kernel) -> Solid:
    """The space swept by the blades, its middle at z = 0."""
    t = disc_thickness(propeller)
    return kernel.cone((0.0, 0.0, -t / 2), propeller.diameter, propeller.diameter, t)


def standoff_body(standoffs: Standoffs, kernel: Kernel = solid_kernel) -> Solid:
    """Waisted, standing on z = 0; its studs are left out, as screws are."""
    d, h = standoffs.diameter, standoffs.height
    waist = 0.75 * d
    lower = kernel.cone((0.0, 0.0, 0.0), d, waist, h / 2)
    upper = kernel.cone((0.0, 0.0, h / 2), waist, d, h / 2)
    return kernel.checked(kernel.fuse(lower, upper), "elastic standoff")


def rod_body(antennas: Antennas, kernel: Kernel = solid_kernel) -> Solid:
    """An antenna's stiff end, standing on z = 0."""
    d = antennas.diameter
    return kernel.cone((0.0, 0.0, 0.0), d, d, antennas.length)


def box_body(item: Box, kernel: Kernel = solid_kernel) -> Solid:
    """A block about its middle, length along x."""
    x, y, z = item.length / 2, item.width / 2, item.height / 2
    return kernel.box((-x, -y, -z), (x, y, z))


def other_key(index: int) -> str:
    """Key of the item ``brief.others[index]``."""
    return f"other_{index + 1}"


def make_items(brief: Brief) -> dict[str, Solid]:
    """Bodies of motor, propeller disc, battery, flight controller, payload, the others, and of
    elastic standoffs and antennas where the brief asks for them.

    Each is made once as long as its size stays.
    """
    motor, disc = brief.motor, brief.propeller
    boxes = {
        "battery": brief.battery,
        "flight_controller": brief.flight_controller,
        "payload": brief.payload,
    } | {other_key(i): each for i, each in enumerate(brief.others)}
    found = {
        "motor": _MADE.get(("motor", motor.diameter, motor.height), lambda: motor_body(motor)),
        "disc": _MADE.get(("disc", disc.diameter, disc_thickness(disc)), lambda: disc_body(disc)),
    }
    if brief.frame.seat == "damped":
        soft = brief.standoffs
        size = ("standoff", soft.diameter, soft.height)
        found["standoff"] = _MADE.get(size, lambda: standoff_body(soft))
    if brief.frame.antenna_holder:
        rod = brief.antennas
        found["antenna"] = _MADE.get(("antenna", rod.diameter, rod.length), lambda: rod_body(rod))
    for key, box in boxes.items():
        found[key] = _MADE.get(("box", box.length, box.width, box.height), partial(box_body, box))
    return found
