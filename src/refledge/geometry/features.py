"""Bores and flat faces of each part by name, in part axes: where analysis holds and loads it.

``clamp_bore_1`` and the like number bolts as they are drawn. Faces give the outline within which
they lie; holes in them are not taken off.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from refledge.errors import GeometryError
from refledge.geometry.clip import GROOVE, clip_size
from refledge.geometry.drill import (
    clamp_holes,
    clearance,
    mount_holes,
    rectangle_of,
    screw_of,
)
from refledge.geometry.fittings import SQUEEZE
from refledge.geometry.foot import foot_of, sole_size
from refledge.geometry.guard import guard_of
from refledge.geometry.lap import RAIL, lap_of
from refledge.geometry.leg import leg_profile
from refledge.geometry.mast import mast_of
from refledge.geometry.parts import part_quantities
from refledge.geometry.plate import plate_holes
from refledge.geometry.profile import Point
from refledge.geometry.rail import (
    carrier_level,
    carrier_pins,
    carrier_size,
    rail_of,
    rail_pin,
    rail_screws,
)
from refledge.geometry.seat import seat_bores
from refledge.geometry.skid import skid_keys, skid_line, skid_of
from refledge.geometry.tray import bore_top, sink_depth
from refledge.model.fasteners import Hardware
from refledge.model.holes import motor_holes
from refledge.model.layout import Layout
from refledge.model.parts import FrameDesign

Triple = tuple[float, float, float]

_UP: Triple = (0.0, 0.0, 1.0)
_DOWN: Triple = (0.0, 0.0, -1.0)


@dataclass(frozen=True)
class Bore:
    """The wall of a round hole; m."""

    centre: Triple
    """Middle of its axis."""
    axis: Triple
    """Unit vector."""
    radius: float
    length: float


@dataclass(frozen=True)
class Rectangle:
    """Sides along x and y of the part, m."""

    length: float
    width: float


@dataclass(frozen=True)
class Disc:
    """A round outline; m."""

    radius: float


@dataclass(frozen=True)
class Plane:
    """A level face about ``origin``, m; ``normal`` points out of the plastic."""

    origin: Triple
    normal: Triple
    outline: Rectangle | Disc


Feature = Bore | Plane
Features = dict[str, Feature]


def part_features(
    key: str, frame: FrameDesign, hardware: Hardware, layout: Layout | None = None
) -> Features:
    """Named bores and faces of one part of the frame; plates need the ``layout``.

    ``arm`` of a split arm is the whole arm, as make_arm draws it.
    """
    makers = {
        "upper_plate": lambda: _plate("upper", frame, hardware, layout),
        "lower_plate": lambda: _plate("lower", frame, hardware, layout),
        "arm": lambda: _root(frame, hardware) | _tenon(frame, hardware),
        "arm_inner": lambda: _root(frame, hardware) | _upper_lap(frame, hardware),
        "arm_outer": lambda: _tenon(frame, hardware) | _lower_lap(frame, hardware),
        "tube": lambda: _tube(frame),
        "root_block": lambda: _root_block(frame, hardware),
        "cap": lambda: _cap(frame, hardware),
        "mount": lambda: _mount(frame, hardware),
        "leg": lambda: _leg(frame, hardware),
        "foot": lambda: _foot(frame, hardware),
        "clip": lambda: _clip(frame),
        "guard": lambda: _guard("guard", frame, hardware),
        "guard_left": lambda: _guard("guard_left", frame, hardware),
        "guard_right": lambda: _guard("guard_right", frame, hardware),
        **{key: lambda: _skid(frame, hardware) for key in skid_keys(frame.skid)},
        "tray": lambda: _tray(frame, hardware),
        "rail": lambda: _rail(frame, hardware),
        "carrier": lambda: _carrier(frame, hardware),
        "seat": lambda: _seat(frame, hardware),
        "mast": lambda: _mast(frame, hardware),
    }
    known = [*part_quantities(frame), *(["arm"] if frame.arm.split else [])]
    if key not in known:
        raise GeometryError(f"no part {key} in this frame; known: {', '.join(known)}")
    return makers[key]()


def _bores(
    name: str, points: Iterable[Point], diameter: float, low: float, high: float
) -> Features:
    """Upright bores from ``low`` to ``high``, numbered from 1."""
    middle, length = (low + high) / 2, high - low
    return {
        f"{name}_{i}": Bore((x, y, middle), _UP, diameter / 2, length)
        for i, (x, y) in enumerate(points, 1)
    }


def _level(x0: float, x1: float, half: float, z: float, normal: Triple) -> Plane:
    """Rectangle from ``x0`` to ``x1``, ``half`` to either side of y = 0, m."""
    return Plane(((x0 + x1) / 2, 0.0, z), normal, Rectangle(x1 - x0, 2 * half))


def _clamp(frame: FrameDesign, hardware: Hardware) -> float:
    return clearance(screw_of(hardware, frame.clamp.screw), frame)


def _bolt(frame: FrameDesign, hardware: Hardware) -> float:
    return clearance(screw_of(hardware, frame.mount.screw), frame)


def _root(frame: FrameDesign, hardware: Hardware) -> Features:
    arm, points = frame.arm, clamp_holes(frame.clamp)
    half, end = arm.depth_root / 2, arm.root_length
    faces: Features = {
        "clamp_top": _level(0.0, end, arm.width / 2, half, _UP),
        "clamp_bottom": _level(0.0, end, arm.width / 2, -half, _DOWN),
    }
    return _bores("clamp_bore", points, _clamp(frame, hardware), -half, half) | faces


def _tenon(frame: FrameDesign, hardware: Hardware) -> Features:
    arm = frame.arm
    top, start = arm.depth_root / 2, arm.length - arm.tenon_length
    points = [(arm.axis + x, y) for x, y in mount_holes(frame.mount)]
    faces: Features = {
        "tenon_top": _level(start, arm.length, arm.width / 2, top, _UP),
        "tenon_bottom": _level(start, arm.length, arm.width / 2, top - arm.depth_tip, _DOWN),
    }
    bores = _bores("tenon_bore", points, _bolt(frame, hardware), top - arm.depth_tip, top)
    return bores | faces


def _upper_lap(frame: FrameDesign, hardware: Hardware) -> Features:
    lap = lap_of(frame.arm, frame, hardware)
    start, end = lap.start + lap.fillet, lap.end - lap.gap - lap.fillet
    face = _level(start, end, lap.tongue, lap.mating, _DOWN)
    return _bores("lap_bore", lap.bolts, lap.hole, lap.mating, lap.top) | {"lap_face": face}


def _lower_lap(frame: FrameDesign, hardware: Hardware) -> Features:
    """Bores start at the level seats of the washers; those of one pair are equally long."""
    lap = lap_of(frame.arm, frame, hardware)
    start, end = lap.start + lap.gap + lap.fillet, lap.end - lap.fillet
    found: Features = {"lap_face": _level(start, end, lap.half_width - RAIL, lap.mating, _UP)}
    for i, (bolt, seat) in enumerate(zip(lap.bolts, lap.seats, strict=True), 1):
        (bore,) = _bores("lap_bore", [bolt], lap.hole, seat, lap.mating).values()
        found[f"lap_bore_{i}"] = bore
        found[f"lap_seat_{i}"] = Plane((*bolt, seat), _DOWN, Disc(lap.washer / 2))
    return found


def _tube(frame: FrameDesign) -> Features:
    arm = frame.arm
    return {"inside": Bore((arm.length / 2, 0.0, 0.0), (1.0, 0.0, 0.0), arm.bore / 2, arm.length)}


def _root_block(frame: FrameDesign, hardware: Hardware) -> Features:
    length, half, top = frame.arm.root_length, frame.block_width / 2, frame.block_height / 2
    bores = _bores(
        "clamp_bore", clamp_holes(frame.clamp), _clamp(frame, hardware), SQUEEZE / 2, top
    )
    return bores | {"clamp_top": _level(0.0, length, half, top, _UP)}


def _cap(frame: FrameDesign, hardware: Hardware) -> Features:
    mount, low = frame.mount, -frame.arm.width / 2 - frame.mount.thickness
    bolt = _bolt(frame, hardware)
    bores = _bores("mount_bolt", mount_holes(mount), bolt, low, -SQUEEZE / 2)
    x = mount.length / 2
    return bores | {"bottom": _level(-x, x, mount.width / 2, low, _DOWN)}


def _mount(frame: FrameDesign, hardware: Hardware) -> Features:
    mount, pattern = frame.mount, motor_holes(frame.mount.holes)
    top = mount.thickness
    low = SQUEEZE / 2 - frame.arm.width / 2 if frame.arm.family == "tube" else 0.0
    screw = clearance(screw_of(hardware, pattern.screw), frame)
    found = _bores("mount_bolt", mount_holes(mount), _bolt(frame, hardware), low, top)
    found |= _bores("motor_bore", pattern.positions, screw, mount.head_depth, top)
    found["motor_seat"] = Plane((0.0, 0.0, top), _UP, Disc(mount.seat_radius))
    return found


def _plate(which: str, frame: FrameDesign, hardware: Hardware, layout: Layout | None) -> Features:
    """Bores by what they are for; clamp bores four to an arm in order of arms."""
    if layout is None:
        raise GeometryError(f"{which} plate: its bores follow the layout, which was not given")
    found: Features = {}
    holes = plate_holes(frame, layout, hardware, which)
    for name in dict.fromkeys(each.name for each in holes):
        same = [each for each in holes if each.name == name]
        points = [each.centre for each in same]
        found |= _bores(f"{name}_bore", points, same[0].diameter, 0.0, frame.plate.thickness)
    return found


def _leg(frame: FrameDesign, hardware: Hardware) -> Features:
    leg, half = frame.leg, frame.leg.thickness / 2
    across = frame.clamp.pitch_y / 2
    hole = _clamp(frame, hardware)
    points = [(0.0, across), (0.0, -across)]
    found = _bores("flange_bore", points, hole, -leg.flange_thickness, 0.0)
    for name, height, normal in (("flange_top", 0.0, _UP), ("foot", -leg.height, _DOWN)):
        ends = [s for s in leg_profile(frame, hardware) if s.start[1] == s.end[1] == height]
        x = sorted((ends[0].start[0], ends[0].end[0]))
        found[name] = _level(x[0], x[1], half, height, normal)
    return found


def _clip(frame: FrameDesign) -> Features:
    length, width, _ = clip_size(frame)
    return {"base": _level(-length / 2, length / 2, width / 2 - GROOVE, 0.0, _DOWN)}


def _foot(frame: FrameDesign, hardware: Hardware) -> Features:
    x0, x1, half = sole_size(frame, hardware)
    low = -frame.leg.height - foot_of(frame).sole
    return {"sole": _level(x0, x1, half, low, _DOWN)}


def _guard(key: str, frame: FrameDesign, hardware: Hardware) -> Features:
    """The mount's bolts: four on a whole guard, its own two on a half."""
    guard = guard_of(frame)
    way = {"guard_left": 1.0, "guard_right": -1.0}.get(key, 0.0)
    points = [(x, y) for x, y in mount_holes(frame.mount) if way * y >= 0.0]
    return _bores("mount_bolt", points, _bolt(frame, hardware), 0.0, guard.thickness)


def _skid(frame: FrameDesign, hardware: Hardware) -> Features:
    """The bar's underside clear of its raised ends, on a part the half that it has."""
    skid, (half, y, low) = skid_of(frame), skid_line(frame, hardware)
    return {"sole": Plane((0.0, y, low), _DOWN, Rectangle(2 * half, skid.width))}


def _tray(frame: FrameDesign, hardware: Hardware) -> Features:
    tray, screw = frame.tray, screw_of(hardware, frame.tray.screw)
    hole, low = clearance(screw, frame), sink_depth(screw) - tray.hang
    high = bore_top(tray, tray.pitch_x / 2, hole)
    if high <= low:
        raise GeometryError("tray: its countersinks run into its strap grooves; no bore is left")
    points = rectangle_of(tray.pitch_x, tray.pitch_y)
    found = _bores("screw_bore", points, hole, low, high)
    if tray.shelf > 0:
        rails = rectangle_of(tray.shelf_pitch_x, tray.shelf_pitch_y)
        found |= _bores("rail_bore", rails, hole, -tray.hang, -tray.stand - sink_depth(screw))
    if tray.stand > 0:
        ends = [Plane((x, y, 0.0), _UP, Disc(tray.boss / 2)) for x, y in points]
        return found | {f"boss_{i}": each for i, each in enumerate(ends, 1)}
    x, half = tray.length / 2, tray.width / 2
    return found | {"top": _level(-x, x, half, 0.0, _UP)}


def _rail(frame: FrameDesign, hardware: Hardware) -> Features:
    rail, screw = rail_of(frame), screw_of(hardware, rail_of(frame).screw)
    hole, level = clearance(screw, frame), carrier_level(frame)
    found = _bores("screw_bore", rail_screws(frame), hole, -rail.flange, 0.0)
    pin, slot = [rail_pin(frame, hardware)], rail.carrier + 2 * frame.fit_gap
    found |= _bores("lower_pin_bore", pin, hole, -rail.height, level)
    found |= _bores("upper_pin_bore", pin, hole, level + slot, level + slot + rail.lip)
    middle = (0.0, -rail.reach / 2, level)
    return found | {"lip": Plane(middle, _UP, Rectangle(rail.length, rail.reach))}


def _carrier(frame: FrameDesign, hardware: Hardware) -> Features:
    rail, (x, half) = rail_of(frame), carrier_size(frame)
    hole = clearance(screw_of(hardware, rail.screw), frame)
    found = _bores("pin_bore", carrier_pins(frame, hardware), hole, 0.0, rail.carrier)
    return found | {"underside": _level(-x, x, half, 0.0, _DOWN)}


def _seat(frame: FrameDesign, hardware: Hardware) -> Features:
    seat, half, found = frame.seat, frame.seat.side / 2, Features()
    for name, points, hole, low, high in seat_bores(frame, hardware):
        found |= _bores(name, points, hole, low, high)
    return found | {"top": _level(-half, half, half, seat.post_height + seat.thickness, _UP)}


def _mast(frame: FrameDesign, hardware: Hardware) -> Features:
    mast, x = mast_of(frame), mast_of(frame).platform_length / 2
    points = rectangle_of(frame.clamp.pitch_x, frame.clamp.pitch_y)
    hole, half = _clamp(frame, hardware), mast.thickness / 2
    found = _bores("flange_bore", points, hole, 0.0, mast.flange_thickness)
    return found | {"platform": _level(-x, x, half, mast.height, _UP)}
