"""Bores and flat faces of each part by name, in part axes: where analysis holds and loads it.

``clamp_bore_1`` and the like number bolts as they are drawn.
"""

from refledge.errors import GeometryError
from refledge.geometry.arm_features import (
    cap_features,
    lower_lap_features,
    mount_features,
    root_block_features,
    root_features,
    tenon_features,
    tube_features,
    upper_lap_features,
)
from refledge.geometry.body_features import (
    carrier_features,
    plate_features,
    rail_features,
    seat_features,
    tray_features,
)
from refledge.geometry.deck_features import (
    antenna_holder_features,
    cover_features,
    mast_features,
    receiver_holder_features,
)
from refledge.geometry.gear_features import (
    clip_features,
    foot_features,
    guard_features,
    leg_features,
    leg_part_features,
    skid_features,
)
from refledge.geometry.named import Features
from refledge.geometry.parts import part_quantities
from refledge.geometry.skid import skid_keys
from refledge.model.fasteners import Hardware
from refledge.model.layout import Layout
from refledge.model.parts import FrameDesign


def part_features(
    key: str, frame: FrameDesign, hardware: Hardware, layout: Layout | None = None
) -> Features:
    """Named bores and faces of one part of the frame; plates need the ``layout``.

    ``arm`` and ``leg`` of split ones are the whole, as make_arm and make_leg draw them.
    """
    makers = {
        "upper_plate": lambda: plate_features("upper", frame, hardware, layout),
        "lower_plate": lambda: plate_features("lower", frame, hardware, layout),
        "arm": lambda: root_features(frame, hardware) | tenon_features(frame, hardware),
        "arm_inner": lambda: root_features(frame, hardware) | upper_lap_features(frame, hardware),
        "arm_outer": lambda: tenon_features(frame, hardware) | lower_lap_features(frame, hardware),
        "tube": lambda: tube_features(frame),
        "root_block": lambda: root_block_features(frame, hardware),
        "cap": lambda: cap_features(frame, hardware),
        "mount": lambda: mount_features(frame, hardware),
        "leg": lambda: leg_features(frame, hardware),
        "leg_upper": lambda: leg_part_features("upper", frame, hardware),
        "leg_lower": lambda: leg_part_features("lower", frame, hardware),
        "foot": lambda: foot_features(frame, hardware),
        "clip": lambda: clip_features(frame),
        "guard": lambda: guard_features("guard", frame, hardware),
        "guard_left": lambda: guard_features("guard_left", frame, hardware),
        "guard_right": lambda: guard_features("guard_right", frame, hardware),
        **{key: lambda: skid_features(frame, hardware) for key in skid_keys(frame.skid)},
        "tray": lambda: tray_features(frame, hardware),
        "rail": lambda: rail_features(frame, hardware),
        "carrier": lambda: carrier_features(frame, hardware),
        "seat": lambda: seat_features(frame, hardware),
        "cover": lambda: cover_features(frame),
        "mast": lambda: mast_features(frame, hardware),
        "receiver_holder": lambda: receiver_holder_features(frame, hardware),
        "antenna_holder": lambda: antenna_holder_features(frame, hardware),
    }
    known = [*part_quantities(frame), *(["arm"] if frame.arm.split else [])]
    known += ["leg"] if frame.leg.split else []
    if key not in known:
        raise GeometryError(f"no part {key} in this frame; known: {', '.join(known)}")
    return makers[key]()
