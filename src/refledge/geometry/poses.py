"""How each part lies on the bed: which face is down, and why."""

import numpy as np

from refledge.errors import GeometryError
from refledge.geometry.lap import RAIL
from refledge.model.parts import ArmDesign, FrameDesign
from refledge.typed import Floats

AS_DRAWN: Floats = np.eye(3)
UPSIDE_DOWN: Floats = np.diag([1.0, -1.0, -1.0])
"""Half a turn about x."""
ON_ITS_SIDE: Floats = np.array([[1.0, 0.0, 0.0], [0.0, 0.0, -1.0], [0.0, 1.0, 0.0]])
"""y becomes the build direction."""
ON_ITS_LEFT: Floats = np.array([[1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, -1.0, 0.0]])
"""-y becomes the build direction."""
ON_END: Floats = np.array([[0.0, 0.0, -1.0], [0.0, 1.0, 0.0], [1.0, 0.0, 0.0]])
"""x becomes the build direction."""

_ARMS = {
    "box": "top face down; the void closes by bridging {span:.0f} mm between the side walls",
    "channel": "top face down, open side up; no support",
    "truss": "top face down; diagonals rise steeply and need no support, the chord bridges "
    "{chord:.0f} mm from node to node",
}
_LAPS = {
    "arm_inner": "the lap's flat faces up; no support",
    "arm_outer": "the lap's floor bridges {rails:.0f} mm between its two rails: clear its four "
    "bolt holes with a drill",
}
_OTHERS: dict[str, tuple[Floats, str]] = {
    "upper_plate": (AS_DRAWN, "flat: bending runs within the layers; no support"),
    "lower_plate": (AS_DRAWN, "flat: bending runs within the layers; no support"),
    "mount": (UPSIDE_DOWN, "motor face down: the seat comes out flat, counterbores open upwards"),
    "cap": (AS_DRAWN, "flat underside down: the trough opens upwards; no support"),
    "root_block": (UPSIDE_DOWN, "flat face down: the trough opens upwards; no support"),
    "leg": (ON_ITS_SIDE, "on its side: lines run along the strut; bolt holes lie across the bed"),
    "leg_upper": (
        ON_ITS_SIDE,
        "on its right side, tongue down; lines run along the strut; no support",
    ),
    "leg_lower": (
        ON_ITS_LEFT,
        "on its left side, tongue down; lines run along the strut; no support",
    ),
    "clip": (AS_DRAWN, "base down: the trough opens upwards; no support"),
    "foot": (AS_DRAWN, "sole down: the pocket opens upwards; no support"),
    **dict.fromkeys(
        ("guard", "guard_left", "guard_right"),
        (AS_DRAWN, "flat: lines run along struts and rim, the rim stands up as a wall; no support"),
    ),
    **dict.fromkeys(
        ("skid", "skid_front", "skid_rear"),
        (AS_DRAWN, "sole down: lines run along the bar, pockets open upwards; no support"),
    ),
    "tray": (UPSIDE_DOWN, "plate down, fences up; the strap grooves bridge a strap's width"),
    "rail": (ON_END, "standing on its end: lines follow the section; bolt holes lie across"),
    "carrier": (AS_DRAWN, "flat: bending runs within the layers; no support"),
    "mast": (ON_ITS_SIDE, "on its side: lines run along the column; bolt holes lie across the bed"),
    "receiver_holder": (AS_DRAWN, "flange down: pocket and lips open upwards; no support"),
    "antenna_holder": (
        AS_DRAWN,
        "flange down: tubes lean by 45 degrees at most, their bridge spans the leads' way; no "
        "support",
    ),
    "cover": (UPSIDE_DOWN, "roof down: walls, ribs and tongues rise from it; no support"),
    "seat": (UPSIDE_DOWN, "plate down, posts up; no support"),
}


_NUT_SEAT = (
    "plate down, posts up; the nuts' slots bridge their width: drill the one layer that shuts each "
    "bolt hole over them"
)
_STANDING_TRAY = (
    AS_DRAWN,
    "battery's face down, bosses up: countersinks open to the bed; no support",
)


def print_pose(key: str, frame: FrameDesign) -> tuple[Floats, str]:
    """Rotation (3, 3) from part axes to the bed (z up), and which face lies down and why."""
    if key == "seat" and frame.seat.threads == "nuts":
        return UPSIDE_DOWN, _NUT_SEAT
    if key == "tray" and frame.tray.stand > 0:
        return _STANDING_TRAY
    if key in ("arm", *_LAPS):
        return UPSIDE_DOWN, _arm_note(key, frame.arm)
    if key not in _OTHERS:
        raise GeometryError(f"{key} is not a printed part of this frame")
    return _OTHERS[key]


def _arm_note(key: str, arm: ArmDesign) -> str:
    if arm.grown is not None and key == "arm":
        return _grown_note(arm.grown.support)
    if arm.family not in _ARMS or (key == "arm") == bool(arm.split):
        raise GeometryError(f"{key} is not a printed part of this frame")
    notes = [_ARMS[arm.family], *([_LAPS[key]] if arm.split else [])]
    return "; ".join(notes).format(
        span=1e3 * (arm.width - 2 * arm.side),
        chord=1e3 * arm.pitch,
        rails=1e3 * (arm.width - 2 * RAIL),
    )


def _grown_note(support: float) -> str:
    if support == 0.0:
        return "top face down; no support"
    return f"top face down; {support * 1e4:.1f} cm² of underside rest on support"
