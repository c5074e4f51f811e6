"""Screws with their nuts and washers: lengths as sold, masses, lines of the bolts list."""

from collections.abc import Callable
from math import pi

from refledge.errors import GeometryError
from refledge.model.fasteners import Screw, ShearBolt
from refledge.model.parts import FrameDesign
from refledge.model.results import Fastener

STEEL = 7850.0
"""kg/m3, handbook value for carbon steel."""
Lengths = Callable[[str], tuple[float, ...]]


def grip_of_clamp(frame: FrameDesign) -> float:
    """Plates and arm between the washers of a clamp bolt, m."""
    return frame.plate_gap + 2 * frame.plate.thickness


def through(screw: Screw, grip: float, lengths: Lengths) -> float:
    """Shortest standard length that passes grip, two washers and a full lock nut, m."""
    needed = grip + beyond_grip(screw)
    for length in lengths(screw.size):
        if length >= needed - 1e-9:
            return length
    raise GeometryError(
        f"no {screw.size} screw is long enough for a grip of {grip * 1e3:.1f} mm; "
        "next: a larger rod screw (frame.rod_screw)"
    )


def thread_end(screw: Screw, grip: float, lengths: Lengths) -> float:
    """What the screw through ``grip`` shows beyond its nut, m."""
    used = grip + 2 * screw.washer_thickness + screw.nut_height
    return through(screw, grip, lengths) - used


def longest_grip(screw: Screw, lengths: Lengths) -> float:
    """Greatest grip that a standard screw of this size passes, m."""
    return max(lengths(screw.size)) - beyond_grip(screw)


def beyond_grip(screw: Screw) -> float:
    """Two washers, a full lock nut and one turn of thread, m."""
    return 2 * screw.washer_thickness + screw.nut_height + screw.pitch


def at_most(screw: Screw, wanted: float, lengths: Lengths) -> float:
    """Longest standard length not above ``wanted``, m."""
    fitting = [length for length in lengths(screw.size) if length <= wanted + 1e-9]
    if not fitting:
        raise GeometryError(f"no {screw.size} screw is as short as {wanted * 1e3:.1f} mm")
    return max(fitting)


def bolt(
    screw: Screw, length: float, count: int, where: str, torque: float, *, nut: bool, note: str = ""
) -> Fastener:
    if isinstance(screw, ShearBolt):
        return _plastic(screw, length, count, where, torque, note)
    mass = screw_mass(screw, length)
    sunk = note.startswith("countersunk")  # its head needs no washer
    kind = "countersunk screw, ISO 10642" if sunk else "cap screw, ISO 4762"
    name = f"{screw.size} x {length * 1e3:.0f} {kind}"
    if nut:
        mass += nut_mass(screw) + (1 if sunk else 2) * washer_mass(screw)
        name += ", lock nut, washer" if sunk else ", lock nut, 2 washers"
    return Fastener(name, count, where, torque, mass, note)


def _plastic(
    screw: ShearBolt, length: float, count: int, where: str, torque: float, note: str
) -> Fastener:
    """A polyamide screw with its nut and two washers, all of the same plastic."""
    steel = screw_mass(screw, length) + nut_mass(screw) + 2 * washer_mass(screw)
    name = f"{screw.size} x {length * 1e3:.0f} polyamide (PA 66) screw, nut, 2 washers"
    return Fastener(name, count, where, torque, steel * screw.density / STEEL, note)


def screw_mass(screw: Screw, length: float) -> float:
    """Shank and head as plain cylinders of steel, kg."""
    shank = pi / 4 * screw.diameter**2 * length
    head = pi / 4 * screw.head_diameter**2 * screw.head_height
    return STEEL * (0.9 * shank + 0.8 * head)  # thread and socket taken off: from memory


def nut_mass(screw: Screw) -> float:
    """Hexagon less its bore, kg."""
    side = screw.nut_width / 2
    hexagon = 1.5 * 3**0.5 * side**2
    return STEEL * screw.nut_height * (hexagon - pi / 4 * screw.diameter**2)


def washer_mass(screw: Screw) -> float:
    """Plain ring, kg."""
    ring = pi / 4 * (screw.washer_diameter**2 - screw.clearance_hole**2)
    return STEEL * screw.washer_thickness * ring
