"""The regular grid: cubes of one size, indexed [x, y, z] with z the fast axis in memory."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from refledge.errors import AnalysisError
from refledge.typed import Bools, Floats

Shape = tuple[int, int, int]
CORNERS: tuple[Shape, ...] = tuple((a >> 2, (a >> 1) & 1, a & 1) for a in range(8))
"""Corners of an element in their order everywhere: x slowest, z fastest."""


@dataclass(frozen=True)
class Grid:
    """``shape`` elements of edge ``spacing`` (m), the low corner of the first at ``origin`` (m)."""

    shape: Shape
    spacing: float
    origin: tuple[float, float, float] = (0.0, 0.0, 0.0)

    def __post_init__(self) -> None:
        if len(self.shape) != 3 or min(self.shape) < 1 or not self.spacing > 0:
            raise AnalysisError(
                f"grid of {self.shape} elements of {self.spacing:g} m: three counts of at least 1 "
                "and a spacing above 0 are needed"
            )

    @property
    def nodes(self) -> Shape:
        """Nodes along each axis."""
        return nodes_of(self.shape)

    @property
    def field(self) -> tuple[int, int, int, int]:
        """Shape of a vector field on nodes: (3, nx + 1, ny + 1, nz + 1)."""
        return (3, *self.nodes)

    @property
    def size(self) -> int:
        """Number of elements."""
        return int(np.prod(self.shape))

    def axes(self) -> tuple[Floats, Floats, Floats]:
        """Coordinates of the nodes along each axis, m, shaped to broadcast together."""
        lines = [
            o + self.spacing * np.arange(n) for o, n in zip(self.origin, self.nodes, strict=True)
        ]
        x, y, z = np.meshgrid(*lines, indexing="ij", sparse=True)
        return x, y, z

    def centres(self) -> tuple[Floats, Floats, Floats]:
        """Coordinates of the elements' centres along each axis, m, shaped to broadcast."""
        x, y, z = self.axes()
        half = self.spacing / 2
        return x[:-1] + half, y[:, :-1] + half, z[:, :, :-1] + half


def nodes_of(shape: Shape) -> Shape:
    """Nodes along each axis of a grid of ``shape`` elements."""
    return (shape[0] + 1, shape[1] + 1, shape[2] + 1)


def coarser(shape: Shape) -> Shape:
    """Elements of the grid of twice the spacing that covers ``shape``; odd counts round up."""
    return ((shape[0] + 1) // 2, (shape[1] + 1) // 2, (shape[2] + 1) // 2)


def at_corner(shape: Shape, corner: Shape) -> tuple[slice, slice, slice]:
    """Slices of a nodal array that give each element's node at ``corner``."""
    x, y, z = (slice(c, c + n) for c, n in zip(corner, shape, strict=True))
    return x, y, z


def bits_of(marked: Bools) -> NDArray[np.uint8]:
    """(nodes): bit c is set where component c of ``marked`` (3, nodes) is."""
    found = np.zeros(marked.shape[1:], np.uint8)
    for c in range(3):
        found |= marked[c].astype(np.uint8) << np.uint8(c)
    return found


def touching(nodes: Bools) -> Bools:
    """(nx, ny, nz): elements of at least one of the marked ``nodes``."""
    x, y, z = (n - 1 for n in nodes.shape)
    found = np.zeros((x, y, z), bool)
    for corner in CORNERS:
        found |= nodes[at_corner((x, y, z), corner)]
    return found


def touched(elements: Bools) -> Bools:
    """(nx + 1, ny + 1, nz + 1): nodes of at least one of the marked ``elements`` (nx, ny, nz)."""
    found = np.zeros(nodes_of(elements.shape), bool)
    for corner in CORNERS:
        found[at_corner(elements.shape, corner)] |= elements
    return found
