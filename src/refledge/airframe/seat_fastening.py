"""Lines of the bolts list for the flight-controller seat."""

from math import pi, sqrt

from refledge.airframe.bolting import STEEL, Lengths, at_most, bolt, nut_mass, washer_mass
from refledge.errors import GeometryError
from refledge.geometry.nut_slot import ROOM, frame_slot
from refledge.model.fasteners import Hardware, Screw
from refledge.model.parts import FrameDesign
from refledge.model.results import Fastener

BOARD = 3e-3
"""m; the flight controller's board with its feet or washers: common practice, no source."""
BRASS = 8400.0
"""kg/m3, handbook value for free-cutting brass."""


def seat_lines(frame: FrameDesign, hardware: Hardware, lengths: Lengths) -> list[Fastener]:
    """Screws or standoffs below, screws on top, and what they hold in."""
    screw, below, top = hardware.screws[frame.seat.screw], 4, 4 if frame.seat.pitch else 0
    nuts = frame.seat.threads == "nuts"
    lower, upper = (_nut_lengths if nuts else _insert_lengths)(frame, hardware, lengths)
    under = "flight-controller seat, from below"
    on_top = "flight controller on its seat"
    return [
        _standoffs(frame, screw)
        if frame.seat.rise
        else bolt(screw, lower, below, under, 0.0, nut=False),
        bolt(screw, upper, top, on_top, 0.0, nut=False),
        (_nuts if nuts else _inserts)(frame, hardware, below + top),
    ]


def _insert_lengths(
    frame: FrameDesign, hardware: Hardware, lengths: Lengths
) -> tuple[float, float]:
    """From below and from above, m: at most to the inserts' ends."""
    screw, insert = hardware.screws[frame.seat.screw], hardware.inserts[frame.seat.screw]
    below = at_most(screw, frame.plate.thickness + insert.length, lengths)
    return below, at_most(screw, insert.length + BOARD, lengths)


def _nut_lengths(frame: FrameDesign, hardware: Hardware, lengths: Lengths) -> tuple[float, float]:
    """From below and from above, m: through the whole nut, within the bore beyond it."""
    screw, slot, seat = hardware.screws[frame.seat.screw], frame_slot(frame, hardware), frame.seat
    grips = (
        0.0 if seat.rise else frame.plate.thickness + slot.ledge,
        BOARD + seat.thickness if seat.pitch else 0.0,
    )
    below, top = (_past_nut(screw, grip + slot.height, lengths) if grip else 0.0 for grip in grips)
    return below, top


def _past_nut(screw: Screw, end: float, lengths: Lengths) -> float:
    """Shortest length as sold that fills a nut whose far face lies ``end`` from the head, m."""
    for length in lengths(screw.size):
        if end <= length + 1e-9 <= end + ROOM:
            return length
    raise GeometryError(
        f"no {screw.size} screw is {end * 1e3:.1f} to {(end + ROOM) * 1e3:.1f} mm long, as the "
        "seat's nuts need; next: inserts (frame.seat_threads)"
    )


def _inserts(frame: FrameDesign, hardware: Hardware, count: int) -> Fastener:
    insert, screw = hardware.inserts[frame.seat.screw], hardware.screws[frame.seat.screw]
    brass = BRASS * insert.length * pi / 4 * (insert.outer_diameter**2 - screw.diameter**2)
    return Fastener(
        name=f"{screw.size} heat-set insert, {insert.length * 1e3:.1f} mm",
        quantity=count,
        where="flight-controller seat",
        torque=0.0,
        mass=brass,
        note="set with a hot tip, square to the face",
    )


def _nuts(frame: FrameDesign, hardware: Hardware, count: int) -> Fastener:
    nut, screw = hardware.nuts[frame.seat.screw], hardware.screws[frame.seat.screw]
    face = sqrt(3) / 2 * nut.width**2 - pi / 4 * screw.diameter**2
    return Fastener(
        name=f"{screw.size} hexagon nut, ISO 4032",
        quantity=count,
        where="flight-controller seat",
        torque=0.0,
        mass=STEEL * nut.height * face,
        note="no lock nut: its grip would turn it in the plastic; a drop of thread lock that "
        "plastic bears",
    )


def _standoffs(frame: FrameDesign, screw: Screw) -> Fastener:
    """Elastic standoffs under the carrier, each with washer and nut under the plate."""
    stud = frame.plate.thickness + screw.washer_thickness + screw.nut_height + screw.pitch
    return Fastener(
        name=f"{screw.size} elastic standoff {frame.seat.rise * 1e3:.0f} mm high, a stud at each "
        "end, lock nut, washer",
        quantity=4,
        where="flight-controller carrier, from below",
        torque=0.0,
        mass=frame.seat.standoff_mass + nut_mass(screw) + washer_mass(screw),
        note=f"lower stud at least {stud * 1e3:.1f} mm long, or a thread with a screw; hold the "
        "rubber so that it does not twist",
    )
