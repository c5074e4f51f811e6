"""The clamp: the grip of the bolts on the arm's root block between the plates."""

from collections.abc import Mapping
from math import pi

import numpy as np

from refledge.airframe.working import Working
from refledge.model.fasteners import Hardware, Screw
from refledge.model.parts import FrameDesign
from refledge.typed import Floats

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


def clamp_stiffness(
    frame: FrameDesign, materials: Mapping[str, Working], hardware: Hardware
) -> Floats:
    """(6,), N/m and N m/rad: one pair of clamp bolts, arm block against one plate, in arm axes.

    Up and down: the block is squeezed between its mid-depth and the plate. Sideways: the pressed
    ring as a disc stuck to a half-space, 8 G a / (2 - nu) (Mindlin, Compliance of Elastic Bodies in
    Contact, 1949). About x and z: the two bolts of the pair, ``pitch_y`` apart. About y: the ring's
    own width. From the bolts alone, without the faces that touch beyond their cones.
    """
    screw = hardware.screws[frame.clamp.screw]
    block = materials[frame.plate.material if frame.block_width else frame.arm.material]
    half, pressed = frame.plate_gap / 2, pressed_radius(frame, hardware)
    up = 2 * frustum_stiffness(block.E_z, screw.clearance_hole, 2 * pressed, half)
    side = 2 * 8 * block.G_xz * pressed / (2 - block.nu)
    arm = (frame.clamp.pitch_y / 2) ** 2
    return np.array([side, side, up, up * arm, up * (pressed / 2) ** 2, side * arm])


def net_section(frame: FrameDesign, hardware: Hardware) -> float:
    """Stress at the outer clamp bolts over that of the block without holes (1).

    The two bolt holes take their width out of a printed block; tubes are not drilled.
    """
    if frame.arm.family == "tube":
        return 1.0
    hole = hardware.screws[frame.clamp.screw].clearance_hole + frame.hole_allowance
    return frame.arm.width / (frame.arm.width - 2 * hole)
