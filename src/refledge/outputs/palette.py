"""Colours of parts and items, shared by pictures, the assembly file and the print files."""

from typing import Final

import numpy as np

from refledge.typed import Floats

RGB = tuple[float, float, float]

# Our own choice: warm for what is printed, by kind of part; greys for what moves over.
_PARTS: Final[dict[str, RGB]] = {
    "arm": (0.86, 0.52, 0.27),
    "arm_inner": (0.86, 0.52, 0.27),
    "arm_outer": (0.92, 0.64, 0.38),
    "upper_plate": (0.36, 0.45, 0.48),
    "lower_plate": (0.30, 0.38, 0.41),
    "mount": (0.72, 0.36, 0.24),
    "cap": (0.66, 0.33, 0.23),
    "root_block": (0.72, 0.40, 0.26),
    "tube": (0.20, 0.21, 0.22),
    "leg": (0.56, 0.62, 0.50),
    "leg_upper": (0.56, 0.62, 0.50),
    "leg_lower": (0.64, 0.69, 0.57),
    "clip": (0.35, 0.42, 0.52),
    "foot": (0.42, 0.47, 0.38),
    **dict.fromkeys(("guard", "guard_left"), (0.52, 0.60, 0.64)),
    "guard_right": (0.60, 0.67, 0.70),
    **dict.fromkeys(("skid", "skid_rear"), (0.42, 0.47, 0.38)),
    "skid_front": (0.50, 0.55, 0.45),
    "tray": (0.66, 0.62, 0.52),
    "rail": (0.50, 0.56, 0.62),
    "carrier": (0.70, 0.55, 0.42),
    "seat": (0.78, 0.71, 0.52),
    "cover": (0.62, 0.68, 0.60),
    "receiver_holder": (0.44, 0.52, 0.60),
    "antenna_holder": (0.58, 0.48, 0.56),
    "mast": (0.60, 0.58, 0.44),
}
_OTHER_PART: Final[RGB] = (0.80, 0.60, 0.42)
_ITEM: Final[RGB] = (0.55, 0.58, 0.61)
_RUBBER: Final[RGB] = (0.24, 0.24, 0.26)
_DISC: Final[RGB] = (0.40, 0.58, 0.66)
DISC_OPACITY: Final = 0.22


def rgb_of(key: str, group: str) -> RGB:
    """Colour (0 to 1, sRGB) of a body by its key and group (part, item, disc)."""
    if group == "disc":
        return _DISC
    if group == "item":
        return _RUBBER if key == "standoff" else _ITEM
    return _PARTS.get(key, _OTHER_PART)


def linear(rgb: RGB) -> RGB:
    """sRGB to linear light (IEC 61966-2-1, transfer function)."""
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in rgb)
    return red, green, blue


def linear_all(colours: Floats) -> Floats:
    """The same for an array of colours, 0 to 1."""
    bright: Floats = np.where(
        colours <= 0.04045, colours / 12.92, ((colours + 0.055) / 1.055) ** 2.4
    )
    return bright
