"""The clamp: the grip of the bolts on the arm's root block between the plates."""

from collections.abc import Mapping
from math import pi

import numpy as np

from refledge.airframe.working import Working
from refledge.model.fasteners import Hardware, Screw
from refledge.model.parts import FrameDesign
from refledge.typed import Floats


def washer_area(screw: Screw) -> float:
    """Ring of plastic under a washer, m2."""
    return pi / 4 * (screw.washer_diameter**2 - screw.clearance_hole**2)


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

    Up and down: the block is squeezed between its mid-depth and the plate. Sideways: the same cones
    in shear, by the ratio of moduli. About x and z: the two bolts of the pair, ``pitch_y`` apart.
    From the bolts alone, without the faces that touch beyond their cones: it errs soft.
    """
    screw = hardware.screws[frame.clamp.screw]
    block = materials[frame.plate.material if frame.block_width else frame.arm.material]
    half = frame.plate_gap / 2
    one = frustum_stiffness(block.E_z, screw.clearance_hole, screw.washer_diameter, half)
    up, side = 2 * one, 2 * one * block.G_xz / block.E_z
    arm = (frame.clamp.pitch_y / 2) ** 2
    about_y = up * (screw.washer_diameter / 4) ** 2
    return np.array([side, side, up, up * arm, about_y, side * arm])


def net_section(frame: FrameDesign, hardware: Hardware) -> float:
    """Stress at the outer clamp bolts over that of the block without holes (1).

    The two bolt holes take their width out of a printed block; tubes are not drilled.
    """
    if frame.arm.family == "tube":
        return 1.0
    hole = hardware.screws[frame.clamp.screw].clearance_hole + frame.hole_allowance
    return frame.arm.width / (frame.arm.width - 2 * hole)
