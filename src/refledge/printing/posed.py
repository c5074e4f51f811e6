"""Print figures of a part in one pose, its support included."""

import numpy as np

from refledge.model.printer import Printer
from refledge.model.results import TriMesh
from refledge.model.wishes import FrameWish
from refledge.printing.support import find_support
from refledge.printing.timing import PrintFigures, time_part
from refledge.typed import Floats

COLUMNS = 110
"""Columns along the longer side of a part in the search for support (a choice)."""


def time_posed(mesh: TriMesh, rotation: Floats, wish: FrameWish, printer: Printer) -> PrintFigures:
    """Figures of one copy; mesh in part axes (m), rotation (3, 3) from there to the bed, z up."""
    turned = mesh.vertices @ rotation.T
    posed = TriMesh(turned - turned.min(axis=0), mesh.triangles)
    step = float(np.ptp(posed.vertices[:, :2], axis=0).max()) / COLUMNS
    return time_part(posed, wish, printer, find_support(posed, step).plastic)
