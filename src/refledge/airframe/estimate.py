"""Volume and surface of every part by formula, for the mass closure before solids exist."""

from collections.abc import Mapping
from math import cos, pi

import numpy as np

from refledge.airframe.arm_section import depth_at, section_at
from refledge.airframe.deck_estimate import (
    antenna_holder_size,
    cover_size,
    mast_size,
    receiver_holder_size,
)
from refledge.airframe.working import Working
from refledge.geometry.clip import GROOVE, clip_size
from refledge.geometry.envelope import SHOULDER
from refledge.geometry.guard import guard_keys, hub_radius, rim_length
from refledge.geometry.leg import leg_bolts
from refledge.geometry.parts import part_quantities
from refledge.geometry.rail import carrier_size
from refledge.geometry.seat import EDGE, ear_reach
from refledge.geometry.skid import skid_keys
from refledge.model.brief import Brief
from refledge.model.gear import FootDesign, SkidDesign
from refledge.model.hung import RailDesign
from refledge.model.parts import ArmDesign, ClipDesign, FrameDesign, GuardDesign
from refledge.printing.mass import printed_mass

ARM_STATIONS = 25
ARM_KEYS = ("arm", "arm_inner", "arm_outer", "tube")
"""Parts that make up an arm."""


def estimated_masses(
    brief: Brief, frame: FrameDesign, materials: Mapping[str, Working], ratios: Mapping[str, float]
) -> dict[str, float]:
    """kg each. ``ratios``: solid's mass over estimate where a solid has been made."""
    sizes = part_sizes(frame)
    found = {}
    for key in part_quantities(frame):
        volume, area = sizes[key]
        rho = materials[material_of(frame, key)].rho
        mass = rho * volume
        if key != "tube":
            mass = printed_mass(volume, area, rho, brief.frame, brief.printer)
        found[key] = mass * ratios.get(key, 1.0)
    return found


def material_of(frame: FrameDesign, key: str) -> str:
    """Material key of a part."""
    return {
        **dict.fromkeys(ARM_KEYS, frame.arm.material),
        "root_block": frame.plate.material,
        "upper_plate": frame.plate.material,
        "lower_plate": frame.plate.material,
        "mount": frame.mount.material,
        "cap": frame.mount.material,
        **dict.fromkeys(("leg", "leg_upper", "leg_lower"), frame.leg.material),
        "tray": frame.tray.material,
        "seat": frame.seat.material,
        **({"mast": frame.mast.material} if frame.mast else {}),
        **({"cover": frame.cover.material} if frame.cover else {}),
        **({"receiver_holder": frame.receiver_holder.material} if frame.receiver_holder else {}),
        **({"antenna_holder": frame.antenna_holder.material} if frame.antenna_holder else {}),
        **({"foot": frame.foot.material} if frame.foot else {}),
        **({"clip": frame.clip.material} if frame.clip else {}),
        **(dict.fromkeys(("rail", "carrier"), frame.rail.material) if frame.rail else {}),
        **(dict.fromkeys(skid_keys(frame.skid), frame.skid.material) if frame.skid else {}),
        **(dict.fromkeys(guard_keys(frame.guard), frame.guard.material) if frame.guard else {}),
    }[key]


def part_sizes(frame: FrameDesign) -> dict[str, tuple[float, float]]:
    """Part key to (volume m3, surface m2)."""
    found = {
        "upper_plate": _plate(frame),
        "lower_plate": _plate(frame),
        "mount": _mount(frame),
        **_legs(frame),
        "tray": _tray(frame),
        "seat": _seat(frame),
        **({"mast": mast_size(frame, frame.mast)} if frame.mast else {}),
        **({"cover": cover_size(frame)} if frame.cover else {}),
        **({"receiver_holder": receiver_holder_size(frame)} if frame.receiver_holder else {}),
        **({"antenna_holder": antenna_holder_size(frame)} if frame.antenna_holder else {}),
        **({"foot": _foot(frame, frame.foot)} if frame.foot else {}),
        **({"clip": _clip(frame, frame.clip)} if frame.clip else {}),
        **(_rails(frame, frame.rail) if frame.rail else {}),
        **(_skid(frame, frame.skid) if frame.skid else {}),
        **(_guard(frame, frame.guard) if frame.guard else {}),
    }
    if frame.arm.family == "tube":
        found["tube"] = _tube(frame.arm)
        found["root_block"] = _half_block(frame)
        found["cap"] = _block(frame.mount.length, frame.mount.width, frame.arm.width / 2 + 3e-3)
    elif frame.arm.split:
        volume, area = arm_size(frame.arm)
        inner = frame.arm.split / frame.arm.length
        found["arm_inner"] = (inner * volume, inner * area)
        found["arm_outer"] = ((1.0 - inner) * volume, (1.0 - inner) * area)
    else:
        found["arm"] = arm_size(frame.arm)
    return found


def arm_size(arm: ArmDesign) -> tuple[float, float]:
    """Volume and surface of a printed arm; its surface counts both faces of its walls."""
    if arm.grown is not None:
        return arm.grown.volume, arm.grown.area
    x = np.linspace(arm.root_length, arm.length - arm.tenon_length, ARM_STATIONS)
    section = section_at(arm, x)
    per_length = np.asarray(section.volume_per_length, dtype=float)
    span = float(np.trapezoid(per_length, x))
    root = _block(arm.root_length, arm.width, arm.depth_root)
    tenon = _block(arm.tenon_length, arm.width, arm.depth_tip)
    wall = (arm.side + arm.top + max(arm.bottom, arm.side)) / 3
    surface = 2 * span / wall + root[1] + tenon[1]
    bored = pi / 4 * arm.bore**2 * (arm.root_length + arm.tenon_length)
    return span + root[0] + tenon[0] - bored + lap_volume(arm), surface


def lap_volume(arm: ArmDesign) -> float:
    """Plastic that a lap adds to the span, m3: a solid block in place of the hollow section."""
    if not arm.split:
        return 0.0
    x = np.array([arm.split])
    block = arm.width * float(depth_at(arm, x)[0])
    return (arm.lap + 2 * SHOULDER) * (block - float(section_at(arm, x).volume_per_length[0]))


def _block(length: float, width: float, height: float) -> tuple[float, float]:
    area = 2 * (length * width + length * height + width * height)
    return length * width * height, area


def _flat(plan: float, outline: float, thickness: float) -> tuple[float, float]:
    return plan * thickness, 2 * plan + outline * thickness


def _plate(frame: FrameDesign) -> tuple[float, float]:
    plate, clamp, arm = frame.plate, frame.clamp, frame.arm
    if plate.style == "full":
        return _flat(pi * plate.outer_radius**2, 2 * pi * plate.outer_radius, plate.thickness)
    reach = clamp.root_radius + arm.root_length
    overlap = max(reach - plate.core_radius, 0.0)
    plan = pi * plate.core_radius**2 + frame.n_arms * overlap * plate.arm_pad_width
    outline = frame.n_arms * (2 * overlap + plate.arm_pad_width) + 4 * plate.core_radius
    if plate.style == "ring":
        middle = plate.outer_radius - plate.rim / 2
        between = max(0.0, 2 * pi * middle - frame.n_arms * plate.arm_pad_width)
        plan, outline = plan + between * plate.rim, outline + 2 * between
    return _flat(plan, outline, plate.thickness)


def _mount(frame: FrameDesign) -> tuple[float, float]:
    mount = frame.mount
    plan = mount.length * mount.width + _disc_beside(mount.seat_radius, mount.width)
    volume, area = _flat(plan, 2 * (mount.length + mount.width), mount.thickness)
    if frame.arm.family == "tube":
        saddle = _block(mount.length, mount.width, frame.arm.width / 2)
        trough = pi / 8 * frame.arm.width**2 * mount.length
        volume, area = volume + saddle[0] - trough, area + saddle[1]
    return volume, area


def _disc_beside(radius: float, width: float) -> float:
    """Area of a disc outside a strip of ``width`` through its middle, m2."""
    half = min(width / 2, radius)
    inside = 2 * (half * np.sqrt(radius**2 - half**2) + radius**2 * np.arcsin(half / radius))
    return float(pi * radius**2 - inside)


def _leg(frame: FrameDesign) -> tuple[float, float]:
    leg = frame.leg
    strut = float(np.hypot(leg.height, leg.splay))
    profile = strut * (leg.depth_top + leg.depth_foot) / 2
    profile += leg.flange_thickness * (16e-3 + leg.depth_top)
    return _flat(profile, 2 * strut + 60e-3, leg.thickness)


def _legs(frame: FrameDesign) -> dict[str, tuple[float, float]]:
    """A whole leg, or its parts with a tongue's worth of joint each; the upper has the flange."""
    leg, (volume, area) = frame.leg, _leg(frame)
    if not leg.split:
        return {"leg": (volume, area)}
    long = float(np.hypot(leg.height, leg.splay))
    middle = leg.depth_top + (leg.depth_foot - leg.depth_top) * leg.split / long
    extra = leg.lap * leg.thickness * (leg.lap_depth - middle) / 2
    lower = leg.thickness * (long - leg.split) * (middle + leg.depth_foot) / 2
    face, share = leg.lap * leg.lap_depth, lower / volume
    return {
        "leg_upper": (volume - lower + extra, (1.0 - share) * area + face),
        "leg_lower": (lower + extra, share * area + face),
    }


def _clip(frame: FrameDesign, clip: ClipDesign) -> tuple[float, float]:
    """A block less its trough and its tie's grooves."""
    length, width, height = clip_size(frame)
    half = (width - 2 * clip.wall) / 2
    section = width * height - pi / 2 * half**2 - 2 * half**2
    volume = section * length - 2 * GROOVE * clip.tie * height
    return volume, 2 * section + length * (width + 2 * height + (2 + pi) * half)


def _foot(frame: FrameDesign, foot: FootDesign) -> tuple[float, float]:
    """Sole, and a wall round the leg's end."""
    leg, beyond = frame.leg, 2 * (foot.wall + foot.flare)
    plan = (leg.depth_foot + beyond) * (leg.thickness + beyond)
    volume, area = _flat(plan, 2 * (leg.depth_foot + leg.thickness + 2 * beyond), foot.sole)
    wall = 2 * (leg.depth_foot + leg.thickness + 2 * foot.wall) * foot.sleeve
    return volume + wall * foot.wall, area + 2 * wall


def _rails(frame: FrameDesign, rail: RailDesign) -> dict[str, tuple[float, float]]:
    """Web, flange and two lips drawn out; the carrier's plate."""
    out = frame.tray.shelf - rail.gap - rail.web
    section = rail.web * rail.height + out * rail.flange + 2 * rail.reach * rail.lip
    around = 2 * (rail.height + out + rail.web + 2 * rail.reach)
    x, y = carrier_size(frame)
    return {
        "rail": (section * rail.length, around * rail.length + 2 * section),
        "carrier": _flat(4 * x * y, 4 * (x + y), rail.carrier),
    }


def _skid(frame: FrameDesign, skid: SkidDesign) -> dict[str, tuple[float, float]]:
    """Bar, and a wall on a sole round each leg's end; the legs end about 10 mm outside their bolts
    and by the splay."""
    half = (leg_bolts(frame) + 10e-3 + frame.leg.splay) * cos(skid.turn)
    bar = _block(2 * (half + skid.nose), skid.width, skid.height)
    around = 2 * (frame.leg.depth_foot + frame.leg.thickness + 4 * skid.wall)
    wall, sole = around * skid.sleeve, frame.leg.thickness * frame.leg.depth_foot
    volume = bar[0] + 2 * (wall * skid.wall + sole * skid.sole)
    area = bar[1] + 2 * (2 * wall + 2 * sole)
    keys = skid_keys(skid)
    return {key: (volume / len(keys), area / len(keys)) for key in keys}


def _guard(frame: FrameDesign, guard: GuardDesign) -> dict[str, tuple[float, float]]:
    """Rim, two struts, and the frame round the can."""
    rim = _flat(rim_length(guard) * guard.rim, 2 * rim_length(guard), guard.height)
    strut = _block(guard.radius - hub_radius(guard), guard.strut, guard.thickness)
    mount, hole = frame.mount, pi / 4 * guard.can**2
    plan = mount.length * mount.width + _disc_beside(hub_radius(guard), mount.width) - hole
    hub = _flat(plan, 2 * (mount.length + mount.width) + pi * guard.can, guard.thickness)
    keys = guard_keys(guard)
    volume, area = (a + 2 * b + c for a, b, c in zip(rim, strut, hub, strict=True))
    return {key: (volume / len(keys), area / len(keys)) for key in keys}


def _tray(frame: FrameDesign) -> tuple[float, float]:
    tray = frame.tray
    plan = tray.length * tray.width
    fences = 2 * tray.thickness * tray.length * tray.fence
    span = 2 * max(tray.pitch_y - tray.boss, 0.0)  # of both walls
    bosses = (pi * tray.boss**2 + span * tray.wall) * tray.stand  # four
    plan += 2 * tray.shelf * tray.shelf_length
    surface = 2 * plan + 4 * tray.length * tray.fence
    surface += (4 * pi * tray.boss + 2 * span * (tray.wall > 0)) * tray.stand
    return plan * tray.thickness + fences + bosses, surface


def _seat(frame: FrameDesign) -> tuple[float, float]:
    seat = frame.seat
    posts = 4 * pi / 4 * seat.post_diameter**2 * seat.post_height
    ears = 4 * max(0.0, ear_reach(seat) - seat.side / 2) * (seat.post_diameter + 2 * EDGE)
    plan = seat.side**2 + ears
    surface = 2 * plan + 4 * pi * seat.post_diameter * seat.post_height
    return plan * seat.thickness + posts, surface


def _tube(arm: ArmDesign) -> tuple[float, float]:
    ring = pi / 4 * (arm.width**2 - arm.bore**2)
    return ring * arm.length, pi * (arm.width + arm.bore) * arm.length


def _half_block(frame: FrameDesign) -> tuple[float, float]:
    height = frame.block_height / 2
    volume, area = _block(frame.arm.root_length, frame.block_width, height)
    return volume - pi / 8 * frame.arm.width**2 * frame.arm.root_length, area
