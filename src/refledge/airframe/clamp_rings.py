"""The rings that clamp bolts press on a printed block, and how stiff the plastic under them is."""

from math import pi

import numpy as np

from refledge.model.fasteners import Hardware, Screw
from refledge.model.parts import FrameDesign

CONE_SLOPE = 0.577
"""tan 30 degrees: how pressure spreads under a washer (Shigley, Mechanical Engineering Design,
member stiffness of bolted joints; from memory)."""
APART = 0.3e-3
"""m; between the pressed rings of neighbouring bolts, and to the block's edges: our choice."""


def washer_area(screw: Screw) -> float:
    """Ring of plastic under a washer, m2."""
    return pi / 4 * (screw.washer_diameter**2 - screw.clearance_hole**2)


def pressed_radius(frame: FrameDesign, hardware: Hardware) -> float:
    """Radius of the ring that a clamp bolt presses on the arm's block under a plate, m.

    The washer's cone through the plate, as far as neighbouring rings and the block's edges leave
    room.
    """
    screw = hardware.screws[frame.clamp.screw]
    spread = screw.washer_diameter / 2 + CONE_SLOPE * frame.plate.thickness
    width = frame.block_width or frame.arm.width
    beside = (width - frame.clamp.pitch_y) / 2
    ends = min(frame.clamp.first, frame.arm.root_length - frame.clamp.first - frame.clamp.pitch_x)
    return min(spread, frame.clamp.pitch_y / 2 - APART, beside - APART, ends - APART)


def frustum_stiffness(E: float, hole: float, washer: float, thickness: float) -> float:
    """Stiffness of the plastic squeezed under a washer through ``thickness``, N/m.

    Pressure cone of 30 degrees from the washer's rim (Shigley, Mechanical Engineering Design,
    member stiffness of bolted joints, one frustum; from memory).
    """
    slope = 1.155 * thickness
    up = (slope + washer - hole) * (washer + hole)
    down = (slope + washer + hole) * (washer - hole)
    return float(0.5774 * pi * E * hole / np.log(up / down))
