"""Where every part and item stands in body axes."""

from collections.abc import Iterator
from math import cos, pi, sin

import numpy as np

from refledge.errors import GeometryError
from refledge.geometry.antenna_holder import antenna_axes
from refledge.geometry.deck import deck_place
from refledge.geometry.guard import guard_keys
from refledge.geometry.items import other_key
from refledge.geometry.leg import leg_bolts
from refledge.geometry.plate import seat_points
from refledge.geometry.poses import UPSIDE_DOWN
from refledge.geometry.rail import carrier_level, rail_of
from refledge.geometry.receiver_holder import standing_turn
from refledge.geometry.skid import skid_keys
from refledge.model.brief import Brief
from refledge.model.decked import on_deck
from refledge.model.hung import lowest
from refledge.model.items import Placed
from refledge.model.layout import Layout
from refledge.model.parts import FrameDesign
from refledge.model.results import Placement
from refledge.typed import Floats

_SAME = 1e-4  # m: layout and frame may differ by rounding in the brief's tenths of a millimetre


def turn(angle: float) -> Floats:
    """Rotation (3, 3) by ``angle`` (rad) about z."""
    c, s = cos(angle), sin(angle)
    return np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])


def place_all(frame: FrameDesign, layout: Layout, brief: Brief) -> tuple[Placement, ...]:
    """Every body of the airframe; raises GeometryError where layout and frame disagree."""
    reach = frame.clamp.root_radius + frame.arm.axis
    if abs(reach - layout.motor_radius) > _SAME or frame.n_arms != layout.n_arms:
        raise GeometryError(
            f"frame with {frame.n_arms} arms to {reach * 1e3:.1f} mm in a layout with "
            f"{layout.n_arms} arms to {layout.motor_radius * 1e3:.1f} mm"
        )
    arms = (each for i in range(frame.n_arms) for each in _arm(i, frame, layout))
    legs = (each for n, arm in enumerate(frame.leg.arms) for each in _leg(n, arm, frame, layout))
    rotors = (each for i in range(layout.n_rotors) for each in _rotor(i, frame, layout, brief))
    decks = _deck(frame, layout)
    gear = (*legs, *skid_places(frame))
    return (*_middle(frame), *arms, *gear, *decks, *clip_places(frame, layout), *rotors,
            *_carried(frame, layout, brief))  # fmt: skip


def _fixed(key: str, name: str, group: str, at: tuple[float, float, float]) -> Placement:
    return Placement(key, name, group, np.eye(3), np.array(at))


def _middle(frame: FrameDesign) -> Iterator[Placement]:
    top, bottom = frame.plate_gap / 2, -frame.plate_gap / 2 - frame.plate.thickness
    yield _fixed("lower_plate", "lower plate", "part", (0.0, 0.0, bottom))
    yield _fixed("upper_plate", "upper plate", "part", (0.0, 0.0, top))
    tray = np.array([0.0, 0.0, bottom])
    yield Placement("tray", "battery tray", "part", turn(frame.tray.yaw), tray)
    if frame.rail is not None:
        yield from rail_places(frame)
    yield from _seat(frame)


def _seat(frame: FrameDesign) -> Iterator[Placement]:
    """The seat, and what it stands on where it is damped."""
    top = frame.plate_gap / 2 + frame.plate.thickness
    yield _fixed("seat", "seat", "part", (0.0, 0.0, top + frame.seat.rise))
    if frame.cover is not None:
        yield _fixed("cover", "cover", "part", (0.0, 0.0, top + frame.seat.top))
    if frame.seat.rise > 0:
        for n, (x, y) in enumerate(seat_points(frame), 1):
            yield _fixed("standoff", f"elastic standoff {n}", "item", (x, y, top))


def rail_places(frame: FrameDesign) -> Iterator[Placement]:
    """Both payload rails and the carrier; needs rails."""
    under = -frame.plate_gap / 2 - frame.plate.thickness - frame.tray.hang
    aside = frame.tray.width / 2 + rail_of(frame).gap
    for n, own in enumerate((0.0, pi), 1):
        rotation = turn(frame.tray.yaw + own)
        at = rotation @ np.array([0.0, aside, 0.0]) + np.array([0.0, 0.0, under])
        yield Placement("rail", f"payload rail {n}", "part", rotation, at)
    at = np.array([0.0, 0.0, under + carrier_level(frame) + frame.fit_gap])
    yield Placement("carrier", "payload carrier", "part", turn(frame.tray.yaw), at)


def _on_arm(
    key: str, name: str, angle: float, radius: float, z: float, own: Floats | None = None
) -> Placement:
    """A part at ``radius`` on the arm at ``angle``, turned by ``own`` (3, 3) first."""
    rotation = turn(angle) if own is None else turn(angle) @ own
    at = np.array([radius * cos(angle), radius * sin(angle), z])
    return Placement(key, name, "part", rotation, at)


def _arm(i: int, frame: FrameDesign, layout: Layout) -> Iterator[Placement]:
    angle, n = float(layout.arm_angles[i]), i + 1
    root, axis = frame.clamp.root_radius, frame.clamp.root_radius + frame.arm.axis
    tube = frame.arm.family == "tube"
    if frame.arm.split:
        yield _on_arm("arm_inner", f"inner arm {n}", angle, root, 0.0)
        yield _on_arm("arm_outer", f"outer arm {n}", angle, root, 0.0)
    else:
        yield _on_arm("tube" if tube else "arm", f"arm {n}", angle, root, 0.0)
    if tube:
        yield _on_arm("root_block", f"upper half block {n}", angle, root, 0.0)
        yield _on_arm("root_block", f"lower half block {n}", angle, root, 0.0, UPSIDE_DOWN)
    yield _on_arm("mount", f"mount {n}", angle, axis, frame.arm.depth_root / 2)
    for key in guard_keys(frame.guard):
        words = {"guard": "guard", "guard_left": "left half of guard"}
        name = f"{words.get(key, 'right half of guard')} {n}"
        yield _on_arm(key, name, angle, axis, frame.seat_height)
    if frame.mount.per_arm == 2:
        under = frame.arm.depth_root / 2 - frame.arm.depth_tip
        yield _on_arm("mount", f"lower mount {n}", angle, axis, under, UPSIDE_DOWN)
    elif tube:
        yield _on_arm("cap", f"cap {n}", angle, axis, 0.0)


def _leg(n: int, arm: int, frame: FrameDesign, layout: Layout) -> Iterator[Placement]:
    z = -frame.plate_gap / 2 - frame.plate.thickness
    angle, radius = float(layout.arm_angles[arm]), leg_bolts(frame)
    if frame.leg.split:
        yield _on_arm("leg_upper", f"upper leg {n + 1}", angle, radius, z)
        yield _on_arm("leg_lower", f"lower leg {n + 1}", angle, radius, z)
    else:
        yield _on_arm("leg", f"leg {n + 1}", angle, radius, z)
    if frame.foot is not None:
        yield _on_arm("foot", f"foot {n + 1}", angle, radius, z)


def skid_places(frame: FrameDesign) -> Iterator[Placement]:
    """Left and right skid, each in one piece or in two parts; none without skids."""
    skid = frame.skid
    if skid is None:
        return
    aside = leg_bolts(frame) * sin(skid.turn)
    z = -frame.plate_gap / 2 - frame.plate.thickness
    for side, own, at in (("left", 0.0, aside), ("right", pi, -aside)):
        for key in skid_keys(skid):
            where = {"skid": "", "skid_front": " front", "skid_rear": " rear"}[key]
            if own and where:
                where = " rear" if where == " front" else " front"
            name = f"{side}{where} skid"
            yield Placement(key, name, "part", turn(own), np.array([0.0, at, z]))


def _deck(frame: FrameDesign, layout: Layout) -> Iterator[Placement]:
    """What stands under the heads of clamp bolts, and the antennas in their tubes."""
    for each in on_deck(frame):
        rotation = turn(float(layout.arm_angles[each.arm]))
        at = deck_place(frame, layout, each.arm)
        yield Placement(each.key, each.words, "part", rotation, at)
        if each.key == "antenna_holder":
            for n, (foot, own) in enumerate(antenna_axes(frame), 1):
                yield Placement("antenna", f"antenna {n}", "item", rotation @ own,
                                rotation @ foot + at)  # fmt: skip


def clip_places(frame: FrameDesign, layout: Layout) -> Iterator[Placement]:
    """Clips on top of the arms, from the inmost of every arm to the outmost."""
    number = 0
    for x in frame.clip.places if frame.clip else ():
        for angle in map(float, layout.arm_angles):
            number += 1
            radius, top = frame.clamp.root_radius + x, frame.arm.depth_root / 2
            yield _on_arm("clip", f"wire clip {number}", angle, radius, top)


def _rotor(i: int, frame: FrameDesign, layout: Layout, brief: Brief) -> Iterator[Placement]:
    """Motor on its seat; its disc at the propeller seat of the motor."""
    angle, upper = float(layout.arm_angles[layout.arm_of_rotor[i]]), layout.upper[i]
    x, y = layout.motor_radius * cos(angle), layout.motor_radius * sin(angle)
    seat = frame.seat_height if upper else frame.lower_seat_height
    rotation = turn(angle) @ (np.eye(3) if upper else UPSIDE_DOWN)
    hub = seat + (1 if upper else -1) * brief.motor.height
    yield Placement("motor", f"motor {i + 1}", "item", rotation, np.array([x, y, seat]))
    yield Placement("disc", f"disc {i + 1}", "disc", np.eye(3), np.array([x, y, hub]))


def _carried(frame: FrameDesign, layout: Layout, brief: Brief) -> Iterator[Placement]:
    upper = frame.plate_gap / 2 + frame.plate.thickness
    lower = -upper
    battery = np.array([0.0, 0.0, lower - frame.tray.hang - brief.battery.height / 2])
    yield Placement("battery", "battery", "item", turn(frame.tray.yaw), battery)
    seat = upper + frame.seat.top
    z = seat + brief.flight_controller.height / 2
    yield _fixed("flight_controller", "flight controller", "item", (0.0, 0.0, z))
    payload = (brief.payload.forward, 0.0, lower - payload_middle(frame, brief))
    yield _fixed("payload", "payload", "item", payload)
    for i, each in enumerate(brief.others):
        at = other_place(each, frame, layout)
        yield Placement(other_key(i), each.name, "item", other_turn(each, frame, layout), at)


def payload_middle(frame: FrameDesign, brief: Brief) -> float:
    """Middle of the payload below the lower plate, m."""
    return brief.payload.middle(lowest(frame.tray, frame.rail, brief.battery.height))


def other_place(item: Placed, frame: FrameDesign, layout: Layout) -> Floats:
    """Centre of an item, (3,), m: where the brief puts it, in its holder, or on top of the mast at
    its height."""
    holder = frame.receiver_holder
    if holder and holder.item == item.name:
        up = np.array([0.0, 0.0, holder.flange_thickness + holder.height / 2])
        return np.asarray(deck_place(frame, layout, holder.arm) + up)
    if frame.mast and frame.mast.item == item.name:
        foot = deck_place(frame, layout, frame.mast.arm)
        return np.array([foot[0], foot[1], other_height(item, frame)])
    return np.array([item.x, item.y, other_height(item, frame)])


def other_turn(item: Placed, frame: FrameDesign, layout: Layout) -> Floats:
    """Rotation (3, 3) of an item from its own axes: as the brief has it, or as it stands in its
    holder."""
    holder = frame.receiver_holder
    if not holder or holder.item != item.name:
        return np.eye(3)
    size = (item.length, item.width, item.height)
    rotation: Floats = turn(float(layout.arm_angles[holder.arm])) @ standing_turn(
        size, holder.upright
    )
    return rotation


def other_height(item: Placed, frame: FrameDesign) -> float:
    """Height of the item's centre above the mid-plane, m; without one it rests on the plate."""
    plate = frame.plate_gap / 2 + frame.plate.thickness
    if item.z is None:
        return plate + item.height / 2
    return plate + item.z if item.z >= 0 else -plate + item.z
