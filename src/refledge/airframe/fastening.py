"""The bolts list: every screw, nut and insert with length, torque and mass."""

from collections.abc import Callable, Iterable
from math import pi

import numpy as np

from refledge.airframe.arm_section import depth_at
from refledge.analysis.joints import bolt_torque
from refledge.errors import GeometryError
from refledge.model.fasteners import Hardware, Screw
from refledge.model.holes import motor_holes
from refledge.model.layout import Layout
from refledge.model.parts import FrameDesign
from refledge.model.results import Fastener

STEEL = 7850.0
"""kg/m3, handbook value for carbon steel."""
BRASS = 8400.0
"""kg/m3, handbook value for free-cutting brass."""
GLUE = 1200.0
"""kg/m3, set adhesive: from memory, typical."""
Lengths = Callable[[str], tuple[float, ...]]


def bolts_list(
    frame: FrameDesign,
    layout: Layout,
    hardware: Hardware,
    lengths: Lengths,
    clamp_preload: float,
    standoff_mass: float = 0.0,
) -> tuple[Fastener, ...]:
    """All fasteners of the airframe.

    standoff_mass: kg, of one elastic standoff under a damped seat.
    clamp_preload: N, tension of each clamp bolt that its washers allow on the plastic.
    """
    lines = [
        *_clamp(frame, hardware, lengths, clamp_preload),
        *_mounts(frame, hardware, lengths, clamp_preload),
        *_lap(frame, hardware, lengths, clamp_preload),
        _motor_screws(frame, layout, hardware, lengths),
        *_tray(frame, hardware, lengths),
        *_seat(frame, hardware, lengths, standoff_mass),
        *_feet(frame),
        *_skids(frame, hardware, lengths),
        *_rails(frame, hardware, lengths),
    ]
    return tuple(line for line in lines if line.quantity)


def grip_of_clamp(frame: FrameDesign) -> float:
    """Plates and arm between the washers of a clamp bolt, m."""
    return frame.plate_gap + 2 * frame.plate.thickness


def _clamp(
    frame: FrameDesign, hardware: Hardware, lengths: Lengths, preload: float
) -> tuple[Fastener, ...]:
    screw = hardware.screws[frame.clamp.screw]
    mast, both = _under_mast(frame)
    with_leg = 2 * frame.leg.count - both
    grip = grip_of_clamp(frame)
    torque = float(bolt_torque(preload, screw.diameter))
    plain = _through(screw, grip, lengths)
    long = _through(screw, grip + frame.leg.flange_thickness, lengths)
    where = "arms between the plates"
    return (
        _bolt(screw, plain, 4 * frame.n_arms - with_leg - mast, where, torque, nut=True),
        _bolt(screw, long, with_leg, where + ", with leg flange", torque, nut=True),
        *_mast(frame, screw, lengths, torque),
    )


def _under_mast(frame: FrameDesign) -> tuple[int, int]:
    """Clamp bolts that hold the mast, and how many of them hold a leg too."""
    if frame.mast is None:
        return 0, 0
    return 4, 2 if frame.mast.arm in frame.leg.arms else 0


def _mast(frame: FrameDesign, screw: Screw, lengths: Lengths, torque: float) -> list[Fastener]:
    """Longer clamp bolts through the mast's flange, some with a leg's flange as well."""
    bolts, both = _under_mast(frame)
    if frame.mast is None:
        return []
    grip = grip_of_clamp(frame) + frame.mast.flange_thickness
    where = "mast on the upper plate, through its arm"
    found = [_bolt(screw, _through(screw, grip, lengths), bolts - both, where, torque, nut=True)]
    if both:
        length = _through(screw, grip + frame.leg.flange_thickness, lengths)
        found.append(_bolt(screw, length, both, where + " and leg", torque, nut=True))
    return found


def _mounts(
    frame: FrameDesign, hardware: Hardware, lengths: Lengths, preload: float
) -> tuple[Fastener]:
    screw = hardware.screws[frame.mount.screw]
    grip = frame.arm.depth_tip + frame.mount.per_arm * frame.mount.thickness
    if frame.arm.family == "tube" and frame.mount.per_arm == 1:
        grip += frame.mount.thickness
    torque = float(bolt_torque(preload, screw.diameter))
    length = _through(screw, grip, lengths)
    return (_bolt(screw, length, 4 * frame.n_arms, "motor mounts on the arms", torque, nut=True),)


def _lap(
    frame: FrameDesign, hardware: Hardware, lengths: Lengths, preload: float
) -> tuple[Fastener, ...]:
    """Four bolts through the lap of each arm that is printed in two parts."""
    arm = frame.arm
    if not arm.split:
        return ()
    screw = hardware.screws[arm.lap_screw]
    length = _through(screw, float(depth_at(arm, np.array([arm.split]))[0]), lengths)
    torque = float(bolt_torque(preload, screw.diameter))
    where = "laps of the arms"
    return (_bolt(screw, length, 4 * frame.n_arms, where, torque, nut=True),)


def _motor_screws(
    frame: FrameDesign, layout: Layout, hardware: Hardware, lengths: Lengths
) -> Fastener:
    pattern = motor_holes(frame.mount.holes)
    screw = hardware.screws[pattern.screw]
    grip = frame.mount.thickness - frame.mount.head_depth
    length = _at_most(screw, grip + 1.3 * screw.diameter, lengths)
    count = len(pattern.positions) * layout.n_rotors
    note = "check that the screw does not touch the winding; thread lock"
    return _bolt(screw, length, count, "motors on their mounts", 0.0, nut=False, note=note)


def _tray(frame: FrameDesign, hardware: Hardware, lengths: Lengths) -> tuple[Fastener, ...]:
    screw = hardware.screws[frame.tray.screw]
    length = _through(screw, frame.tray.hang + frame.plate.thickness, lengths)
    note = "countersunk, ISO 10642; nut above the lower plate"
    return (
        _bolt(screw, length, 4, "battery tray under the lower plate", 0.0, nut=True, note=note),
    )


def _feet(frame: FrameDesign) -> tuple[Fastener, ...]:
    """A film of glue in each foot."""
    if frame.foot is None:
        return ()
    around = 2 * (frame.leg.depth_foot + frame.leg.thickness) * frame.foot.sleeve
    line = Fastener(
        name="contact adhesive, a film",
        quantity=frame.leg.count,
        where="feet on the legs' ends",
        torque=0.0,
        mass=GLUE * frame.fit_gap * around,
        note="roughen both faces; leave it a day",
    )
    return (line,)


def _skids(frame: FrameDesign, hardware: Hardware, lengths: Lengths) -> tuple[Fastener, ...]:
    """A film of glue in each sleeve; two bolts across each joint of a skid in two parts."""
    skid = frame.skid
    if skid is None:
        return ()
    around = 2 * (frame.leg.depth_foot + frame.leg.thickness) * skid.sleeve
    glue = Fastener(
        name="contact adhesive, a film",
        quantity=frame.leg.count,
        where="skids on the legs' ends",
        torque=0.0,
        mass=GLUE * frame.fit_gap * around,
        note="roughen both faces; leave it a day",
    )
    screw = hardware.screws[skid.screw]
    length = _through(screw, skid.width, lengths)
    joints = 4 if skid.lap else 0
    across = "across the bar, nuts inwards"
    return glue, _bolt(screw, length, joints, "joints of the skids", 0.0, nut=True, note=across)


def _rails(frame: FrameDesign, hardware: Hardware, lengths: Lengths) -> tuple[Fastener, ...]:
    """Four screws through tray and flanges, a pin through the lips of each rail."""
    rail = frame.rail
    if rail is None:
        return ()
    screw = hardware.screws[rail.screw]
    length = _through(screw, frame.tray.thickness + rail.flange, lengths)
    lips = 2 * rail.lip + rail.carrier + 2 * frame.fit_gap
    pin = _through(screw, lips, lengths)
    sunk = "countersunk, ISO 10642; from above, before the tray goes on"
    loose = "a pin: nut down to the washer, not tight; off and on to swap the payload"
    return (
        _bolt(screw, length, 4, "payload rails on the tray", 0.0, nut=True, note=sunk),
        _bolt(screw, pin, 2, "payload carrier in its rails", 0.0, nut=True, note=loose),
    )


def _seat(
    frame: FrameDesign, hardware: Hardware, lengths: Lengths, standoff_mass: float
) -> tuple[Fastener, ...]:
    screw = hardware.screws[frame.seat.screw]
    insert = hardware.inserts[frame.seat.screw]
    length = _at_most(screw, frame.plate.thickness + insert.length, lengths)
    held = 4 if frame.seat.pitch else 0
    brass = BRASS * insert.length * pi / 4 * (insert.outer_diameter**2 - screw.diameter**2)
    inserts = Fastener(
        name=f"{screw.size} heat-set insert, {insert.length * 1e3:.1f} mm",
        quantity=4 + held,
        where="flight-controller seat",
        torque=0.0,
        mass=brass,
        note="set with a hot tip, square to the face",
    )
    below = (
        _standoffs(frame, screw, standoff_mass)
        if frame.seat.rise
        else _bolt(screw, length, 4, "flight-controller seat, from below", 0.0, nut=False)
    )
    return (
        below,
        _bolt(screw, _at_most(screw, insert.length + 3e-3, lengths), held,
              "flight controller on its seat", 0.0, nut=False),
        inserts,
    )  # fmt: skip


def _standoffs(frame: FrameDesign, screw: Screw, mass: float) -> Fastener:
    """Elastic standoffs under the carrier, each with washer and nut under the plate."""
    stud = frame.plate.thickness + screw.washer_thickness + screw.nut_height + screw.pitch
    return Fastener(
        name=f"{screw.size} elastic standoff {frame.seat.rise * 1e3:.0f} mm high, a stud at each "
        "end, lock nut, washer",
        quantity=4,
        where="flight-controller carrier, from below",
        torque=0.0,
        mass=mass + nut_mass(screw) + washer_mass(screw),
        note=f"lower stud at least {stud * 1e3:.1f} mm long, or a thread with a screw; hold the "
        "rubber so that it does not twist",
    )


def _through(screw: Screw, grip: float, lengths: Lengths) -> float:
    """Shortest standard length that passes grip, two washers and a full lock nut, m."""
    needed = grip + _beyond_grip(screw)
    for length in lengths(screw.size):
        if length >= needed - 1e-9:
            return length
    raise GeometryError(
        f"no {screw.size} screw is long enough for a grip of {grip * 1e3:.1f} mm; "
        "next: a larger rod screw (frame.rod_screw)"
    )


def thread_end(screw: Screw, grip: float, lengths: Lengths) -> float:
    """What the screw through ``grip`` shows beyond its nut, m."""
    used = grip + 2 * screw.washer_thickness + screw.nut_height
    return _through(screw, grip, lengths) - used


def longest_grip(screw: Screw, lengths: Lengths) -> float:
    """Greatest grip that a standard screw of this size passes, m."""
    return max(lengths(screw.size)) - _beyond_grip(screw)


def _beyond_grip(screw: Screw) -> float:
    """Two washers, a full lock nut and one turn of thread, m."""
    return 2 * screw.washer_thickness + screw.nut_height + screw.pitch


def _at_most(screw: Screw, wanted: float, lengths: Lengths) -> float:
    """Longest standard length not above ``wanted``, m."""
    fitting = [length for length in lengths(screw.size) if length <= wanted + 1e-9]
    if not fitting:
        raise GeometryError(f"no {screw.size} screw is as short as {wanted * 1e3:.1f} mm")
    return max(fitting)


def _bolt(
    screw: Screw, length: float, count: int, where: str, torque: float, *, nut: bool, note: str = ""
) -> Fastener:
    mass = screw_mass(screw, length)
    sunk = note.startswith("countersunk")  # its head needs no washer
    kind = "countersunk screw, ISO 10642" if sunk else "cap screw, ISO 4762"
    name = f"{screw.size} x {length * 1e3:.0f} {kind}"
    if nut:
        mass += nut_mass(screw) + (1 if sunk else 2) * washer_mass(screw)
        name += ", lock nut, washer" if sunk else ", lock nut, 2 washers"
    return Fastener(name, count, where, torque, mass, note)


def screw_mass(screw: Screw, length: float) -> float:
    """Shank and head as plain cylinders of steel, kg."""
    shank = pi / 4 * screw.diameter**2 * length
    head = pi / 4 * screw.head_diameter**2 * screw.head_height
    return STEEL * (0.9 * shank + 0.8 * head)  # thread and socket taken off: from memory


def nut_mass(screw: Screw) -> float:
    """Hexagon less its bore, kg."""
    side = screw.nut_width / 2
    hexagon = 1.5 * 3**0.5 * side**2
    return STEEL * screw.nut_height * (hexagon - pi / 4 * screw.diameter**2)


def washer_mass(screw: Screw) -> float:
    """Plain ring, kg."""
    ring = pi / 4 * (screw.washer_diameter**2 - screw.clearance_hole**2)
    return STEEL * screw.washer_thickness * ring


def bolts_mass(lines: Iterable[Fastener]) -> float:
    """Mass of all lines together, kg."""
    return sum(line.quantity * line.mass for line in lines)
