"""Where each printed part's centre lies before its solid has been made."""

from math import cos, sin

import numpy as np

from refledge.geometry.clip import clip_size
from refledge.geometry.deck import deck_place
from refledge.geometry.guard import guard_keys
from refledge.geometry.leg import leg_bolts
from refledge.geometry.parts import part_quantities
from refledge.geometry.placing import clip_places, rail_places, skid_places
from refledge.geometry.receiver_holder import pocket
from refledge.geometry.skid import skid_of
from refledge.model.decked import on_deck
from refledge.model.layout import Layout
from refledge.model.parts import FrameDesign
from refledge.typed import Floats


def part_centres(frame: FrameDesign, layout: Layout) -> dict[str, Floats]:
    """Part key to (quantity, 3), m, body axes; tips in order of arms, upper before lower."""
    half, plate = frame.plate_gap / 2, frame.plate.thickness
    top, under = half + plate / 2, -half - plate / 2
    seat = half + plate + frame.seat.rise + frame.seat.post_height
    middle = {
        "upper_plate": np.array([[0.0, 0.0, top]]),
        "lower_plate": np.array([[0.0, 0.0, under]]),
        "tray": np.array([[0.0, 0.0, -half - plate - frame.tray.hang]]),
        "seat": np.array([[0.0, 0.0, seat]]),
    }
    r0 = frame.clamp.root_radius
    blocks = _ring(layout.arm_angles, r0 + frame.arm.root_length / 2, 0.0)
    legs = layout.arm_angles[list(frame.leg.arms)]
    bolts = r0 + frame.clamp.first + frame.clamp.pitch_x
    found = {
        "arm": _ring(layout.arm_angles, r0 + 0.45 * frame.arm.length, 0.0),
        "arm_inner": _ring(layout.arm_angles, r0 + 0.5 * frame.arm.split, 0.0),
        "arm_outer": _ring(layout.arm_angles, r0 + (frame.arm.split + frame.arm.length) / 2, 0.0),
        "tube": _ring(layout.arm_angles, r0 + 0.5 * frame.arm.length, 0.0),
        "root_block": np.vstack((blocks, blocks)),
        "mount": _mounts(frame, layout),
        "cap": _ring(layout.arm_angles, layout.motor_radius, -frame.arm.depth_tip / 2),
        "leg": _ring(legs, bolts + 10e-3 + frame.leg.splay / 2, -half - frame.leg.height / 2),
        "leg_upper": _ring(legs, bolts + 10e-3 + frame.leg.splay / 5, -half - frame.leg.height / 4),
        "leg_lower": _ring(
            legs, bolts + 10e-3 + 0.72 * frame.leg.splay, -half - 0.72 * frame.leg.height
        ),
        "foot": _ring(
            legs, bolts + 10e-3 + frame.leg.splay, -half - plate - frame.leg.height + 3e-3
        ),
        **middle,
        **_rails(frame),
        **_clips(frame, layout),
        **_skids(frame),
        **_guards(frame, layout),
        **_cover(frame),
        **_deck(frame, layout),
    }
    return {key: found[key] for key in part_quantities(frame)}


def _clips(frame: FrameDesign, layout: Layout) -> dict[str, Floats]:
    up = [0.0, 0.0, clip_size(frame)[2] / 2] if frame.clip else [0.0, 0.0, 0.0]
    found = [each.translation + np.array(up) for each in clip_places(frame, layout)]
    return {"clip": np.array(found)} if found else {}


def _rails(frame: FrameDesign) -> dict[str, Floats]:
    if frame.rail is None:
        return {}
    found: dict[str, list[Floats]] = {"rail": [], "carrier": []}
    for put in rail_places(frame):
        own = [0.0, 0.0, -frame.rail.height / 2] if put.key == "rail" else np.zeros(3)
        found[put.key].append(put.translation + np.asarray(own))
    return {key: np.array(each) for key, each in found.items()}


def _skids(frame: FrameDesign) -> dict[str, Floats]:
    """Near the ground below the legs' ends; a part by itself, half-way to its end."""
    found: dict[str, list[Floats]] = {}
    for put in skid_places(frame):
        skid = skid_of(frame)
        out = 10e-3 + frame.leg.splay
        ahead = (leg_bolts(frame) + out) * cos(skid.turn)
        along = {"skid": 0.0, "skid_front": 0.6 * ahead, "skid_rear": -0.6 * ahead}[put.key]
        own = np.array([along, out * sin(skid.turn), skid.height / 2 - frame.leg.height])
        found.setdefault(put.key, []).append(put.rotation @ own + put.translation)
    return {key: np.array(each) for key, each in found.items()}


def _guards(frame: FrameDesign, layout: Layout) -> dict[str, Floats]:
    """About two thirds of the way to the rim; a half by itself, as far aside as its strut."""
    if frame.guard is None:
        return {}
    guard, found = frame.guard, {}
    for key in guard_keys(guard):
        aside = {"guard": 0.0, "guard_left": 1.0, "guard_right": -1.0}[key]
        out, over = 0.6 * guard.radius, 0.4 * aside * guard.radius
        middle = _ring(layout.arm_angles, layout.motor_radius + out, frame.seat_height + 8e-3)
        across = np.column_stack(
            [-np.sin(layout.arm_angles), np.cos(layout.arm_angles), 0 * layout.arm_angles]
        )
        found[key] = middle + over * across
    return found


def _cover(frame: FrameDesign) -> dict[str, Floats]:
    """Two thirds up its room: the roof weighs most."""
    if frame.cover is None:
        return {}
    top = frame.plate_gap / 2 + frame.plate.thickness + frame.seat.top
    return {"cover": np.array([[0.0, 0.0, top + 0.67 * frame.cover.room]])}


def _deck(frame: FrameDesign, layout: Layout) -> dict[str, Floats]:
    """Half-way up; an antenna holder at its tubes' lower ends, a pocket nearer to its floor."""
    found = {}
    for each in on_deck(frame):
        up = {
            "mast": frame.mast.height / 2 if frame.mast else 0.0,
            "receiver_holder": each.flange + 0.3 * pocket(frame)[2] if frame.receiver_holder else 0,
            "antenna_holder": frame.antenna_holder.mouth if frame.antenna_holder else 0.0,
        }[each.key]
        at = deck_place(frame, layout, each.arm) + np.array([0.0, 0.0, up])
        found[each.key] = at[None, :]
    return found


def _ring(angles: Floats, radius: float, height: float) -> Floats:
    return np.column_stack(
        [radius * np.cos(angles), radius * np.sin(angles), np.full(len(angles), height)]
    )


def _mounts(frame: FrameDesign, layout: Layout) -> Floats:
    half = frame.mount.thickness / 2
    upper = _ring(layout.arm_angles, layout.motor_radius, frame.seat_height - half)
    if frame.mount.per_arm == 1:
        return upper
    lower = _ring(layout.arm_angles, layout.motor_radius, frame.lower_seat_height + half)
    return np.vstack((upper, lower))
