"""Vertical columns through a closed triangle surface: where each enters and leaves the body."""

from dataclasses import dataclass

import numba
import numpy as np

from refledge.errors import GeometryError
from refledge.typed import Bools, Floats, Ints

_SHIFT = (0.00137, 0.00091)
"""Share of a step by which the columns are moved, so that none runs along an edge of the mesh."""


@dataclass(frozen=True, eq=False)
class Columns:
    """Crossings of vertical lines with a closed surface, lowest first in each column."""

    origin: Floats
    """(2,), m, corner of the first cell."""
    step: float
    """m, side of a cell; the line runs through its middle."""
    shape: tuple[int, int]
    """Cells along x and y."""
    starts: Ints
    """(nx * ny + 1,): crossings of column ``i * ny + j`` are ``starts[c] : starts[c + 1]``."""
    heights: Floats
    """(n_crossings,), m."""
    rises: Floats
    """(n_crossings,), z of the surface's unit normal there: below 0 where the body is entered."""

    @property
    def counts(self) -> Ints:
        """(nx, ny), crossings of each column; always even."""
        return np.diff(self.starts).reshape(self.shape)

    @property
    def inside(self) -> tuple[Ints, Floats, Floats]:
        """Column number, bottom and top (m) of every stretch inside: (n_crossings / 2,) each."""
        column = np.repeat(np.arange(len(self.starts) - 1), np.diff(self.starts))
        return column[::2], self.heights[::2], self.heights[1::2]


def cast_columns(vertices: Floats, triangles: Ints, step: float) -> Columns:
    """Cross the surface with a grid of vertical lines ``step`` m apart.

    vertices: (n, 3), m; triangles: (m, 3), closed, outward. Raises GeometryError where a column
    is entered and not left: the surface is open or overlaps itself.
    """
    low, high = vertices[:, :2].min(axis=0), vertices[:, :2].max(axis=0)
    cells = np.maximum(np.ceil((high - low) / step).astype(int), 1)
    origin = (low + high) / 2 - cells * step / 2
    return cast_on(vertices, triangles, origin, step, (int(cells[0]), int(cells[1])))


def cast_on(
    vertices: Floats, triangles: Ints, origin: Floats, step: float, cells: tuple[int, int]
) -> Columns:
    """The same on given ``cells`` along x and y, the first with its corner at ``origin`` (2,), m.

    What lies beside the cells is not seen.
    """
    first = origin + step * (0.5 + np.array(_SHIFT))
    corners = np.ascontiguousarray(vertices[triangles], dtype=float)
    rises = _rises(corners)
    column, height, rise = _crossings(corners, rises, first, step, cells[0], cells[1])
    order = np.lexsort((height, column))
    counts = np.bincount(column, minlength=cells[0] * cells[1])
    if np.any(counts % 2):
        raise GeometryError("the surface is not closed: a line enters the body and never leaves it")
    starts = np.concatenate([[0], np.cumsum(counts)])
    return Columns(origin, step, cells, starts, height[order], rise[order])


def filled(columns: Columns, heights: Floats) -> Bools:
    """Which cells lie in the body at each of ``heights`` (nz,), m, rising: (nx, ny, nz)."""
    column, bottom, top = columns.inside
    steps = np.zeros((len(columns.starts) - 1, len(heights) + 1), dtype=np.int32)
    np.add.at(steps, (column, np.searchsorted(heights, bottom)), 1)
    np.add.at(steps, (column, np.searchsorted(heights, top)), -1)
    return (np.cumsum(steps[:, :-1], axis=1) > 0).reshape(*columns.shape, len(heights))


def _rises(corners: Floats) -> Floats:
    """z of each triangle's unit normal, (m,)."""
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    length = np.linalg.norm(normal, axis=1)
    return np.asarray(normal[:, 2] / np.where(length > 0.0, length, 1.0))


@numba.njit(cache=True)
def _crossings(
    corners: Floats, rises: Floats, first: Floats, step: float, nx: int, ny: int
) -> tuple[Ints, Floats, Floats]:
    """Every crossing as column number, height and rise; two passes: count, then fill."""
    total = 0
    for sweep in range(2):
        if sweep == 1:
            column = np.empty(total, np.int64)
            height = np.empty(total)
            rise = np.empty(total)
        found = 0
        for t in range(corners.shape[0]):
            ax, ay, az = corners[t, 0]
            bx, by, bz = corners[t, 1]
            cx, cy, cz = corners[t, 2]
            area = (bx - ax) * (cy - ay) - (cx - ax) * (by - ay)
            if area == 0.0:
                continue
            i0 = max(0, int(np.ceil((min(ax, bx, cx) - first[0]) / step)))
            i1 = min(nx - 1, int(np.floor((max(ax, bx, cx) - first[0]) / step)))
            j0 = max(0, int(np.ceil((min(ay, by, cy) - first[1]) / step)))
            j1 = min(ny - 1, int(np.floor((max(ay, by, cy) - first[1]) / step)))
            for i in range(i0, i1 + 1):
                x = first[0] + step * i
                for j in range(j0, j1 + 1):
                    y = first[1] + step * j
                    u = ((bx - x) * (cy - y) - (cx - x) * (by - y)) / area
                    v = ((cx - x) * (ay - y) - (ax - x) * (cy - y)) / area
                    w = 1.0 - u - v
                    if u < 0.0 or v < 0.0 or w < 0.0:
                        continue
                    if sweep == 1:
                        column[found] = i * ny + j
                        height[found] = u * az + v * bz + w * cz
                        rise[found] = rises[t]
                    found += 1
        total = found
    return column, height, rise
