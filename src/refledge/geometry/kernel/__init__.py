"""The port to the solid modeller: the only folder that uses it. SI outside, mm inside.

The modeller takes a second to load, so it is loaded on first use.
"""

from refledge.geometry.kernel.facets import facetted, with_faces
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
from refledge.geometry.kernel.projecting import (
    View,
    behind,
    cut_outlines,
    holds,
    project,
    project_together,
)
from refledge.geometry.kernel.relieving import bevel_foot
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
from refledge.geometry.kernel.surfaces import Level, Round, Sink, levels, rounds, sinks_of
from refledge.geometry.kernel.triangles import MeshSolid

__all__ = [
    "Level",
    "MeshSolid",
    "Moments",
    "Round",
    "Sink",
    "Solid",
    "View",
    "area",
    "behind",
    "bevel_foot",
    "bounds",
    "box",
    "chamfer",
    "checked",
    "common",
    "cone",
    "contours",
    "cut",
    "cut_outlines",
    "distance",
    "extrude",
    "facetted",
    "fillet",
    "fuse",
    "holds",
    "is_valid_single",
    "levels",
    "moments",
    "move",
    "project",
    "project_together",
    "read_step",
    "rounds",
    "section",
    "sinks_of",
    "tessellate",
    "volume",
    "with_faces",
    "write_step",
]
