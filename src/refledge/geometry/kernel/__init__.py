"""The port to the solid modeller: the only folder that uses it. SI outside, mm inside.

The modeller takes a second to load, so it is loaded on first use.
"""

from refledge.geometry.kernel.library import Solid
from refledge.geometry.kernel.measuring import (
    Moments,
    area,
    bounds,
    checked,
    contours,
    distance,
    is_valid_single,
    moments,
    section,
    tessellate,
    volume,
)
from refledge.geometry.kernel.shaping import (
    box,
    chamfer,
    common,
    cone,
    cut,
    extrude,
    fillet,
    fuse,
    move,
)
from refledge.geometry.kernel.step import read_step, write_step

__all__ = [
    "Moments",
    "Solid",
    "area",
    "bounds",
    "box",
    "chamfer",
    "checked",
    "common",
    "cone",
    "contours",
    "cut",
    "distance",
    "extrude",
    "fillet",
    "fuse",
    "is_valid_single",
    "moments",
    "move",
    "read_step",
    "section",
    "tessellate",
    "volume",
    "write_step",
]
