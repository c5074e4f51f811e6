"""What stands on the upper plate under the heads of one arm's four clamp bolts: mast and holders.

Each has its origin midway between those bolts on the plate's top face, x outwards, z up.
"""

from math import cos, sin

import numpy as np

from refledge.errors import GeometryError
from refledge.geometry.drill import clearance, drills, rectangle_of, screw_of
from refledge.geometry.holes import LEAST_LIGAMENT
from refledge.geometry.kernel import Solid
from refledge.geometry.port import Kernel
from refledge.geometry.profile import Point
from refledge.model.fasteners import Hardware
from refledge.model.layout import Layout
from refledge.model.parts import FrameDesign
from refledge.typed import Floats

EDGE = 0.5e-3
"""Clear space round the washers, m. Our choice."""


def deck_bolts(pitch_x: float, pitch_y: float) -> list[Point]:
    """The inner pair of an arm's clamp bolts, about their middle, m."""
    return [point for point in rectangle_of(pitch_x, pitch_y) if point[0] < 0.0]


def room_between(pitch_x: float, washer: float) -> float:
    """Along the arm between the washers of clamp bolts ``pitch_x`` apart, m."""
    return pitch_x - washer - 2 * EDGE


def deck_radius(frame: FrameDesign) -> float:
    """Centre to the middle of an arm's four clamp bolts, m."""
    return frame.clamp.root_radius + frame.clamp.first + frame.clamp.pitch_x / 2


def deck_place(frame: FrameDesign, layout: Layout, arm: int) -> Floats:
    """Middle of the arm's four clamp bolts on top of the upper plate, (3,), m."""
    angle, radius = float(layout.arm_angles[arm]), deck_radius(frame)
    height = frame.plate_gap / 2 + frame.plate.thickness
    return np.array([radius * cos(angle), radius * sin(angle), height])


def flange(
    frame: FrameDesign,
    hardware: Hardware,
    size: tuple[float, float],
    outer: float,
    kernel: Kernel,
) -> tuple[Solid, list[Solid]]:
    """A plate of ``size`` (across, thickness; m) under the inner pair's heads that reaches outwards
    to x = ``outer`` (m), and the drills for its bolts."""
    across, thickness = size
    screw = screw_of(hardware, frame.clamp.screw)
    hole = clearance(screw, frame)
    beside = (across - frame.clamp.pitch_y - hole) / 2
    if beside < LEAST_LIGAMENT - 1e-9:
        raise GeometryError(
            f"{beside * 1e3:.2f} mm beside the bolts of a flange {across * 1e3:.1f} mm wide; at "
            f"least {LEAST_LIGAMENT * 1e3:.1f} mm needed"
        )
    x, y = (frame.clamp.pitch_x + screw.washer_diameter) / 2 + EDGE, across / 2
    bolts = deck_bolts(frame.clamp.pitch_x, frame.clamp.pitch_y)
    tools = drills(kernel, bolts, hole, 0.0, thickness)
    return kernel.box((-x, -y, 0.0), (outer, y, thickness)), tools
