"""The modeller itself, loaded on first use, and what the rest of the port shares."""

from collections.abc import Sequence
from dataclasses import dataclass
from importlib import import_module
from typing import Any

import numpy as np

from refledge.errors import GeometryError
from refledge.typed import Floats

MM = 1e3
"""Millimetres, the modeller's unit, to a metre."""


class _Library:
    """Modules of the modeller by name, loaded when first asked for."""

    def __getattr__(self, module: str) -> Any:
        found = import_module(f"OCP.{module}")
        setattr(self, module, found)  # asked for once
        return found


occ = _Library()


@dataclass(frozen=True, eq=False)
class Solid:
    """A closed body; what is inside belongs to the kernel that made it."""

    shape: Any


def point_of(p: Sequence[float]) -> Any:
    return occ.gp.gp_Pnt(*(float(each) * MM for each in p))


def vector_of(p: Any) -> Floats:
    return np.array([p.X(), p.Y(), p.Z()]) / MM


def parts_of(shape: Any, kind: str) -> list[Any]:
    top = occ.TopAbs.TopAbs_ShapeEnum
    explorer = occ.TopExp.TopExp_Explorer(shape, getattr(top, f"TopAbs_{kind}"))
    cast = getattr(occ.TopoDS.TopoDS, kind.capitalize())
    found = []
    while explorer.More():
        found.append(cast(explorer.Current()))
        explorer.Next()
    return found


def boolean(kind: str, arguments: Sequence[Solid], tools: Sequence[Solid]) -> Any:
    work = getattr(occ.BRepAlgoAPI, f"BRepAlgoAPI_{kind}")()
    for set_shapes, solids in ((work.SetArguments, arguments), (work.SetTools, tools)):
        shapes = occ.collections.List_TopoDS_Shape()
        for each in solids:
            shapes.Append(each.shape)
        set_shapes(shapes)
    work.Build()
    if not work.IsDone():
        raise GeometryError(f"the modeller could not {kind.lower()} {len(tools) + 1} bodies")
    return work.Shape()
