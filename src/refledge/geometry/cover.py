"""Cover over the flight controller: a box open below that snaps under the seat's plate.

Origin in the middle, level with the seat plate's top, z up. It is drawn as it prints, roof down,
and turned over.
"""

import numpy as np

from refledge.errors import GeometryError
from refledge.geometry import kernel as solid_kernel
from refledge.geometry.kernel import Solid
from refledge.geometry.port import Kernel
from refledge.geometry.profile import rectangle, rounded
from refledge.geometry.snap import SLIT, lip, lip_height, slit
from refledge.model.parts import FrameDesign
from refledge.model.upper import CoverDesign
from refledge.typed import Floats

RIB, RIB_WIDE = 1.5e-3, 2e-3
"""How far ribs that stand on the seat's plate reach inwards, and their width, m: our choice."""
VENT, VENT_PITCH = 2.4e-3, 6e-3
"""Width of a vent slot in the roof and from one to the next, m: our choice."""
WAY = 0.6
"""Share of its side that a wires' way in either side wall takes: our choice."""
LINTEL = 2.4e-3
"""Wall left over a wires' way, under the roof, m: our choice."""
CORNER = 3e-3
"""Outside corners' radius, m: our choice."""
_OVER: Floats = np.diag([1.0, -1.0, -1.0])
_PAST = 1e-3  # cutters reach this far beyond what they cut, m


def cover_of(frame: FrameDesign) -> CoverDesign:
    """The frame's cover; raises GeometryError where it has none."""
    if frame.cover is None:
        raise GeometryError("this frame has no cover; next: frame.cover")
    return frame.cover


def cover_inside(frame: FrameDesign) -> float:
    """Half of its inner side, m: the seat's plate and the gap to it."""
    return frame.seat.side / 2 + frame.fit_gap


def cover_outside(frame: FrameDesign) -> float:
    """Half of its outer side, m."""
    return cover_inside(frame) + cover_of(frame).wall


def tongue_length(frame: FrameDesign) -> float:
    """Underside of the roof to what the lips hold, m."""
    return cover_of(frame).room + frame.seat.thickness


def make_cover(frame: FrameDesign, kernel: Kernel = solid_kernel) -> Solid:
    """Roof with vents, walls with wires' ways, ribs, tongues with lips."""
    cover = cover_of(frame)
    _check(frame)
    x, out = cover_inside(frame), cover_outside(frame)
    rim, end = cover.roof + tongue_length(frame), lip_height(cover.lip)
    block = kernel.extrude(rounded(rectangle(-out, out, -out, out), CORNER), 0.0, rim + end)
    hollow = kernel.box((-x, -x, cover.roof), (x, x, rim + end + _PAST))
    shell = kernel.cut(block, hollow, *_above_rim(frame, rim, rim + end, kernel))
    ribs = _ribs(frame, kernel)
    across, up = (x, cover.wall), (cover.roof, rim + end)
    ends = [(side, aside) for side in (1, -1) for aside in (1, -1)]
    tools = [
        *(slit(side, aside, cover.tongue, across, up, kernel) for side, aside in ends),
        *_vents(frame, kernel),
        *_ways(frame, rim, kernel),
    ]
    open_up = kernel.cut(kernel.fuse(shell, *ribs), *tools)
    lips = [lip(side, cover.tongue, across, rim, cover.lip, kernel) for side in (1, -1)]
    made = kernel.move(
        kernel.fuse(open_up, *lips), _OVER, np.array([0.0, 0.0, cover.roof + cover.room])
    )
    return kernel.checked(made, f"cover ({cover.room * 1e3:.1f} mm high inside)")


def _above_rim(frame: FrameDesign, rim: float, top: float, kernel: Kernel) -> list[Solid]:
    """What is taken off over the rim: all but the two tongues, m."""
    far, half = cover_outside(frame) + _PAST, cover_of(frame).tongue / 2
    spans = [(-far, -half), (half, far)]
    return [kernel.box((-far, low, rim), (far, high, top + _PAST)) for low, high in spans]


def _ribs(frame: FrameDesign, kernel: Kernel) -> list[Solid]:
    """Eight, beside the tongues and beside the wires' ways, from the roof to the seat's plate."""
    cover, x = cover_of(frame), cover_inside(frame)
    near, high = x - frame.fit_gap - RIB, cover.roof + cover.room
    root = x + cover.wall / 2
    found = []
    for half, turned in ((cover.tongue / 2 + SLIT, False), (WAY * frame.seat.side / 2, True)):
        low, far = half + SLIT / 2, half + SLIT / 2 + RIB_WIDE
        for side in (1, -1):
            for aside in (1, -1):
                a, b = sorted((side * near, side * root)), sorted((aside * low, aside * far))
                if turned:
                    a, b = b, a
                found.append(kernel.box((a[0], b[0], cover.roof / 2), (a[1], b[1], high)))
    return found


def _vents(frame: FrameDesign, kernel: Kernel) -> list[Solid]:
    """Slots through the roof, as many as go into six tenths of it."""
    reach = 0.6 * frame.seat.side / 2
    count = int(reach / VENT_PITCH)
    return [
        kernel.box(
            (k * VENT_PITCH - VENT / 2, -reach, -_PAST),
            (k * VENT_PITCH + VENT / 2, reach, cover_of(frame).roof + _PAST),
        )
        for k in range(-count, count + 1)
    ]


def _ways(frame: FrameDesign, rim: float, kernel: Kernel) -> list[Solid]:
    """Openings in the left and right walls, from the rim up to a lintel under the roof."""
    cover, half = cover_of(frame), WAY * frame.seat.side / 2
    x, out = cover_inside(frame), cover_outside(frame) + _PAST
    low = cover.roof + LINTEL
    spans = ((x - _PAST / 2, out), (-out, -x + _PAST / 2))
    return [kernel.box((-half, a, low), (half, b, rim + _PAST)) for a, b in spans]


def vent_area(frame: FrameDesign) -> float:
    """Open area of roof and side walls, m2."""
    side = frame.seat.side
    slots = 2 * int(0.3 * side / VENT_PITCH) + 1
    ways = 2 * WAY * side * (tongue_length(frame) - LINTEL)
    return slots * VENT * 0.6 * side + ways


def _check(frame: FrameDesign) -> None:
    cover, seat = cover_of(frame), frame.seat
    if seat.rise:
        raise GeometryError(
            "cover: it snaps under a seat that stands on stiff posts, and this one stands on "
            'elastic standoffs; next: frame.seat = "hard", or no cover (frame.cover)'
        )
    room = seat.foot_pitch - seat.post_diameter
    if cover.tongue + 2 * SLIT > room or cover.tongue < 4e-3:
        raise GeometryError(
            f"cover: its tongues have {room * 1e3:.1f} mm between the seat's posts, at least "
            f"{(4e-3 + 2 * SLIT) * 1e3:.1f} mm needed; next: no cover (frame.cover)"
        )
    if cover.room <= LINTEL:
        raise GeometryError(
            f"cover: {cover.room * 1e3:.1f} mm of height inside; more than {LINTEL * 1e3:.1f} mm "
            "needed"
        )
