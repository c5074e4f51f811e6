"""Binary STL: a closed surface as it lies on the bed, in mm."""

import numpy as np

from refledge.model.results import PartSpec, TriMesh
from refledge.outputs.normals import unit
from refledge.outputs.pose import in_millimetres, on_bed

_HEADER = 80
_RECORD = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])


def stl_bytes(spec: PartSpec, mesh: TriMesh) -> bytes:
    """One printed part as binary STL."""
    posed = on_bed(spec, mesh)
    corners = in_millimetres(posed)[posed.triangles]
    records = np.zeros(len(corners), dtype=_RECORD)
    records["corners"] = corners
    records["normal"] = unit(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]))
    header = f"Refledge part {spec.key}, mm".encode("ascii", "replace")[:_HEADER]
    count = np.array([len(corners)], dtype="<u4")
    return header.ljust(_HEADER, b"\0") + count.tobytes() + records.tobytes()
