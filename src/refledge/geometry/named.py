"""Bores and flat faces of a part, told by name: where analysis holds and loads it.

Faces give the outline within which they lie; holes in them are not taken off.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from refledge.geometry.drill import clearance, screw_of
from refledge.geometry.profile import Point
from refledge.model.fasteners import Hardware
from refledge.model.parts import FrameDesign

Triple = tuple[float, float, float]

UP: Triple = (0.0, 0.0, 1.0)
DOWN: Triple = (0.0, 0.0, -1.0)


@dataclass(frozen=True)
class Bore:
    """The wall of a round hole; m."""

    centre: Triple
    """Middle of its axis."""
    axis: Triple
    """Unit vector."""
    radius: float
    length: float


@dataclass(frozen=True)
class Rectangle:
    """Sides along x and y of the part, m."""

    length: float
    width: float


@dataclass(frozen=True)
class Disc:
    """A round outline; m."""

    radius: float


@dataclass(frozen=True)
class Plane:
    """A level face about ``origin``, m; ``normal`` points out of the plastic."""

    origin: Triple
    normal: Triple
    outline: Rectangle | Disc


Feature = Bore | Plane
Features = dict[str, Feature]


def bores(
    name: str, points: Iterable[Point], diameter: float, low: float, high: float, first: int = 1
) -> Features:
    """Upright bores from ``low`` to ``high``, numbered from ``first``."""
    middle, length = (low + high) / 2, high - low
    return {
        f"{name}_{i}": Bore((x, y, middle), UP, diameter / 2, length)
        for i, (x, y) in enumerate(points, first)
    }


def level(x0: float, x1: float, half: float, z: float, normal: Triple) -> Plane:
    """Rectangle from ``x0`` to ``x1``, ``half`` to either side of y = 0, m."""
    return Plane(((x0 + x1) / 2, 0.0, z), normal, Rectangle(x1 - x0, 2 * half))


def clamp_hole(frame: FrameDesign, hardware: Hardware) -> float:
    return clearance(screw_of(hardware, frame.clamp.screw), frame)


def mount_hole(frame: FrameDesign, hardware: Hardware) -> float:
    return clearance(screw_of(hardware, frame.mount.screw), frame)
