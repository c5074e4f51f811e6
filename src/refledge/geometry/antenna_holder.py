"""Antenna holder: one or two leaning tubes on a bridge, under which the leads come in.

The stiff end of an antenna stands in its tube from the tube's lower end upwards.
"""

from math import cos, sin

import numpy as np

from refledge.errors import GeometryError
from refledge.geometry import kernel as solid_kernel
from refledge.geometry.deck import flange, room_between
from refledge.geometry.drill import screw_of
from refledge.geometry.kernel import Solid
from refledge.geometry.port import Kernel
from refledge.model.fasteners import Hardware
from refledge.model.parts import FrameDesign
from refledge.model.upper import AntennaHolderDesign
from refledge.typed import Floats

POST = 2.4e-3
"""Thickness of the bridge's posts across the arm, m: our choice."""
_PAST = 1e-3  # cutters reach this far beyond what they cut, m


def antenna_holder_of(frame: FrameDesign) -> AntennaHolderDesign:
    """The frame's antenna holder; raises GeometryError where it has none."""
    if frame.antenna_holder is None:
        raise GeometryError("this frame has no antenna holder; next: frame.antenna_holder")
    return frame.antenna_holder


def antenna_bore(frame: FrameDesign) -> float:
    """Hole of a tube as drawn, m."""
    return antenna_holder_of(frame).diameter + 2 * frame.fit_gap + frame.hole_allowance


def tube_outside(frame: FrameDesign) -> float:
    """Outside diameter of a tube, m."""
    return antenna_bore(frame) + 2 * antenna_holder_of(frame).wall


def antenna_axes(frame: FrameDesign) -> tuple[tuple[Floats, Floats], ...]:
    """Lower end (3,), m, and rotation (3, 3) that brings z along it, of each antenna."""
    holder = antenna_holder_of(frame)
    sides = (1.0,) if holder.count == 1 else (1.0, -1.0)
    aside = 0.0 if holder.count == 1 else tube_outside(frame) / 2
    return tuple(
        (np.array([holder.out, side * aside, holder.mouth]), leaning(side * holder.tilt))
        for side in sides
    )


def leaning(angle: float) -> Floats:
    """Rotation (3, 3) about x by which z leans by ``angle`` (rad) towards y."""
    c, s = cos(angle), sin(angle)
    return np.array([[1.0, 0.0, 0.0], [0.0, c, s], [0.0, -s, c]])


def window(frame: FrameDesign) -> float:
    """Half width of the opening under the bridge across the arm, m."""
    aside = 0.0 if antenna_holder_of(frame).count == 1 else tube_outside(frame) / 2
    return aside + tube_outside(frame) / 2


def make_antenna_holder(
    frame: FrameDesign, hardware: Hardware, kernel: Kernel = solid_kernel
) -> Solid:
    """Flange, bridge, tubes."""
    holder, outside = antenna_holder_of(frame), tube_outside(frame)
    _check(holder, frame, hardware)
    x, inside, low = outside / 2, window(frame), holder.flange_thickness
    plate, bolts = flange(frame, hardware, (holder.across, low), holder.out + x, kernel)
    y, roof = inside + POST, holder.mouth + outside / 2
    bridge = kernel.box((holder.out - x, -y, 0.0), (holder.out + x, y, roof))
    tubes = [
        kernel.move(kernel.cone((0.0, 0.0, 0.0), outside, outside, holder.grip), turn, at)
        for at, turn in antenna_axes(frame)
    ]
    hole = antenna_bore(frame)
    holes = [
        kernel.move(
            kernel.cone((0.0, 0.0, -outside), hole, hole, holder.grip + outside + _PAST), turn, at
        )
        for at, turn in antenna_axes(frame)
    ]
    past = x + _PAST
    way = kernel.box((holder.out - past, -inside, low), (holder.out + past, inside, holder.mouth))
    open_below = kernel.cut(kernel.fuse(bridge, *tubes), way, *_above(holes, low, kernel))
    solid = kernel.cut(kernel.fuse(plate, open_below), *bolts)
    return kernel.checked(solid, f"antenna holder ({roof * 1e3:.1f} mm high)")


def _above(holes: list[Solid], level: float, kernel: Kernel) -> list[Solid]:
    """The holes' tools cut off at ``level``, so that they spare the flange, m."""
    far = 1.0
    upper = kernel.box((-far, -far, level), (far, far, level + far))
    return [kernel.common(each, upper) for each in holes]


def _check(holder: AntennaHolderDesign, frame: FrameDesign, hardware: Hardware) -> None:
    washer = screw_of(hardware, frame.clamp.screw).washer_diameter
    room = room_between(frame.clamp.pitch_x, washer)
    needed = tube_outside(frame) + 2 * abs(holder.out)
    if needed > room + 1e-9:
        raise GeometryError(
            f"antenna holder: tubes {needed * 1e3:.1f} mm thick between washers that leave "
            f"{room * 1e3:.1f} mm; next: thinner antennas (antennas.diameter), a larger "
            "frame.rod_screw, or no holder (frame.antenna_holder)"
        )
    if holder.mouth <= holder.flange_thickness + holder.lead:
        raise GeometryError(
            f"antenna holder: {(holder.mouth - holder.flange_thickness) * 1e3:.1f} mm under its "
            f"bridge for leads {holder.lead * 1e3:.1f} mm thick"
        )
