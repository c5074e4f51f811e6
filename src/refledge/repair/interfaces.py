"""Does a new part still fit the old ones? Mating features, their revisions, the least to reprint.

A joint is what two or more parts must agree on: bolts, thicknesses, places. A part's interface
revision is a hash of the features of all its joints, so that two parts with the same revision can
take each other's place.
"""

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from refledge.errors import AnalysisError
from refledge.model.brief import Brief
from refledge.model.decked import on_deck
from refledge.model.gear import SkidDesign
from refledge.model.layout import Layout
from refledge.model.parts import FrameDesign, GuardDesign
from refledge.model.upper import SeatDesign

STEP = 1e-5
"""m; features are compared in whole steps of this: a twentieth of a layer (a choice)."""
LETTERS = 8
Features = Mapping[str, float | str | list[float]]


@dataclass(frozen=True, eq=False)
class Joint:
    """What some parts must agree on."""

    key: str
    title: str
    parts: tuple[str, ...]
    features: Features
    """By name: m, rad, or a text."""

    @property
    def revision(self) -> str:
        """Hash of the features."""
        return _hash({name: _stepped(value) for name, value in sorted(self.features.items())})


@dataclass(frozen=True)
class Fit:
    """Whether a new part fits the parts in the air."""

    part: str
    old: str
    new: str
    fits: bool
    changed: tuple[str, ...]
    """Joints that changed, in words."""


def joints_of(frame: FrameDesign, layout: Layout, brief: Brief, parts: Iterable[str]) -> tuple[
    Joint, ...
]:  # fmt: skip
    """Every joint of the airframe between the parts that it has, and with the items it carries."""
    have = set(parts)
    arm, clamp, mount, tray, seat = frame.arm, frame.clamp, frame.mount, frame.tray, frame.seat
    leg_top, leg_end = ("leg_upper", "leg_lower") if frame.leg.split else ("leg", "leg")
    inner = "arm_inner" if "arm_inner" in have else "arm"
    outer = "arm_outer" if "arm_outer" in have else "arm"
    root = "root_block" if "root_block" in have else inner
    end = "tube" if "tube" in have else outer
    angles = [float(angle) for angle in layout.arm_angles]
    bolts: dict[str, float | str | list[float]] = {
        "screw": clamp.screw,
        "pitch_x": clamp.pitch_x,
        "pitch_y": clamp.pitch_y,
        **_hinged(frame),
    }
    circle: dict[str, float | str | list[float]] = {
        "first_bolts": clamp.root_radius + clamp.first,
        "angles": angles,
    }
    made = [
        Joint("clamp", "arms bolted between the plates", (root, "upper_plate", "lower_plate"),
              bolts | {"first": clamp.first, "arms": float(frame.n_arms)}),
        Joint("bolt-circle", "both plates on the same bolts", ("upper_plate", "lower_plate"),
              bolts | circle),
        Joint("gap", "arms equally thick between the plates", (root,), {"gap": frame.plate_gap}),
        Joint("reach", "rotors on one circle", (end, root),
              {"radius": clamp.root_radius + arm.axis, "root_radius": clamp.root_radius}),
        Joint("leg", "legs under the outer clamp bolts", (leg_top, "lower_plate"),
              {"screw": clamp.screw, "pitch_y": clamp.pitch_y, **_hinged(frame)}),
        Joint("stance", "legs equally long", (leg_end,),
              {"height": frame.leg.height, "flange": frame.leg.flange_thickness}),
        Joint("mount", "motor mount on the arm's end", (end, "mount"),
              {"screw": mount.screw, "pitch_x": mount.pitch_x, "pitch_y": mount.pitch_y,
               "tenon": arm.tenon_length, "width": arm.width, "depth": arm.depth_tip,
               "gap": frame.fit_gap}),
        Joint("motor", "the motor's holes", ("mount",), {"holes": mount.holes}),
        Joint("thrust-line", "motors at one height", ("mount",), {"thickness": mount.thickness}),
        Joint("tray", "tray under the lower plate", ("tray", "lower_plate"),
              {"screw": tray.screw, "pitch_x": tray.pitch_x, "pitch_y": tray.pitch_y,
               "yaw": tray.yaw}),
        Joint("battery", "the battery's outline", ("tray",),
              {"length": brief.battery.length, "width": brief.battery.width}),
        Joint("seat", "seat on the upper plate", ("seat", "upper_plate"),
              {"screw": seat.screw, "pitch": seat.foot_pitch, **_damped(seat)}),
        Joint("controller", "the flight controller's holes", ("seat",),
              {"holes": brief.flight_controller.holes}),
    ]  # fmt: skip
    if arm.split:
        made.append(
            Joint("lap", "the two halves of an arm", ("arm_inner", "arm_outer"),
                  {"split": arm.split, "lap": arm.lap, "screw": arm.lap_screw, "width": arm.width,
                   "depth_root": arm.depth_root, "depth_tip": arm.depth_tip, "top": arm.top})
        )  # fmt: skip
    if frame.foot is not None:
        made.append(Joint("foot", "feet over the legs' ends", (leg_end, "foot"),
                          {"depth": frame.leg.depth_foot, "width": frame.leg.thickness,
                           "gap": frame.fit_gap}))  # fmt: skip
    if frame.guard is not None:
        made += _guards(frame, frame.guard, have)
    if frame.skid is not None:
        made += _skids(frame, frame.skid, have)
    if frame.rail is not None:
        rail = frame.rail
        made += [
            Joint("rails", "payload rails under the tray", ("rail", "tray"),
                  {"screw": rail.screw, "pitch_x": tray.shelf_pitch_x,
                   "pitch_y": tray.shelf_pitch_y, "gap": rail.gap}),
            Joint("carrier", "carrier in the payload rails", ("rail", "carrier"),
                  {"length": rail.length, "reach": rail.reach, "thickness": rail.carrier,
                   "width": tray.width + 2 * rail.gap, "screw": rail.screw,
                   "gap": frame.fit_gap}),
        ]  # fmt: skip
    if frame.leg.split:
        leg = frame.leg
        made.append(Joint("leg-lap", "the two parts of a leg", ("leg_upper", "leg_lower"),
                          {"split": leg.split, "lap": leg.lap, "depth": leg.lap_depth,
                           "screw": leg.lap_screw, "width": leg.thickness, "splay": leg.splay,
                           "height": leg.height}))  # fmt: skip
    if frame.cover is not None:
        made.append(Joint("cover", "cover on the seat", ("seat", "cover"),
                          {"side": seat.side, "thickness": seat.thickness,
                           "tongue": frame.cover.tongue, "gap": frame.fit_gap}))  # fmt: skip
    made += [
        Joint(each.key, f"{each.words} on the upper plate", (each.key, "upper_plate"), bolts)
        for each in on_deck(frame)
    ]
    if frame.receiver_holder is not None:
        pocket = frame.receiver_holder
        made.append(Joint("receiver", "the receiver's outline", ("receiver_holder",),
                          {"length": pocket.length, "depth": pocket.depth,
                           "height": pocket.height}))  # fmt: skip
    if frame.antenna_holder is not None:
        own = frame.antenna_holder
        made.append(Joint("antennas", "the antennas in their tubes", ("antenna_holder",),
                          {"diameter": own.diameter, "lead": own.lead}))  # fmt: skip
    if frame.clip is not None:
        made.append(Joint("clip", "wire clips on the arms", (inner, "clip"),
                          {"width": arm.width, "bundle": frame.clip.bundle}))  # fmt: skip
    if arm.family == "tube":
        made += [
            Joint("tube", "the tube in its blocks", ("tube", "root_block"), {"outer": arm.width}),
            Joint("cap", "caps under the tubes' ends", ("tube", "mount", "cap"),
                  {"outer": arm.width, "screw": mount.screw, "pitch_x": mount.pitch_x,
                   "pitch_y": mount.pitch_y}),
        ]  # fmt: skip
    return tuple(joint for joint in made if set(joint.parts) <= have)


def _guards(frame: FrameDesign, guard: GuardDesign, have: set[str]) -> list[Joint]:
    mount = frame.mount
    parts = tuple(each for each in ("guard", "guard_left", "guard_right") if each in have)
    found = [
        Joint("guard", "guards on the mounts", ("mount", *parts),
              {"screw": mount.screw, "pitch_x": mount.pitch_x, "pitch_y": mount.pitch_y,
               "can": guard.can})
    ]  # fmt: skip
    if guard.screw:
        found.append(Joint("guard-joint", "the two halves of a guard", parts,
                           {"radius": guard.radius, "rim": guard.rim, "height": guard.height,
                            "screw": guard.screw}))  # fmt: skip
    return found


def _skids(frame: FrameDesign, skid: SkidDesign, have: set[str]) -> list[Joint]:
    leg, end = frame.leg, "leg_lower" if frame.leg.split else "leg"
    parts = tuple(each for each in ("skid", "skid_front", "skid_rear") if each in have)
    reach = frame.clamp.root_radius + frame.clamp.first + frame.clamp.pitch_x
    found = [
        Joint("skid", "skids over the legs' ends", (end, *parts),
              {"depth": leg.depth_foot, "width": leg.thickness, "splay": leg.splay,
               "height": leg.height, "reach": reach, "turn": skid.turn, "gap": frame.fit_gap})
    ]  # fmt: skip
    if skid.lap:
        found.append(Joint("skid-lap", "the two parts of a skid", parts,
                           {"lap": skid.lap, "screw": skid.screw, "width": skid.width,
                            "height": skid.height, "gap": frame.fit_gap}))  # fmt: skip
    return found


def _hinged(frame: FrameDesign) -> dict[str, float | str | list[float]]:
    """What else must agree where the arms fold."""
    hinge = frame.hinge
    if hinge is None:
        return {}
    return {"pivot_bore": hinge.pivot_bore, "lock_bore": hinge.lock_bore}


def _damped(seat: SeatDesign) -> dict[str, float | str | list[float]]:
    """What else must agree where the seat stands on elastic standoffs."""
    return {"turn": seat.turn, "rise": seat.rise} if seat.rise else {}


def revisions(joints: Iterable[Joint]) -> dict[str, str]:
    """Part key to interface revision."""
    found: dict[str, list[str]] = {}
    for joint in joints:
        for part in dict.fromkeys(joint.parts):
            found.setdefault(part, []).append(f"{joint.key}:{joint.revision}")
    return {part: _hash(sorted(keys)) for part, keys in found.items()}


def fit(part: str, old: Iterable[Joint], new: Iterable[Joint]) -> Fit:
    """Whether a ``part`` of the new design goes onto an aircraft of the old one."""
    before, after = tuple(old), tuple(new)
    changed = tuple(j.title for j in _changed(before, after) if part in j.parts)
    rev_old, rev_new = revisions(before), revisions(after)
    if part not in rev_new:
        raise AnalysisError(f"the new design has no {part}; it has {', '.join(sorted(rev_new))}")
    return Fit(part, rev_old.get(part, ""), rev_new[part], not changed, changed)


def least_reprint(
    wanted: Iterable[str], old: Iterable[Joint], new: Iterable[Joint]
) -> tuple[str, ...]:
    """Parts of which every copy must be new if those ``wanted`` are to be of the new design.

    A joint that changed draws in all its parts, each of these their own changed joints, and so on:
    the least set closed under that. A part alone in a changed joint must match its own copies.
    """
    changed = _changed(tuple(old), tuple(new))
    found = list(dict.fromkeys(wanted))
    for part in found:
        for joint in changed:
            if part in joint.parts:
                found += [other for other in joint.parts if other not in found]
    return tuple(found)


def _changed(old: tuple[Joint, ...], new: tuple[Joint, ...]) -> tuple[Joint, ...]:
    before = {joint.key: (joint.revision, joint.parts) for joint in old}
    return tuple(j for j in new if before.get(j.key) != (j.revision, j.parts))


def _stepped(value: float | str | list[float]) -> object:
    """Lengths in whole steps, so that rounding does not make a new part of an old one."""
    if isinstance(value, str):
        return value
    if isinstance(value, list):
        return [_stepped(each) for each in value]
    return round(value / STEP)


def _hash(value: object) -> str:
    text = json.dumps(value, sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()[:LETTERS]
