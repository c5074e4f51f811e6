"""Receiver holder: a pocket open above, across the arm, in which an item stands on its thin side.

A tongue in either long wall, cut free by two slits, ends in a lip that snaps over the item. The
short walls are open but for their corners: the wires' way.
"""

import numpy as np

from refledge.errors import GeometryError
from refledge.geometry import kernel as solid_kernel
from refledge.geometry.deck import flange, room_between
from refledge.geometry.drill import screw_of
from refledge.geometry.kernel import Solid
from refledge.geometry.port import Kernel
from refledge.geometry.snap import SLIT, lip, lip_height, slit
from refledge.model.fasteners import Hardware
from refledge.model.parts import FrameDesign
from refledge.model.upper import ReceiverHolderDesign
from refledge.typed import Floats

CORNER = 1.2e-3
"""What a short wall keeps on either side of its opening, m: our choice."""
_PAST = 1e-3  # cutters reach this far beyond what they cut, m


def receiver_holder_of(frame: FrameDesign) -> ReceiverHolderDesign:
    """The frame's receiver holder; raises GeometryError where it has none."""
    if frame.receiver_holder is None:
        raise GeometryError("this frame has no receiver holder; next: frame.receiver_holder")
    return frame.receiver_holder


def pocket(frame: FrameDesign) -> tuple[float, float, float]:
    """Along the arm, across it, and height from its floor to its rim, m."""
    holder, gap = receiver_holder_of(frame), frame.fit_gap
    rise = holder.height + lip_height(holder.lip)
    return holder.depth + 2 * gap, holder.length + 2 * gap, rise


def standing_turn(size: tuple[float, float, float], upright: bool) -> Floats:
    """Rotation (3, 3) of an item ``size`` (m) along its own axes to how it stands in the pocket:
    thinnest side along the arm, longest side across it, or up where ``upright``."""
    thin, middle, long = np.argsort(size, kind="stable")
    rotation = np.zeros((3, 3))
    rotation[0, thin] = 1.0
    rotation[2 if upright else 1, long] = 1.0
    rotation[1 if upright else 2, middle] = 1.0
    if np.linalg.det(rotation) < 0.0:
        rotation[0] *= -1.0  # a block is its own mirror image
    return rotation


def make_receiver_holder(
    frame: FrameDesign, hardware: Hardware, kernel: Kernel = solid_kernel
) -> Solid:
    """Flange, walls, tongues with lips."""
    holder, (deep, long, rise) = receiver_holder_of(frame), pocket(frame)
    _check(holder, frame, hardware, deep)
    base, t, top = holder.flange_thickness, holder.wall, holder.flange_thickness + rise
    x, y, mouth = deep / 2, long / 2, deep / 2 - CORNER
    plate, bolts = flange(frame, hardware, (holder.across, base), x + t, kernel)
    block = kernel.box((-x - t, -y - t, 0.0), (x + t, y + t, top))
    ends = [(side, aside) for side in (1, -1) for aside in (1, -1)]
    tools = [
        *bolts,
        kernel.box((-x, -y, base), (x, y, top + _PAST)),
        kernel.box((-mouth, -y - t - _PAST, base), (mouth, y + t + _PAST, top + _PAST)),
        *(slit(side, aside, holder.tongue, (x, t), (base, top), kernel) for side, aside in ends),
    ]
    open_above = kernel.cut(kernel.fuse(plate, block), *tools)
    low = base + holder.height
    lips = [lip(side, holder.tongue, (x, t), low, holder.lip, kernel) for side in (1, -1)]
    solid = kernel.fuse(open_above, *lips)
    return kernel.checked(solid, f"receiver holder ({rise * 1e3:.1f} mm deep)")


def _check(
    holder: ReceiverHolderDesign, frame: FrameDesign, hardware: Hardware, deep: float
) -> None:
    """Raises GeometryError where it does not fit between the bolts, or its tongues in its walls."""
    washer = screw_of(hardware, frame.clamp.screw).washer_diameter
    room, needed = room_between(frame.clamp.pitch_x, washer), deep + 2 * holder.wall
    if needed > room + 1e-9:
        raise GeometryError(
            f"receiver holder: {needed * 1e3:.1f} mm along the arm between washers that leave "
            f"{room * 1e3:.1f} mm; next: a thinner item, a larger frame.rod_screw, whose bolts "
            "stand further apart, or no holder (frame.receiver_holder)"
        )
    if holder.tongue + 2 * SLIT > holder.length or deep <= 2 * CORNER + 2 * holder.lip:
        raise GeometryError(
            f"receiver holder: no room for tongue and wires round {holder.item}, "
            f"{holder.length * 1e3:.1f} by {holder.depth * 1e3:.1f} mm; next: no holder "
            "(frame.receiver_holder)"
        )
