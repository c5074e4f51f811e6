"""Normals at the corners of triangles: smooth over curved faces, sharp at creases."""

import numpy as np

from refledge.model.results import TriMesh
from refledge.typed import Floats, Ints

CREASE = np.deg2rad(30.0)  # sharper than this is drawn as an edge; our choice
_DIRECTIONS = 4000  # steps along each axis by which directions are told apart


def face_normals(mesh: TriMesh) -> Floats:
    """(m, 3): outward, with length twice the triangle's area, m2."""
    a, b, c = (mesh.vertices[mesh.triangles[:, k]] for k in range(3))
    normal: Floats = np.cross(b - a, c - a)
    return normal


def unit(vectors: Floats) -> Floats:
    """(..., 3) vectors of length 1; those of length 0 stay 0."""
    length = np.sqrt(np.einsum("...k,...k->...", vectors, vectors))[..., None]
    scaled: Floats = np.divide(vectors, length, out=np.zeros_like(vectors), where=length > 0)
    return scaled


def corner_normals(mesh: TriMesh) -> Floats:
    """(m, 3, 3): unit normal at each corner of each triangle.

    The area-weighted mean over the triangles around the vertex that lie within the crease angle.
    """
    weighted = face_normals(mesh)
    group, vertex = _groups(mesh.triangles, unit(weighted))
    weight = _summed(group, np.repeat(weighted, 3, axis=0), len(vertex))
    direction = unit(weight)
    mine, other = _pairs(vertex)
    near = np.einsum("ij,ij->i", direction[mine], direction[other]) >= np.cos(CREASE)
    total = _summed(mine[near], weight[other[near]], len(vertex))
    return unit(total)[group].reshape(-1, 3, 3)


def _groups(triangles: Ints, direction: Floats) -> tuple[Ints, Ints]:
    """Corners at one vertex that face one way: (3 m,) group of each corner, (k,) its vertex.

    A flat face puts a fan of many triangles on one vertex; as one group they cost nothing.
    """
    steps = np.round((direction + 1) * (_DIRECTIONS / 2)).astype(np.int64)
    facing = (steps[:, 0] * _DIRECTIONS + steps[:, 1]) * _DIRECTIONS + steps[:, 2]
    keys = triangles.ravel() * (2 * _DIRECTIONS**3) + np.repeat(facing, 3)
    unique, group = np.unique(keys, return_inverse=True)
    return group, unique // (2 * _DIRECTIONS**3)


def _summed(group: Ints, vectors: Floats, count: int) -> Floats:
    """(count, 3): sum of the vectors of each group."""
    return np.column_stack([np.bincount(group, vectors[:, k], count) for k in range(3)])


def _pairs(vertex: Ints) -> tuple[Ints, Ints]:
    """All ordered pairs of groups at one vertex, each with itself included; ``vertex`` rises."""
    _, start, count = np.unique(vertex, return_index=True, return_counts=True)
    sizes = np.repeat(count, count)
    first = np.repeat(np.arange(len(vertex)), sizes)
    within = np.arange(len(first)) - np.repeat(np.cumsum(sizes) - sizes, sizes)
    return first, np.repeat(np.repeat(start, count), sizes) + within
