"""Named bores and faces of what stands under, round or on the arms."""

from refledge.geometry.clip import GROOVE, clip_size
from refledge.geometry.drill import (
    mount_holes,
)
from refledge.geometry.foot import foot_of, sole_size
from refledge.geometry.guard import guard_of
from refledge.geometry.leg import leg_profile, plate_reach
from refledge.geometry.named import (
    DOWN,
    UP,
    Features,
    Plane,
    Rectangle,
    bores,
    clamp_hole,
    level,
    mount_hole,
)
from refledge.geometry.skid import skid_line, skid_of
from refledge.model.fasteners import Hardware
from refledge.model.parts import FrameDesign


def leg_features(frame: FrameDesign, hardware: Hardware) -> Features:
    """The flange's top as far as it lies under the plate."""
    leg, half = frame.leg, frame.leg.thickness / 2
    across = frame.clamp.pitch_y / 2
    hole = clamp_hole(frame, hardware)
    points = [(0.0, across), (0.0, -across)]
    found = bores("flange_bore", points, hole, -leg.flange_thickness, 0.0)
    for name, height, normal in (("flange_top", 0.0, UP), ("foot", -leg.height, DOWN)):
        ends = [s for s in leg_profile(frame, hardware) if s.start[1] == s.end[1] == height]
        x = sorted((ends[0].start[0], ends[0].end[0]))
        out = min(x[1], plate_reach(frame)) if name == "flange_top" else x[1]
        found[name] = level(x[0], out, half, height, normal)
    return found


def foot_features(frame: FrameDesign, hardware: Hardware) -> Features:
    x0, x1, half = sole_size(frame, hardware)
    low = -frame.leg.height - foot_of(frame).sole
    return {"sole": level(x0, x1, half, low, DOWN)}


def skid_features(frame: FrameDesign, hardware: Hardware) -> Features:
    """The bar's underside clear of its raised ends, on a part the half that it has."""
    skid, (half, y, low) = skid_of(frame), skid_line(frame, hardware)
    return {"sole": Plane((0.0, y, low), DOWN, Rectangle(2 * half, skid.width))}


def guard_features(key: str, frame: FrameDesign, hardware: Hardware) -> Features:
    """The mount's bolts: four on a whole guard, its own two on a half."""
    guard = guard_of(frame)
    way = {"guard_left": 1.0, "guard_right": -1.0}.get(key, 0.0)
    points = [(x, y) for x, y in mount_holes(frame.mount) if way * y >= 0.0]
    return bores("mount_bolt", points, mount_hole(frame, hardware), 0.0, guard.thickness)


def leg_part_features(which: str, frame: FrameDesign, hardware: Hardware) -> Features:
    """What the whole leg has above its joint, or below."""
    names = {"upper": ("flange_",), "lower": ("foot",)}[which]
    whole = leg_features(frame, hardware)
    return {name: each for name, each in whole.items() if name.startswith(names)}


def clip_features(frame: FrameDesign) -> Features:
    length, width, _ = clip_size(frame)
    return {"base": level(-length / 2, length / 2, width / 2 - GROOVE, 0.0, DOWN)}
