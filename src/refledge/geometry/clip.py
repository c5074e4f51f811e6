"""Wire clip: a trough for an arm's motor wires; origin under its middle, x along the arm, z up.

A cable tie in the groove round its sides holds the wires in and the clip on the arm.
"""

import numpy as np

from refledge.errors import GeometryError
from refledge.geometry import kernel as solid_kernel
from refledge.geometry.kernel import Solid
from refledge.geometry.port import Kernel
from refledge.model.parts import ClipDesign, FrameDesign

GROOVE = 0.8e-3
"""Depth of the groove for the tie, m: our choice, about half a small tie's head."""
_PAST = 1e-3  # cutters reach this far beyond what they cut, m


def clip_of(frame: FrameDesign) -> ClipDesign:
    """The frame's clips; raises GeometryError where it has none."""
    if frame.clip is None:
        raise GeometryError("this frame has no wire clips; next: frame.wires")
    return frame.clip


def clip_size(frame: FrameDesign) -> tuple[float, float, float]:
    """Length, width and height, m."""
    clip = clip_of(frame)
    channel = clip.bundle + 2 * frame.fit_gap
    return clip.length, channel + 2 * clip.wall, clip.wall + channel


def make_clip(frame: FrameDesign, kernel: Kernel = solid_kernel) -> Solid:
    """A block with a round-bottomed trough along it and a groove round its sides."""
    clip, (length, width, height) = clip_of(frame), clip_size(frame)
    if width > frame.arm.width + 1e-9:
        raise GeometryError(
            f"wire clip: {width * 1e3:.1f} mm wide on an arm {frame.arm.width * 1e3:.1f} mm wide; "
            'next: frame.wires = "inside", or a larger frame.rod_screw, which widens arms'
        )
    if clip.tie > length - 2 * clip.wall or clip.wall < 2 * GROOVE - 1e-9:
        raise GeometryError(f"wire clip: no room for a tie {clip.tie * 1e3:.1f} mm wide")
    x, y, channel = length / 2, width / 2, width - 2 * clip.wall
    block = kernel.box((-x, -y, 0.0), (x, y, height))
    middle = clip.wall + channel / 2
    reach = x + _PAST
    half = channel / 2
    turn = [[0.0, 0.0, 1.0], [0.0, 1.0, 0.0], [-1.0, 0.0, 0.0]]
    rod = kernel.move(
        kernel.cone((0.0, 0.0, -reach), channel, channel, 2 * reach),
        np.array(turn), np.array([0.0, 0.0, middle]),
    )  # fmt: skip
    over = kernel.box((-reach, -half, middle), (reach, half, height + _PAST))
    t, deep = clip.tie / 2, y - GROOVE
    grooves = [
        kernel.box((-t, low, -_PAST), (t, low + GROOVE + _PAST, height + _PAST))
        for low in (deep, -y - _PAST)
    ]
    solid = kernel.cut(block, rod, over, *grooves)
    return kernel.checked(solid, f"wire clip ({width * 1e3:.1f} mm wide)")
