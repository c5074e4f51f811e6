"""Fastener holes of the parts: diameters as drawn, and tools that cut them."""

from collections.abc import Iterable
from math import ceil

from refledge.errors import GeometryError
from refledge.geometry.kernel import Solid
from refledge.geometry.port import Kernel
from refledge.geometry.profile import Point
from refledge.model.fasteners import Hardware, Insert, Screw
from refledge.model.parts import ClampDesign, FrameDesign, MountDesign

INSERT_SPACE = 1.0e-3
"""Pocket deeper than its insert, for displaced plastic, m: common practice, no source."""
_PAST = 1e-3  # tools reach this far beyond what they cut, m


def screw_of(hardware: Hardware, size: str) -> Screw:
    """The screw of that size; raises GeometryError where there is none."""
    if size not in hardware.screws:
        raise GeometryError(f"no screw {size}; known: {', '.join(sorted(hardware.screws))}")
    return hardware.screws[size]


def insert_of(hardware: Hardware, size: str) -> Insert:
    """The heat-set insert of that thread; raises GeometryError where there is none."""
    if size not in hardware.inserts:
        raise GeometryError(f"no insert {size}; known: {', '.join(sorted(hardware.inserts))}")
    return hardware.inserts[size]


def clearance(screw: Screw, frame: FrameDesign) -> float:
    """Diameter of a clearance hole as drawn, m: with the allowance for printed holes."""
    return screw.clearance_hole + frame.hole_allowance


def rectangle_of(pitch_x: float, pitch_y: float, middle: float = 0.0) -> list[Point]:
    """Four holes ``pitch_x`` by ``pitch_y`` about (middle, 0), m."""
    x, y = pitch_x / 2, pitch_y / 2
    return [(middle + x, y), (middle - x, y), (middle - x, -y), (middle + x, -y)]


def clamp_holes(clamp: ClampDesign) -> list[Point]:
    """Four clamp bolts in arm axes, m."""
    return rectangle_of(clamp.pitch_x, clamp.pitch_y, clamp.first + clamp.pitch_x / 2)


def mount_holes(mount: MountDesign) -> list[Point]:
    """Four mount bolts about the motor axis, x outwards, m."""
    return rectangle_of(mount.pitch_x, mount.pitch_y)


def walls_under(screw: Screw, hole: float, line: float) -> int:
    """Perimeters round a hole (m) that reach as far as the washer on it; line: of one, m.

    The checks of washers take the plastic under them as solid.
    """
    return max(0, ceil((screw.washer_diameter - hole) / 2 / line - 1e-6))


def drills(
    kernel: Kernel, points: Iterable[Point], diameter: float, low: float, high: float
) -> list[Solid]:
    """Upright round tools through ``low``..``high`` and past both, m."""
    height = high - low + 2 * _PAST
    return [kernel.cone((x, y, low - _PAST), diameter, diameter, height) for x, y in points]


def sinks(
    kernel: Kernel, points: Iterable[Point], diameter: float, low: float, high: float
) -> list[Solid]:
    """Upright round tools that end at ``low`` and ``high`` exactly, m."""
    return [kernel.cone((x, y, low), diameter, diameter, high - low) for x, y in points]
