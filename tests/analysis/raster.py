"""Sections as pictures: area integrals and Saint-Venant torsion by finite elements on a grid.

Independent of the closed forms under test: it knows only which cells are material.
"""

from typing import NamedTuple

import numpy as np
from scipy import sparse
from scipy.sparse.linalg import spsolve


class Picture(NamedTuple):
    """Cells (rows from the top down, columns across) of size ``h``, True where material."""

    cells: np.ndarray
    h: float


def picture(width, depth, h, *voids):
    """Rectangle with rectangular voids (left, right, upper, lower), lengths in m from top left."""
    y = (np.arange(round(width / h)) + 0.5) * h
    z = (np.arange(round(depth / h)) + 0.5) * h
    cells = np.ones((len(z), len(y)), dtype=bool)
    for left, right, upper, lower in voids:
        inside = (z[:, None] > upper) & (z[:, None] < lower) & (y > left) & (y < right)
        cells &= ~inside
    return Picture(cells, h)


def bored(width, depth, bore, h):
    y = (np.arange(round(width / h)) + 0.5) * h - width / 2
    z = (np.arange(round(depth / h)) + 0.5) * h - depth / 2
    return Picture(z[:, None] ** 2 + y**2 > bore**2 / 4, h)


def area_integrals(p):
    """Area, centroid below the top, Iy, Iz (about the middle of the width)."""
    cell = p.h**2
    z = (np.arange(p.cells.shape[0]) + 0.5) * p.h
    y = (np.arange(p.cells.shape[1]) + 0.5 - p.cells.shape[1] / 2) * p.h
    rows, columns = p.cells.sum(axis=1), p.cells.sum(axis=0)
    area = cell * rows.sum()
    low = cell * (rows * z).sum() / area
    Iy = cell * (rows * ((z - low) ** 2 + p.h**2 / 12)).sum()
    Iz = cell * (columns * (y**2 + p.h**2 / 12)).sum()
    return area, low, Iy, Iz


def torsion_constant(p, closed=False):
    """Prandtl's stress function: laplacian -2, zero outside, constant over a closed void.

    Twice its volume is J. With ``closed`` all cells that are not material are one void.
    """
    rows, columns = p.cells.shape
    number = np.arange((rows + 1) * (columns + 1)).reshape(rows + 1, columns + 1)
    corners = np.stack([number[:-1, :-1], number[:-1, 1:], number[1:, 1:], number[1:, :-1]], -1)
    alias = number.ravel().copy()
    if closed:
        void = np.unique(corners[~p.cells])
        alias[void] = void[0]
        used = corners.reshape(-1, 4)
    else:
        used = corners[p.cells]
    edge = np.zeros_like(number, dtype=bool)
    edge[[0, -1], :] = edge[:, [0, -1]] = True
    if not closed:
        edge[np.isin(number, np.unique(corners[~p.cells]))] = True
    used = alias[used]
    block = np.array([[4, -1, -2, -1], [-1, 4, -1, -2], [-2, -1, 4, -1], [-1, -2, -1, 4]]) / 6
    size = number.size
    K = sparse.coo_array(
        (
            np.tile(block.ravel(), len(used)),
            (np.repeat(used, 4, 1).ravel(), np.tile(used, 4).ravel()),
        ),
        shape=(size, size),
    ).tocsr()
    f = np.bincount(used.ravel(), minlength=size) * p.h**2 / 2
    free = np.setdiff1d(np.unique(used), number[edge])
    return float(f[free] @ spsolve(K[free][:, free].tocsc(), f[free]))
