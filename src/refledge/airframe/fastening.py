"""The bolts list: every screw, nut and insert with length, torque and mass."""

from collections.abc import Iterable, Iterator
from math import pi

import numpy as np

from refledge.airframe.arm_section import depth_at
from refledge.airframe.bolting import Lengths, at_most, bolt, grip_of_clamp, through
from refledge.airframe.hinge_fastening import hinge_lines
from refledge.airframe.seat_fastening import seat_lines
from refledge.analysis.joints import bolt_torque
from refledge.geometry.guard import BLOCK
from refledge.model.decked import on_deck
from refledge.model.fasteners import Hardware, Screw
from refledge.model.holes import motor_holes
from refledge.model.layout import Layout
from refledge.model.parts import FrameDesign
from refledge.model.results import Fastener

TIE = 0.8e-3
"""kg, of a tie 3.6 mm wide and 200 mm long: from memory, typical."""
GLUE = 1200.0
"""kg/m3, set adhesive: from memory, typical."""


def bolts_list(
    frame: FrameDesign,
    layout: Layout,
    hardware: Hardware,
    lengths: Lengths,
    clamp_preload: float,
) -> tuple[Fastener, ...]:
    """All fasteners of the airframe.

    clamp_preload: N, tension of each clamp bolt that its washers allow on the plastic.
    """
    lines = [
        *_clamp(frame, hardware, lengths, clamp_preload),
        *_mounts(frame, hardware, lengths, clamp_preload),
        *_lap(frame, hardware, lengths, clamp_preload),
        _motor_screws(frame, layout, hardware, lengths),
        *_tray(frame, hardware, lengths),
        *seat_lines(frame, hardware, lengths),
        *_leg_laps(frame, hardware, lengths),
        *_feet(frame),
        *_antennas(frame),
        *_clips(frame),
        *_skids(frame, hardware, lengths),
        *_guards(frame, hardware, lengths),
        *_rails(frame, hardware, lengths),
    ]
    return tuple(line for line in lines if line.quantity)


def _clamp(
    frame: FrameDesign, hardware: Hardware, lengths: Lengths, preload: float
) -> tuple[Fastener, ...]:
    if frame.hinge is not None:
        return hinge_lines(frame, hardware, lengths, preload)
    screw = hardware.screws[frame.clamp.screw]
    decked = on_deck(frame)
    shared = sum(each.bolts == 4 and each.arm in frame.leg.arms for each in decked)
    with_leg = 2 * (frame.leg.count - shared)
    grip = grip_of_clamp(frame)
    torque = float(bolt_torque(preload, screw.diameter))
    plain = through(screw, grip, lengths)
    long = through(screw, grip + frame.leg.flange_thickness, lengths)
    where = "arms between the plates"
    return (
        bolt(screw, plain, _plain(frame, with_leg), where, torque, nut=True),
        bolt(screw, long, with_leg, where + ", with leg flange", torque, nut=True),
        *_deck(frame, screw, lengths, torque),
    )


def _plain(frame: FrameDesign, with_leg: int) -> int:
    """Clamp bolts that hold neither a leg alone nor anything on the upper plate."""
    return 4 * frame.n_arms - sum(each.bolts for each in on_deck(frame)) - with_leg


def _deck(frame: FrameDesign, screw: Screw, lengths: Lengths, torque: float) -> Iterator[Fastener]:
    """Longer clamp bolts through the flanges of mast and holders, some with a leg's as well."""
    for each in on_deck(frame):
        both = 2 if each.bolts == 4 and each.arm in frame.leg.arms else 0
        grip = grip_of_clamp(frame) + each.flange
        where = f"{each.words} on the upper plate, through its arm"
        yield bolt(screw, through(screw, grip, lengths), each.bolts - both, where, torque, nut=True)
        if both:
            length = through(screw, grip + frame.leg.flange_thickness, lengths)
            yield bolt(screw, length, both, where + " and leg", torque, nut=True)


def _mounts(
    frame: FrameDesign, hardware: Hardware, lengths: Lengths, preload: float
) -> tuple[Fastener]:
    screw = hardware.screws[frame.mount.screw]
    grip = frame.arm.depth_tip + frame.mount.per_arm * frame.mount.thickness
    if frame.arm.family == "tube" and frame.mount.per_arm == 1:
        grip += frame.mount.thickness
    grip += frame.guard.thickness if frame.guard else 0.0
    torque = float(bolt_torque(preload, screw.diameter))
    length = through(screw, grip, lengths)
    return (bolt(screw, length, 4 * frame.n_arms, "motor mounts on the arms", torque, nut=True),)


def _lap(
    frame: FrameDesign, hardware: Hardware, lengths: Lengths, preload: float
) -> tuple[Fastener, ...]:
    """Four bolts through the lap of each arm that is printed in two parts."""
    arm = frame.arm
    if not arm.split:
        return ()
    screw = hardware.screws[arm.lap_screw]
    length = through(screw, float(depth_at(arm, np.array([arm.split]))[0]), lengths)
    torque = float(bolt_torque(preload, screw.diameter))
    where = "laps of the arms"
    return (bolt(screw, length, 4 * frame.n_arms, where, torque, nut=True),)


def _motor_screws(
    frame: FrameDesign, layout: Layout, hardware: Hardware, lengths: Lengths
) -> Fastener:
    pattern = motor_holes(frame.mount.holes)
    screw = hardware.screws[pattern.screw]
    grip = frame.mount.thickness - frame.mount.head_depth
    length = at_most(screw, grip + 1.3 * screw.diameter, lengths)
    count = len(pattern.positions) * layout.n_rotors
    note = "check that the screw does not touch the winding; thread lock"
    return bolt(screw, length, count, "motors on their mounts", 0.0, nut=False, note=note)


def _tray(frame: FrameDesign, hardware: Hardware, lengths: Lengths) -> tuple[Fastener, ...]:
    screw = hardware.screws[frame.tray.screw]
    length = through(screw, frame.tray.hang + frame.plate.thickness, lengths)
    note = "countersunk, ISO 10642; nut above the lower plate"
    return (bolt(screw, length, 4, "battery tray under the lower plate", 0.0, nut=True, note=note),)


def _clips(frame: FrameDesign) -> tuple[Fastener, ...]:
    """A tie round the arm at each clip."""
    if frame.clip is None:
        return ()
    line = Fastener(
        name="cable tie 3.6 mm wide",
        quantity=frame.n_arms * len(frame.clip.places),
        where="wire clips on the arms",
        torque=0.0,
        mass=TIE,
        note="snug: a tie that bites into a corner starts a crack; cut its end off flush",
    )
    return (line,)


def _leg_laps(frame: FrameDesign, hardware: Hardware, lengths: Lengths) -> tuple[Fastener, ...]:
    """Two bolts across the joint of each leg that is printed in two parts."""
    leg = frame.leg
    if not leg.split:
        return ()
    screw = hardware.screws[leg.lap_screw]
    length = through(screw, leg.thickness, lengths)
    where, across = "joints of the legs", "across the strut"
    return (bolt(screw, length, 2 * leg.count, where, 0.0, nut=True, note=across),)


def _feet(frame: FrameDesign) -> tuple[Fastener, ...]:
    """A film of glue in each foot."""
    if frame.foot is None:
        return ()
    return (_glue(frame, frame.foot.sleeve, "feet on the legs' ends"),)


def _antennas(frame: FrameDesign) -> tuple[Fastener, ...]:
    """A film of glue round each antenna in its tube."""
    holder = frame.antenna_holder
    if holder is None:
        return ()
    film = pi * holder.diameter * frame.fit_gap * holder.grip
    line = Fastener(
        name="contact adhesive, a drop",
        quantity=holder.count,
        where="antenna holder, round each antenna",
        torque=0.0,
        mass=GLUE * film,
        note="at the tube's upper end, so that it can be cut free",
    )
    return (line,)


def _glue(frame: FrameDesign, sleeve: float, where: str) -> Fastener:
    """A film of glue round every leg's end in a sleeve so deep, m."""
    around = 2 * (frame.leg.depth_foot + frame.leg.thickness) * sleeve
    return Fastener(
        name="contact adhesive, a film",
        quantity=frame.leg.count,
        where=where,
        torque=0.0,
        mass=GLUE * frame.fit_gap * around,
        note="roughen both faces; leave it a day",
    )


def _skids(frame: FrameDesign, hardware: Hardware, lengths: Lengths) -> tuple[Fastener, ...]:
    """A film of glue in each sleeve; two bolts across each joint of a skid in two parts."""
    skid = frame.skid
    if skid is None:
        return ()
    glue = _glue(frame, skid.sleeve, "skids on the legs' ends")
    screw = hardware.screws[skid.screw]
    length = through(screw, skid.width, lengths)
    joints = 4 if skid.lap else 0
    across = "across the bar, nuts inwards"
    return glue, bolt(screw, length, joints, "joints of the skids", 0.0, nut=True, note=across)


def _guards(frame: FrameDesign, hardware: Hardware, lengths: Lengths) -> tuple[Fastener, ...]:
    """Two bolts across the joint of each guard in two halves; the mount's bolts hold the rest."""
    guard = frame.guard
    if guard is None or not guard.screw:
        return ()
    screw = hardware.screws[guard.screw]
    length = through(screw, 2 * BLOCK, lengths)
    where = "joints of the guards at the motors"
    return (bolt(screw, length, 2 * frame.n_arms, where, 0.0, nut=True),)


def _rails(frame: FrameDesign, hardware: Hardware, lengths: Lengths) -> tuple[Fastener, ...]:
    """Four screws through tray and flanges, a pin through the lips of each rail."""
    rail = frame.rail
    if rail is None:
        return ()
    screw = hardware.screws[rail.screw]
    length = through(screw, frame.tray.thickness + rail.flange, lengths)
    lips = 2 * rail.lip + rail.carrier + 2 * frame.fit_gap
    pin = through(screw, lips, lengths)
    sunk = "countersunk, ISO 10642; from above, before the tray goes on"
    loose = "a pin: nut down to the washer, not tight; off and on to swap the payload"
    return (
        bolt(screw, length, 4, "payload rails on the tray", 0.0, nut=True, note=sunk),
        bolt(screw, pin, 2, "payload carrier in its rails", 0.0, nut=True, note=loose),
    )


def bolts_mass(lines: Iterable[Fastener]) -> float:
    """Mass of all lines together, kg."""
    return sum(line.quantity * line.mass for line in lines)
