"""Slots in the posts of a seat, into which plain nuts are pushed from outside.

A nut bears on the ledge between its slot and the face that the screw comes through, and cannot turn
between the slot's walls. A post prints standing, so the slot's ceiling bridges its width.
"""

from dataclasses import dataclass
from math import atan2, sqrt

from refledge.errors import GeometryError
from refledge.geometry.drill import rectangle_of, screw_of, sinks
from refledge.geometry.holes import LEAST_LIGAMENT
from refledge.geometry.kernel import Solid
from refledge.geometry.plate import seat_points
from refledge.geometry.port import Kernel
from refledge.geometry.profile import Point, polygon, turned
from refledge.model.fasteners import Hardware, Nut
from refledge.model.parts import FrameDesign

LEDGE = 0.8
"""Thickness of the ledge at a foot over the screw's diameter: our choice."""
ROOM = 2.2e-3
"""Bore beyond the nut for the end of a screw as sold, m: lengths step by 2 mm up to M4."""
WALL = 1.6e-3
"""Least plastic beside a slot, m: our choice, four lines of the usual nozzle."""
_PAST = 1e-3  # tools reach this far beyond what they cut, m
_OUT = 3e-3  # slots reach this far beyond their posts, whose heads are flared, m


@dataclass(frozen=True)
class Slot:
    """Sizes that the slots of one seat share, m."""

    width: float
    """Nut across its flats and play on both sides."""
    height: float
    ledge: float
    """Plastic under a nut at a foot; on top it is the plate."""
    hole: float
    """Diameter of the bore for the screw."""

    @property
    def deep(self) -> float:
        """From a foot to the end of the bore."""
        return self.ledge + self.height + ROOM

    @property
    def hung(self) -> float:
        """How far plastic hangs under the plate for a nut on top."""
        return self.height + ROOM + LEAST_LIGAMENT


def nut_of(hardware: Hardware, size: str) -> Nut:
    """The plain nut of that thread; raises GeometryError where there is none."""
    if size not in hardware.nuts:
        raise GeometryError(f"no nut {size}; known: {', '.join(sorted(hardware.nuts))}")
    return hardware.nuts[size]


def slot_of(size: str, gap: float, allowance: float, hardware: Hardware) -> Slot:
    """Slots for nuts of that thread.

    gap: on each side of the nut, above and below it, m. allowance: of printed holes, m.
    """
    nut, screw = nut_of(hardware, size), screw_of(hardware, size)
    return Slot(
        width=nut.width + 2 * gap,
        height=nut.height + 2 * gap,
        ledge=LEDGE * screw.diameter,
        hole=screw.clearance_hole + allowance,
    )


def frame_slot(frame: FrameDesign, hardware: Hardware) -> Slot:
    """The slots of the frame's seat."""
    return slot_of(frame.seat.screw, frame.fit_gap, frame.hole_allowance, hardware)


def slot_tools(
    frame: FrameDesign, hardware: Hardware, tops: list[Point], kernel: Kernel
) -> list[Solid]:
    """What is cut out for the nuts of feet and ``tops`` with their screws."""
    seat, slot = frame.seat, frame_slot(frame, hardware)
    feet, under = seat_points(frame), seat.post_height
    tools = sinks(kernel, feet, slot.hole, -_PAST, slot.deep)
    tools += sinks(kernel, tops, slot.hole, under - slot.height - ROOM,
                   under + seat.thickness + _PAST)  # fmt: skip
    reach = seat.post_diameter / 2 + _OUT
    for points, low in ((feet, slot.ledge), (tops, under - slot.height)):
        outlines = [_outline(slot.width, reach, each) for each in points]
        tools += [kernel.extrude(polygon(each), low, low + slot.height) for each in outlines]
    return tools


def _outline(width: float, reach: float, at: Point) -> list[Point]:
    """A slot that opens away from the middle; its inner end is half a hexagon round the nut."""
    corner = width / sqrt(3)
    half = [(-corner, 0.0), (-corner / 2, -width / 2), (reach, -width / 2)]
    points = [*half, *((x, -y) for x, y in reversed(half[1:]))]
    angle = atan2(at[1], at[0])
    shifted = (turned(each, angle) for each in points)
    return [(at[0] + x, at[1] + y) for x, y in shifted]


def check_slots(frame: FrameDesign, hardware: Hardware, over: bool) -> None:
    """Raise GeometryError where posts are too thin or too short for their nuts.

    over: pockets of feet and top lie in the same posts.
    """
    seat, slot = frame.seat, frame_slot(frame, hardware)
    if seat.post_diameter < slot.width + 2 * WALL - 1e-9:
        raise GeometryError(
            f"seat: posts {seat.post_diameter * 1e3:.1f} mm thick; nuts {seat.screw} with their "
            f"play need {(slot.width + 2 * WALL) * 1e3:.1f} mm; next: a smaller frame.fit_gap, or "
            "inserts (frame.seat_threads)"
        )
    deepest = slot.deep + (slot.hung if over else 0.0)
    if seat.post_height < deepest - 1e-9:
        raise GeometryError(
            f"seat: posts {seat.post_height * 1e3:.1f} mm high are too short for nuts "
            f"{seat.screw}, which need {deepest * 1e3:.1f} mm"
        )


def top_points(frame: FrameDesign) -> list[Point]:
    """Screws of the flight controller, m; none where it is taped on."""
    pitch = frame.seat.pitch
    return rectangle_of(pitch, pitch) if pitch > 0 else []
