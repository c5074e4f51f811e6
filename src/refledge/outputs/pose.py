"""A part's surface as it lies on the printer's bed."""

import numpy as np

from refledge.model.results import PartSpec, TriMesh
from refledge.typed import Floats

MILLIMETRES = 1000.0  # per metre: files for printers are in mm


def on_bed(spec: PartSpec, mesh: TriMesh) -> TriMesh:
    """``mesh`` turned by the part's print rotation, its least corner at the origin, m."""
    turned = mesh.vertices @ spec.print_rotation.T
    return TriMesh(turned - turned.min(axis=0), mesh.triangles)


def in_millimetres(mesh: TriMesh) -> Floats:
    """Vertices, (n, 3), mm, to the nanometre, so that the same part gives the same bytes."""
    rounded: Floats = np.round(mesh.vertices * MILLIMETRES, 6) + 0.0
    return rounded
