"""Results as VTU: the open XML format of unstructured meshes (VTK file formats), binary inline."""

import base64
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from refledge.solids.mesh import SolidMesh
from refledge.typed import Floats

_QUADRATIC_TETRA = 24
_KINDS = {"float64": "Float64", "int64": "Int64", "uint8": "UInt8"}


def vtu(mesh: SolidMesh, nodal: Mapping[str, Floats], cellwise: Mapping[str, Floats]) -> str:
    """The file's text. nodal: (n_nodes,) or (n_nodes, k); cellwise: (m,) or (m, k)."""
    cells = len(mesh.tets)
    lines = [
        '<?xml version="1.0"?>',
        '<VTKFile type="UnstructuredGrid" version="1.0" byte_order="LittleEndian"'
        ' header_type="UInt64">',
        "<UnstructuredGrid>",
        f'<Piece NumberOfPoints="{len(mesh.nodes)}" NumberOfCells="{cells}">',
        "<Points>",
        _array("points", mesh.nodes),
        "</Points>",
        "<Cells>",
        _array("connectivity", mesh.tets.ravel()),
        _array("offsets", 10 * np.arange(1, cells + 1)),
        _array("types", np.full(cells, _QUADRATIC_TETRA, np.uint8)),
        "</Cells>",
        "<PointData>",
        *(_array(name, values) for name, values in nodal.items()),
        "</PointData>",
        "<CellData>",
        *(_array(name, values) for name, values in cellwise.items()),
        "</CellData>",
        "</Piece>",
        "</UnstructuredGrid>",
        "</VTKFile>",
    ]
    return "\n".join(lines) + "\n"


def write_vtu(
    path: Path, mesh: SolidMesh, nodal: Mapping[str, Floats], cellwise: Mapping[str, Floats]
) -> None:
    """Write ``vtu`` to ``path``."""
    path.write_text(vtu(mesh, nodal, cellwise))


def at_all_nodes(mesh: SolidMesh, corners: Floats) -> Floats:
    """(n_nodes, ...): values (n_corners, ...) with the mean of both ends at mid-edges."""
    whole = np.zeros((len(mesh.nodes), *corners.shape[1:]))
    whole[: len(corners)] = corners
    for middle, (a, b) in enumerate(((0, 1), (1, 2), (2, 0), (0, 3), (1, 3), (2, 3))):
        whole[mesh.tets[:, 4 + middle]] = (corners[mesh.tets[:, a]] + corners[mesh.tets[:, b]]) / 2
    return whole


def _array(name: str, values: NDArray[Any]) -> str:
    kind = _KINDS[str(values.dtype)]
    raw = np.ascontiguousarray(values).astype(values.dtype.newbyteorder("<")).tobytes()
    data = base64.b64encode(np.uint64(len(raw)).tobytes() + raw).decode()
    width = 1 if values.ndim == 1 else values.shape[1]
    return (
        f'<DataArray type="{kind}" Name="{name}" NumberOfComponents="{width}"'
        f' format="binary">{data}</DataArray>'
    )
