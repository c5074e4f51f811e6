"""Closed triangle surfaces for tests: boxes, cylinders and rings, outward normals."""

import numpy as np

from refledge.model.results import TriMesh
from refledge.typed import Floats, Ints

_BOX_FACES = (
    (0, 2, 1), (0, 3, 2), (4, 5, 6), (4, 6, 7), (0, 1, 5), (0, 5, 4),
    (1, 2, 6), (1, 6, 5), (2, 3, 7), (2, 7, 6), (3, 0, 4), (3, 4, 7),
)  # fmt: skip


def box(length: float, width: float, height: float, start: tuple[float, float, float]) -> TriMesh:
    """A box with its least corner at ``start``, m."""
    unit = np.array(
        [(0, 0, 0), (1, 0, 0), (1, 1, 0), (0, 1, 0), (0, 0, 1), (1, 0, 1), (1, 1, 1), (0, 1, 1)],
        dtype=np.float64,
    )
    vertices = unit * np.array([length, width, height]) + np.array(start)
    return TriMesh(vertices, np.array(_BOX_FACES, dtype=np.int64))


def _circle(radius: float, height: float, n: int) -> Floats:
    angles = 2 * np.pi * np.arange(n) / n
    return np.column_stack(
        [radius * np.cos(angles), radius * np.sin(angles), np.full(n, height)]
    ).astype(np.float64)


def _strip(first: Ints, second: Ints) -> Ints:
    """Triangles between two rings of indices, normals to the right of first towards second."""
    after_first, after_second = np.roll(first, -1), np.roll(second, -1)
    return np.concatenate(
        [
            np.column_stack([first, after_first, after_second]),
            np.column_stack([first, after_second, second]),
        ]
    )


def ring(outer: float, bore: float, low: float, high: float, n: int = 48) -> TriMesh:
    """A flat ring between radii ``bore`` and ``outer`` and heights ``low`` and ``high``, m."""
    vertices = np.concatenate(
        [_circle(r, z, n) for r, z in ((outer, low), (outer, high), (bore, high), (bore, low))]
    )
    rings = [np.arange(n, dtype=np.int64) + k * n for k in range(4)]
    triangles = np.concatenate([_strip(rings[k], rings[(k + 1) % 4]) for k in range(4)])
    return TriMesh(vertices, triangles)


def cylinder(radius: float, low: float, high: float, n: int = 48) -> TriMesh:
    """A cylinder about z between heights ``low`` and ``high``, m."""
    vertices = np.concatenate(
        [_circle(radius, low, n), _circle(radius, high, n), [[0, 0, low], [0, 0, high]]]
    )
    bottom, top = np.arange(n, dtype=np.int64), np.arange(n, dtype=np.int64) + n
    caps = [
        np.column_stack([np.roll(bottom, -1), bottom, np.full(n, 2 * n)]),
        np.column_stack([top, np.roll(top, -1), np.full(n, 2 * n + 1)]),
    ]
    return TriMesh(vertices, np.concatenate([_strip(bottom, top), *caps]))
