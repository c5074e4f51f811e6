"""Named bores and faces of arms and what holds or carries the motor."""

from refledge.geometry.drill import (
    clamp_holes,
    clearance,
    mount_holes,
    screw_of,
)
from refledge.geometry.fittings import SQUEEZE
from refledge.geometry.hinge import root_bolts, root_holes
from refledge.geometry.lap import RAIL, lap_of
from refledge.geometry.named import (
    DOWN,
    UP,
    Bore,
    Disc,
    Features,
    Plane,
    bores,
    clamp_hole,
    level,
    mount_hole,
)
from refledge.model.fasteners import Hardware
from refledge.model.holes import motor_holes
from refledge.model.parts import FrameDesign


def root_features(frame: FrameDesign, hardware: Hardware) -> Features:
    arm = frame.arm
    half, end = arm.depth_root / 2, arm.root_length
    faces: Features = {
        "clamp_top": level(0.0, end, arm.width / 2, half, UP),
        "clamp_bottom": level(0.0, end, arm.width / 2, -half, DOWN),
    }
    found: Features = {}
    roots = zip(root_bolts(frame), root_holes(frame, hardware), strict=True)
    for number, (point, hole) in enumerate(roots, 1):
        found |= bores("clamp_bore", [point], hole, -half, half, first=number)
    return found | faces


def tenon_features(frame: FrameDesign, hardware: Hardware) -> Features:
    arm = frame.arm
    top, start = arm.depth_root / 2, arm.length - arm.tenon_length
    points = [(arm.axis + x, y) for x, y in mount_holes(frame.mount)]
    faces: Features = {
        "tenon_top": level(start, arm.length, arm.width / 2, top, UP),
        "tenon_bottom": level(start, arm.length, arm.width / 2, top - arm.depth_tip, DOWN),
    }
    found = bores("tenon_bore", points, mount_hole(frame, hardware), top - arm.depth_tip, top)
    return found | faces


def upper_lap_features(frame: FrameDesign, hardware: Hardware) -> Features:
    lap = lap_of(frame.arm, frame, hardware)
    start, end = lap.start + lap.fillet, lap.end - lap.gap - lap.fillet
    face = level(start, end, lap.tongue, lap.mating, DOWN)
    return bores("lap_bore", lap.bolts, lap.hole, lap.mating, lap.top) | {"lap_face": face}


def lower_lap_features(frame: FrameDesign, hardware: Hardware) -> Features:
    """Bores start at the level seats of the washers; those of one pair are equally long."""
    lap = lap_of(frame.arm, frame, hardware)
    start, end = lap.start + lap.gap + lap.fillet, lap.end - lap.fillet
    found: Features = {"lap_face": level(start, end, lap.half_width - RAIL, lap.mating, UP)}
    for i, (bolt, seat) in enumerate(zip(lap.bolts, lap.seats, strict=True), 1):
        (bore,) = bores("lap_bore", [bolt], lap.hole, seat, lap.mating).values()
        found[f"lap_bore_{i}"] = bore
        found[f"lap_seat_{i}"] = Plane((*bolt, seat), DOWN, Disc(lap.washer / 2))
    return found


def tube_features(frame: FrameDesign) -> Features:
    arm = frame.arm
    return {"inside": Bore((arm.length / 2, 0.0, 0.0), (1.0, 0.0, 0.0), arm.bore / 2, arm.length)}


def root_block_features(frame: FrameDesign, hardware: Hardware) -> Features:
    length, half, top = frame.arm.root_length, frame.block_width / 2, frame.block_height / 2
    found = bores(
        "clamp_bore", clamp_holes(frame.clamp), clamp_hole(frame, hardware), SQUEEZE / 2, top
    )
    return found | {"clamp_top": level(0.0, length, half, top, UP)}


def cap_features(frame: FrameDesign, hardware: Hardware) -> Features:
    mount, low = frame.mount, -frame.arm.width / 2 - frame.mount.thickness
    bolt = mount_hole(frame, hardware)
    found = bores("mount_bolt", mount_holes(mount), bolt, low, -SQUEEZE / 2)
    x = mount.length / 2
    return found | {"bottom": level(-x, x, mount.width / 2, low, DOWN)}


def mount_features(frame: FrameDesign, hardware: Hardware) -> Features:
    mount, pattern = frame.mount, motor_holes(frame.mount.holes)
    top = mount.thickness
    low = SQUEEZE / 2 - frame.arm.width / 2 if frame.arm.family == "tube" else 0.0
    screw = clearance(screw_of(hardware, pattern.screw), frame)
    found = bores("mount_bolt", mount_holes(mount), mount_hole(frame, hardware), low, top)
    found |= bores("motor_bore", pattern.positions, screw, mount.head_depth, top)
    found["motor_seat"] = Plane((0.0, 0.0, top), UP, Disc(mount.seat_radius))
    return found
