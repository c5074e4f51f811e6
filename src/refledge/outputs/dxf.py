"""DXF of a flat part: outline and holes, in mm, for checking, drilling by hand or cutting."""

import io
import math
from collections.abc import Sequence
from typing import Any

import ezdxf
import numpy as np
from ezdxf import units
from ezdxf.filemanagement import new

from refledge.geometry.kernel import Solid, contours, move
from refledge.geometry.profile import Loop, Segment, arc_circle
from refledge.model.results import PartSpec, TriMesh
from refledge.outputs.pose import MILLIMETRES

_FLAT = 1e-6  # m: vertices this near to a face lie on it
_SAME = 1e-7  # m: arcs whose centres and radii are this near lie on one circle
_LAYERS = (("OUTLINE", 7), ("HOLES", 1))


def flat_dxf(spec: PartSpec, mesh: TriMesh, solid: Solid) -> str | None:
    """The drawing as DXF text, or None where the part is not of one thickness as printed."""
    z = (mesh.vertices @ spec.print_rotation.T)[:, 2]
    low, high = float(z.min()), float(z.max())
    if np.any((z - low > _FLAT) & (high - z > _FLAT)):
        return None
    lying = move(solid, spec.print_rotation, np.zeros(3))
    return dxf_text(contours(lying, (low + high) / 2))


def dxf_text(loops: Sequence[Loop]) -> str:
    """Circles, and closed polylines with arcs: the first loop outside, the others holes; m."""
    options: Any = vars(ezdxf)["options"]
    fixed = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True  # no time stamps: same bytes again
    try:
        drawing = new("R2010", units=units.MM)
        for name, colour in _LAYERS:
            drawing.layers.add(name, color=colour)
        for k, loop in enumerate(loops):
            _draw(drawing.modelspace(), loop, {"layer": "OUTLINE" if k == 0 else "HOLES"})
        for kind in sorted(drawing.entitydb.dxf_types_in_use()):
            drawing.classes.add_class(kind)  # in order: the library's own order is a set's
        out = io.StringIO()
        drawing.write(out)
    finally:
        options.write_fixed_meta_data_for_testing = fixed
    return out.getvalue()


def _draw(space: Any, loop: Loop, layer: dict[str, str]) -> None:
    whole = _whole_circle(loop)
    if whole:
        x, y, radius = (round(MILLIMETRES * v, 6) for v in whole)
        space.add_circle((x, y), radius, dxfattribs=layer)
        return
    points = [
        (*(round(MILLIMETRES * v, 6) for v in each.start), round(_bulge(each), 9)) for each in loop
    ]
    space.add_lwpolyline(points, format="xyb", close=True, dxfattribs=layer)


def _whole_circle(loop: Loop) -> tuple[float, float, float] | None:
    """Centre and radius, m, where every segment is an arc of one circle."""
    if any(each.via is None for each in loop):
        return None
    found = [arc_circle(each) for each in loop]
    circles = [(*centre, radius) for centre, radius, _, _ in found]
    apart = max(abs(a - b) for one in circles for a, b in zip(one, circles[0], strict=True))
    return circles[0] if apart < _SAME else None


def _bulge(each: Segment) -> float:
    """DXF bulge of a segment: tangent of a quarter of the arc's sweep, 0 for a line."""
    return 0.0 if each.via is None else math.tan(arc_circle(each)[3] / 4)
