"""From where each fastener is driven: where its head or nut sits, and what is built in by then.

Every fastener of the frame stands upright in the airframe. The order of work is that of the build
book: motors onto mounts, payload rails onto the tray, tray, seat, arms and plates, mounts, flight
controller.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import cos, sin

from refledge.geometry.drill import mount_holes, rectangle_of
from refledge.geometry.envelope import underside
from refledge.geometry.hinge import lock_screw
from refledge.geometry.lap import lap_of
from refledge.geometry.plate import clamp_points, leg_screws, seat_points, tray_points
from refledge.geometry.profile import Point, turned
from refledge.geometry.rail import carrier_level, carrier_pins, rail_of
from refledge.model.brief import Brief
from refledge.model.decked import on_deck
from refledge.model.fasteners import Hardware, Screw
from refledge.model.holes import motor_holes
from refledge.model.layout import Layout
from refledge.model.parts import FrameDesign

Place = tuple[float, float, float]
ALL = ("parts", "motors")


@dataclass(frozen=True)
class Reach:
    """Fasteners of one kind, driven from one side."""

    where: str
    """Such as ``arms between the plates, heads``."""
    points: tuple[Place, ...]
    """Where head or nut bears, body axes, m."""
    up: bool
    """The tool comes from above."""
    screw: Screw
    present: tuple[str, ...]
    """Keys of what is built in by then; ``parts`` for all parts, ``motors``, ``items``."""
    washer: bool = True
    nut: bool = False
    thread: float = 0.0
    """End of the longest screw beyond its nut, m."""


def reaches(
    frame: FrameDesign,
    layout: Layout,
    hardware: Hardware,
    brief: Brief,
    thread: float = 0.0,
    lock: float = 0.0,
) -> Iterator[Reach]:
    """Every fastener's heads and nuts.

    thread, lock: end of the longest clamp bolt, and of folding arms' locks, beyond its nut, m.
    """
    if frame.hinge is not None:
        yield from _hinges(frame, layout, hardware, (thread, lock))
    else:
        yield from _clamps(frame, layout, hardware, thread)
    yield from _mounts(frame, layout, hardware)
    yield from _laps(frame, layout, hardware)
    yield from _body(frame, hardware)
    if frame.seat.pitch > 0:
        screw, top = hardware.screws[frame.seat.screw], _plate_top(frame) + _seat_top(frame)
        top += brief.flight_controller.height
        found = _at(rectangle_of(frame.seat.pitch, frame.seat.pitch), top)
        where = "flight controller on its seat, heads"
        yield Reach(where, found, True, screw, ("parts",), washer=False)


def _plate_top(frame: FrameDesign) -> float:
    return frame.plate_gap / 2 + frame.plate.thickness


def _seat_top(frame: FrameDesign) -> float:
    return frame.seat.top


def _at(points: list[Point], height: float) -> tuple[Place, ...]:
    return tuple((x, y, height) for x, y in points)


def _on_arms(points: list[Point], radius: float, layout: Layout) -> list[Point]:
    """``points`` about a place ``radius`` out on every arm, in body axes, m."""
    found = []
    for angle in map(float, layout.arm_angles):
        for point in points:
            x, y = turned(point, angle)
            found.append((x + radius * cos(angle), y + radius * sin(angle)))
    return found


def _clamps(
    frame: FrameDesign, layout: Layout, hardware: Hardware, thread: float
) -> Iterator[Reach]:
    """Four to an arm; flanges of mast, holders and legs lie between plate and head or nut."""
    screw, top = hardware.screws[frame.clamp.screw], _plate_top(frame)
    points = clamp_points(frame, layout)
    outer = frame.clamp.root_radius + frame.clamp.first + frame.clamp.pitch_x / 2
    lift = {each.arm: each for each in on_deck(frame)}
    heads, nuts = [], []
    for i, (x, y) in enumerate(points):
        deck = lift.get(i // 4)
        held = deck and (deck.bolts == 4 or x * x + y * y < outer * outer)
        heads.append((x, y, top + (deck.flange if deck and held else 0.0)))
        leg = i // 4 in frame.leg.arms and x * x + y * y > outer * outer
        nuts.append((x, y, -top - (frame.leg.flange_thickness if leg else 0.0)))
    where = "arms between the plates"
    yield Reach(f"{where}, heads", tuple(heads), True, screw, ("parts",))
    yield Reach(f"{where}, nuts", tuple(nuts), False, screw, ("parts",), nut=True, thread=thread)


def _hinges(
    frame: FrameDesign, layout: Layout, hardware: Hardware, threads: tuple[float, float]
) -> Iterator[Reach]:
    """Pivots, some through a leg's flange; locks; the legs' own screws, before arms cover them."""
    points, top = clamp_points(frame, layout), _plate_top(frame)
    screw, flange = hardware.screws[frame.clamp.screw], frame.leg.flange_thickness
    pivots = [(*p, top) for p in points[::2]]
    nuts = [(x, y, -top - flange * (i in frame.leg.arms)) for i, (x, y) in enumerate(points[::2])]
    where, lock = "pivots of the arms", lock_screw(frame, hardware)
    thread, cut = threads
    yield Reach(f"{where}, heads", tuple(pivots), True, screw, ("parts",))
    yield Reach(f"{where}, nuts", tuple(nuts), False, screw, ("parts",), nut=True, thread=thread)
    where, locks = "locks of the arms", points[1::2]
    yield Reach(f"{where}, heads", _at(locks, top), True, lock, ("parts",))
    yield Reach(f"{where}, nuts", _at(locks, -top), False, lock, ("parts",), nut=True, thread=cut)
    own, before = leg_screws(frame, layout), ("lower_plate", "tray", "rail", "leg", "leg_upper")
    where, level = "legs on the lower plate", -frame.plate_gap / 2
    yield Reach(f"{where}, heads", _at(own, level), True, screw, before, washer=False)
    yield Reach(f"{where}, nuts", _at(own, -top - flange), False, screw, before, nut=True)


def _mounts(frame: FrameDesign, layout: Layout, hardware: Hardware) -> Iterator[Reach]:
    screw, mount = hardware.screws[frame.mount.screw], frame.mount
    points = _on_arms(mount_holes(mount), layout.motor_radius, layout)
    low = frame.arm.depth_root / 2 - frame.arm.depth_tip
    if mount.per_arm == 2 or frame.arm.family == "tube":
        low -= mount.thickness
    where = "motor mounts on the arms"
    on = frame.guard.thickness if frame.guard else 0.0
    top = _at(points, frame.seat_height + on)
    yield Reach(f"{where}, heads", top, True, screw, ALL)
    yield Reach(f"{where}, nuts", _at(points, low), False, screw, ALL, nut=True)
    pattern = motor_holes(mount.holes)
    under = frame.arm.depth_root / 2 + mount.head_depth
    heads = _at(_on_arms(list(pattern.positions), layout.motor_radius, layout), under)
    own = hardware.screws[pattern.screw]
    present = ("upper mounts",)
    yield Reach("motors on their mounts, heads", heads, False, own, present, washer=False)


def _laps(frame: FrameDesign, layout: Layout, hardware: Hardware) -> Iterator[Reach]:
    arm = frame.arm
    if not arm.split:
        return
    lap = lap_of(arm, frame, hardware)
    screw, where = hardware.screws[arm.lap_screw], "laps of the arms"
    top: list[Place] = []
    low: list[Place] = []
    for bolt, seat in zip(lap.bolts, lap.seats, strict=True):
        at = _on_arms([bolt], frame.clamp.root_radius, layout)
        level = seat if arm.depth_root != arm.depth_tip else underside(arm, bolt[0])
        top += _at(at, arm.depth_root / 2)
        low += _at(at, level)
    yield Reach(f"{where}, heads", tuple(top), True, screw, ("arm_inner", "arm_outer"))
    yield Reach(f"{where}, nuts", tuple(low), False, screw, ("arm_inner", "arm_outer"), nut=True)


def _body(frame: FrameDesign, hardware: Hardware) -> Iterator[Reach]:
    """Rails on the tray, then tray and seat each on its plate before the plates close."""
    screw, gap, top = hardware.screws[frame.tray.screw], frame.plate_gap / 2, _plate_top(frame)
    tray, both = tray_points(frame), ("lower_plate", "tray", "rail")
    yield Reach("battery tray, heads", _at(tray, -top - frame.tray.hang), False, screw, both,
                washer=False)  # fmt: skip
    yield Reach("battery tray, nuts", _at(tray, -gap), True, screw, both, nut=True)
    if frame.rail is not None:
        yield from _rails(frame, hardware)
    own = hardware.screws[frame.seat.screw]
    feet = _at(seat_points(frame), gap)
    if frame.seat.rise:
        yield Reach("elastic standoffs of the seat, nuts", feet, False, own,
                    ("upper_plate", "seat"), nut=True)  # fmt: skip
        return
    yield Reach("flight-controller seat, heads", feet, False, own, ("upper_plate", "seat"),
                washer=False)  # fmt: skip


def _rails(frame: FrameDesign, hardware: Hardware) -> Iterator[Reach]:
    """The rails' screws on the bench, from above; pins from below, when all is built."""
    rail, tray, under = rail_of(frame), frame.tray, -_plate_top(frame) - frame.tray.hang
    screw, bench = hardware.screws[rail.screw], ("tray", "rail")
    bolts = [turned(p, tray.yaw) for p in rectangle_of(tray.shelf_pitch_x, tray.shelf_pitch_y)]
    where = "payload rails on the tray"
    yield Reach(f"{where}, heads", _at(bolts, under + tray.thickness), True, screw, bench,
                washer=False)  # fmt: skip
    yield Reach(f"{where}, nuts", _at(bolts, under - rail.flange), False, screw, bench, nut=True)
    pins = [turned(p, tray.yaw) for p in carrier_pins(frame, hardware)]
    top = under + carrier_level(frame) + rail.carrier + 2 * frame.fit_gap + rail.lip
    where = "payload carrier in its rails"
    yield Reach(f"{where}, heads", _at(pins, under - rail.height), False, screw, ("parts",))
    yield Reach(f"{where}, nuts", _at(pins, top), True, screw, ("parts",), nut=True)
