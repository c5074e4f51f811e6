"""All distinct parts of a frame: solids, how many of each, what people call them."""

from refledge.geometry.antenna_holder import make_antenna_holder
from refledge.geometry.arm import make_arm, make_arm_part, make_tube
from refledge.geometry.clip import make_clip
from refledge.geometry.cover import make_cover
from refledge.geometry.fittings import make_cap, make_root_block
from refledge.geometry.foot import make_foot
from refledge.geometry.guard import guard_keys, make_guard
from refledge.geometry.kernel import Solid
from refledge.geometry.leg import make_leg
from refledge.geometry.leg_lap import make_leg_part
from refledge.geometry.mast import make_mast
from refledge.geometry.mount import make_mount
from refledge.geometry.needs import Memory, shape_key
from refledge.geometry.plate import make_plate
from refledge.geometry.rail import make_carrier, make_rail
from refledge.geometry.receiver_holder import make_receiver_holder
from refledge.geometry.seat import make_seat
from refledge.geometry.skid import make_skid, skid_keys
from refledge.geometry.tray import make_tray
from refledge.model.fasteners import Hardware
from refledge.model.layout import Layout
from refledge.model.parts import FrameDesign

PART_NAMES = {
    "arm": "arm",
    "arm_inner": "inner arm part",
    "arm_outer": "outer arm part",
    "tube": "arm tube",
    "root_block": "tube half block",
    "cap": "tube cap",
    "upper_plate": "upper plate",
    "lower_plate": "lower plate",
    "mount": "motor mount",
    "leg": "landing leg",
    "leg_upper": "upper leg part",
    "leg_lower": "lower leg part",
    "foot": "foot",
    "clip": "wire clip",
    "guard": "propeller guard",
    "guard_left": "left half of a propeller guard",
    "guard_right": "right half of a propeller guard",
    "skid": "skid",
    "skid_front": "skid part, left front or right rear",
    "skid_rear": "skid part, left rear or right front",
    "tray": "battery tray",
    "rail": "payload rail",
    "carrier": "payload carrier",
    "seat": "flight-controller seat",
    "cover": "cover",
    "mast": "mast",
    "receiver_holder": "receiver holder",
    "antenna_holder": "antenna holder",
}
BOUGHT = frozenset({"tube"})
"""Parts that are cut, not printed."""
_MADE = Memory()


def part_quantities(frame: FrameDesign) -> dict[str, int]:
    """How many of each part one airframe takes, in order of assembly."""
    tube, pairs = frame.arm.family == "tube", frame.mount.per_arm == 2
    split = frame.arm.split > 0
    counts = {
        "lower_plate": 1,
        "arm": 0 if tube or split else frame.n_arms,
        "arm_inner": frame.n_arms if split else 0,
        "arm_outer": frame.n_arms if split else 0,
        "tube": frame.n_arms if tube else 0,
        "root_block": 2 * frame.n_arms if tube else 0,
        "upper_plate": 1,
        "mount": frame.n_arms * frame.mount.per_arm,
        "cap": frame.n_arms if tube and not pairs else 0,
        "leg": 0 if frame.leg.split else frame.leg.count,
        "leg_upper": frame.leg.count if frame.leg.split else 0,
        "leg_lower": frame.leg.count if frame.leg.split else 0,
        "foot": 0 if frame.foot is None else frame.leg.count,
        "clip": 0 if frame.clip is None else frame.n_arms * len(frame.clip.places),
        **dict.fromkeys(guard_keys(frame.guard), frame.n_arms),
        **dict.fromkeys(skid_keys(frame.skid), 2),
        "tray": 1,
        "rail": 0 if frame.rail is None else 2,
        "carrier": 0 if frame.rail is None else 1,
        "seat": 1,
        "cover": 0 if frame.cover is None else 1,
        "mast": 0 if frame.mast is None else 1,
        "receiver_holder": 0 if frame.receiver_holder is None else 1,
        "antenna_holder": 0 if frame.antenna_holder is None else 1,
    }
    return {key: number for key, number in counts.items() if number}


def make_parts(frame: FrameDesign, layout: Layout, hardware: Hardware) -> dict[str, Solid]:
    """Every distinct part by key, each one valid body in its own axes.

    A part whose own numbers have not changed since it was last made is the same solid again.
    """

    def arm() -> Solid:
        return make_arm(frame.arm, frame, hardware)

    def arm_part(which: str) -> Solid:
        whole = _MADE.get(shape_key("arm", frame, layout, hardware), arm)
        return make_arm_part(which, frame.arm, frame, hardware, whole=whole)

    makers = {
        "arm": arm,
        "arm_inner": lambda: arm_part("inner"),
        "arm_outer": lambda: arm_part("outer"),
        "tube": lambda: make_tube(frame.arm),
        "root_block": lambda: make_root_block(frame, hardware),
        "cap": lambda: make_cap(frame, hardware),
        "upper_plate": lambda: make_plate("upper", frame, layout, hardware),
        "lower_plate": lambda: make_plate("lower", frame, layout, hardware),
        "mount": lambda: make_mount(frame, hardware),
        "leg": lambda: make_leg(frame, hardware),
        "leg_upper": lambda: make_leg_part("upper", frame, hardware),
        "leg_lower": lambda: make_leg_part("lower", frame, hardware),
        "foot": lambda: make_foot(frame, hardware),
        "clip": lambda: make_clip(frame),
        "guard": lambda: make_guard("guard", frame, hardware),
        "guard_left": lambda: make_guard("guard_left", frame, hardware),
        "guard_right": lambda: make_guard("guard_right", frame, hardware),
        "skid": lambda: make_skid("skid", frame, hardware),
        "skid_front": lambda: make_skid("skid_front", frame, hardware),
        "skid_rear": lambda: make_skid("skid_rear", frame, hardware),
        "tray": lambda: make_tray(frame, hardware),
        "rail": lambda: make_rail(frame, hardware),
        "carrier": lambda: make_carrier(frame, hardware),
        "seat": lambda: make_seat(frame, hardware),
        "cover": lambda: make_cover(frame),
        "mast": lambda: make_mast(frame, hardware),
        "receiver_holder": lambda: make_receiver_holder(frame, hardware),
        "antenna_holder": lambda: make_antenna_holder(frame, hardware),
    }
    return {
        key: _MADE.get(shape_key(key, frame, layout, hardware), makers[key])
        for key in part_quantities(frame)
    }
