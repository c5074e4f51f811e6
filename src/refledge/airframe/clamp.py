"""The clamp: the grip of the bolts on the arm's root block between the plates."""

from collections.abc import Mapping

import numpy as np

from refledge.airframe.clamp_rings import frustum_stiffness, pressed_radius
from refledge.airframe.hinge import hinge_pair
from refledge.airframe.working import Working
from refledge.model.fasteners import Hardware
from refledge.model.parts import FrameDesign
from refledge.typed import Floats


def clamp_stiffness(
    frame: FrameDesign, materials: Mapping[str, Working], hardware: Hardware
) -> Floats:
    """(6,), N/m and N m/rad: one pair of clamp bolts, arm block against one plate, in arm axes.

    Up and down: the block is squeezed between its mid-depth and the plate. Sideways: the pressed
    ring as a disc stuck to a half-space, 8 G a / (2 - nu) (Mindlin, Compliance of Elastic Bodies in
    Contact, 1949). About x and z: the two bolts of the pair, ``pitch_y`` apart. About y: the ring's
    own width. From the bolts alone, without the faces that touch beyond their cones. A hinge's two
    bolts count as such a pair.
    """
    if frame.hinge is not None:
        return hinge_pair(frame, materials, hardware)
    screw = hardware.screws[frame.clamp.screw]
    block = materials[frame.plate.material if frame.block_width else frame.arm.material]
    half, pressed = frame.plate_gap / 2, pressed_radius(frame, hardware)
    up = 2 * frustum_stiffness(block.E_z, screw.clearance_hole, 2 * pressed, half)
    side = 2 * 8 * block.G_xz * pressed / (2 - block.nu)
    arm = (frame.clamp.pitch_y / 2) ** 2
    return np.array([side, side, up, up * arm, up * (pressed / 2) ** 2, side * arm])


def net_section(frame: FrameDesign, hardware: Hardware) -> float:
    """Stress at the outer clamp bolts over that of the block without holes (1).

    The two bolt holes take their width out of a printed block, of a folding arm the pivot's alone;
    tubes are not drilled.
    """
    if frame.arm.family == "tube":
        return 1.0
    if frame.hinge is not None:
        hole = frame.hinge.pivot_bore + frame.hole_allowance
        return frame.arm.width / (frame.arm.width - hole)
    hole = hardware.screws[frame.clamp.screw].clearance_hole + frame.hole_allowance
    return frame.arm.width / (frame.arm.width - 2 * hole)
