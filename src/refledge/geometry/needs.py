"""What each part's shape depends on, and the parts already made: one is made again only where that
changed."""

from collections import OrderedDict
from collections.abc import Callable, Hashable
from operator import attrgetter
from threading import Lock

from refledge.geometry.kernel import Solid
from refledge.model.fasteners import Hardware
from refledge.model.layout import Layout
from refledge.model.parts import FrameDesign

Made = Callable[[], Solid]

REMEMBERED = 96
"""Solids kept, some ten frames' worth: our choice; the least used goes first."""
_CLAMP = ("clamp.screw", "clamp.first", "clamp.pitch_x", "clamp.pitch_y")
_MOUNT = ("mount.screw", "mount.pitch_x", "mount.pitch_y")
_ARM = tuple(
    f"arm.{name}"
    for name in (
        "family", "length", "width", "depth_root", "depth_tip", "root_length", "tenon_length",
        "side", "top", "bottom", "pitch", "web", "bore", "split", "lap", "lap_screw", "grown",
    )
)  # fmt: skip
_PLATE = (
    *(f"plate.{name}" for name in ("outer_radius", "thickness", "centre_bore", "arm_pad_width")),
    "plate.core_radius", "plate.style", "plate.rim", "clamp.root_radius", *_CLAMP, "hole_allowance",
)  # fmt: skip
_GUARD = (
    *(f"guard.{name}" for name in ("radius", "span", "strut_at", "thickness", "strut", "rim")),
    "guard.height", "guard.can", "guard.screw", "mount.length", "mount.width", *_MOUNT,
    "hole_allowance",
)  # fmt: skip
_SKID = (
    *(f"skid.{name}" for name in ("turn", "nose", "width", "height", "sleeve", "wall", "sole")),
    "skid.flare", "skid.lap", "skid.screw", "leg.height", "leg.splay", "leg.thickness",
    "leg.depth_top", "leg.depth_foot", "leg.flange_thickness", "clamp.screw", "clamp.root_radius",
    "clamp.first", "clamp.pitch_x", "hole_allowance", "fit_gap",
)  # fmt: skip
_LEG = (
    "leg.height", "leg.splay", "leg.thickness", "leg.depth_top", "leg.depth_foot",
    "leg.flange_thickness", "leg.split", "leg.lap", "leg.lap_depth", "leg.lap_screw",
    "clamp.screw", "clamp.pitch_y", "hole_allowance",
)  # fmt: skip
_WHOLE_ARM = (*_ARM, *_CLAMP, *_MOUNT, "hole_allowance", "fit_gap")
_HINGED = ("arm", "arm_inner", "arm_outer", "upper_plate", "lower_plate")
"""Parts whose holes follow the hinge of folding arms, or that there is none."""
_LAP = ("clamp.root_radius", "plate.outer_radius", "mount.seat_radius")
"""Between which a lap must stay."""
NEEDS: dict[str, tuple[str, ...]] = {
    "arm": _WHOLE_ARM,
    "arm_inner": (*_WHOLE_ARM, *_LAP),
    "arm_outer": (*_WHOLE_ARM, *_LAP),
    "tube": _ARM,
    "root_block": (
        "arm.width", "arm.root_length", "block_width", "block_height", *_CLAMP, "hole_allowance",
    ),
    "cap": (
        "arm.width", "mount.length", "mount.width", "mount.thickness", *_MOUNT, "hole_allowance",
    ),
    "upper_plate": (*_PLATE, "seat.screw", "seat.foot_pitch", "seat.turn"),
    "lower_plate": (*_PLATE, "tray.screw", "tray.pitch_x", "tray.pitch_y", "tray.yaw"),
    "mount": (
        "arm.family", "arm.width", "arm.bore", "mount.length", "mount.width", "mount.seat_radius",
        "mount.thickness", "mount.holes", "mount.head_depth", "mount.shaft_bore", *_MOUNT,
        "hole_allowance",
    ),
    "leg": _LEG,
    "leg_upper": (*_LEG, "fit_gap"),
    "leg_lower": (*_LEG, "fit_gap"),
    "clip": (
        "clip.bundle", "clip.length", "clip.wall", "clip.tie", "arm.width", "fit_gap",
    ),
    "foot": (
        "foot.sleeve", "foot.wall", "foot.sole", "foot.flare", "leg.height", "leg.splay",
        "leg.thickness", "leg.depth_top", "leg.depth_foot", "leg.flange_thickness", "clamp.screw",
        "fit_gap",
    ),
    "guard": _GUARD,
    "guard_left": _GUARD,
    "guard_right": _GUARD,
    "skid": _SKID,
    "skid_front": _SKID,
    "skid_rear": _SKID,
    "tray": (
        "tray.length", "tray.width", "tray.thickness", "tray.fence", "tray.strap_width",
        "tray.line", "tray.screw", "tray.pitch_x", "tray.pitch_y", "tray.stand", "tray.boss",
        "tray.wall", "tray.shelf", "tray.shelf_length", "tray.shelf_pitch_x", "tray.shelf_pitch_y",
        "hole_allowance",
    ),
    "rail": (
        "rail.length", "rail.height", "rail.web", "rail.gap", "rail.flange", "rail.lip",
        "rail.reach", "rail.carrier", "rail.screw", "tray.width", "tray.screw",
        "tray.shelf_pitch_x", "tray.shelf_pitch_y", "hole_allowance", "fit_gap",
    ),
    "carrier": (
        "rail.length", "rail.gap", "rail.reach", "rail.carrier", "rail.strap_width", "rail.screw",
        "tray.width", "hole_allowance", "fit_gap",
    ),
    "seat": (
        "seat.side", "seat.thickness", "seat.post_height", "seat.post_diameter", "seat.screw",
        "seat.pitch", "seat.foot_pitch", "seat.turn", "seat.threads", "hole_allowance",
    ),
    "cover": (
        "cover.room", "cover.wall", "cover.roof", "cover.tongue", "cover.lip", "seat.side",
        "seat.thickness", "seat.rise", "seat.foot_pitch", "seat.post_diameter", "fit_gap",
    ),
    "receiver_holder": (
        *(f"receiver_holder.{name}" for name in ("item", "length", "depth", "height", "across")),
        "receiver_holder.flange_thickness", "receiver_holder.wall", "receiver_holder.tongue",
        "receiver_holder.lip", "clamp.screw", "clamp.pitch_x", "clamp.pitch_y", "hole_allowance",
        "fit_gap",
    ),
    "antenna_holder": (
        *(f"antenna_holder.{name}" for name in ("count", "diameter", "lead", "tilt", "grip")),
        "antenna_holder.wall", "antenna_holder.out", "antenna_holder.mouth",
        "antenna_holder.across",
        "antenna_holder.flange_thickness", "clamp.screw", "clamp.pitch_x", "clamp.pitch_y",
        "hole_allowance", "fit_gap",
    ),
    "mast": (
        "mast.item", "mast.height", "mast.thickness", "mast.depth", "mast.flange_thickness",
        "mast.platform_length", "mast.platform_thickness", "clamp.screw", "clamp.pitch_x",
        "clamp.pitch_y", "hole_allowance",
    ),
}  # fmt: skip
"""Part key to the fields of the frame that its maker reads; plates read the arms' angles too.
tests/geometry/test_needs.py watches the makers and fails where one reads anything else."""


def needs_of(part: str, frame: FrameDesign) -> tuple[str, ...]:
    """Fields that the part's maker reads; the whole of a split arm reads what its lap reads, a
    seat with nuts their play, what a hinge goes through its bores."""
    if part == "seat" and frame.seat.threads == "nuts":
        return (*NEEDS["seat"], "fit_gap")
    fields = NEEDS["arm_inner" if part == "arm" and frame.arm.split else part]
    if part not in _HINGED:
        return fields
    if frame.hinge is None:
        return (*fields, "hinge")
    legs = ("leg.arms",) if part == "lower_plate" else ()
    return (*fields, "hinge.pivot_bore", "hinge.lock_bore", *legs)


def shape_key(part: str, frame: FrameDesign, layout: Layout, hardware: Hardware) -> Hashable:
    """Equal for two parts of the same shape, whatever else differs between their frames."""
    angles = tuple(map(float, layout.arm_angles)) if part.endswith("_plate") else ()
    sold = tuple(
        tuple(each.values()) for each in (hardware.screws, hardware.inserts, hardware.nuts)
    )
    return (part, attrgetter(*needs_of(part, frame))(frame), angles, sold)


class Memory:
    """The solids made last, by the key of their shape; safe to share between threads."""

    def __init__(self, most: int = REMEMBERED) -> None:
        self._most = most
        self._lock = Lock()
        self._solids: OrderedDict[Hashable, Solid] = OrderedDict()

    def get(self, key: Hashable, make: Made) -> Solid:
        """The solid of that key, made now if it is not known; what raises is not remembered."""
        with self._lock:
            known = self._solids.get(key)
            if known is not None:
                self._solids.move_to_end(key)
                return known
        made = make()
        with self._lock:
            self._solids[key] = made
            while len(self._solids) > self._most:
                self._solids.popitem(last=False)
        return made
