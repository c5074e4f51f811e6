"""The set of thrusts and moments that the rotors can give: a zonotope, and what it holds."""

from itertools import combinations, product

import numpy as np

from refledge.errors import FlightError
from refledge.typed import Floats


def volume(allocation: Floats, most: Floats, least: Floats | None = None) -> float:
    """Volume of {B f : least <= f <= most} for ``allocation`` B (d, n), limits (n,), N.

    Sum over all d-subsets of columns of |det| (Shephard, Combinatorial properties of associated
    zonotopes, 1974; McMullen): here N (N m)^3 with d = 4.
    """
    sized = allocation * (most - (0.0 if least is None else least))
    d, n = sized.shape
    if n < d:
        return 0.0
    subsets = np.array(list(combinations(range(n), d)))
    parts = sized[:, subsets].transpose(1, 0, 2)  # (subsets, d, d)
    return float(np.sum(np.abs(np.linalg.det(parts))))


def corners(allocation: Floats, most: Floats) -> Floats:
    """(2^n, d): images of all corners of the box of thrusts; only for few rotors."""
    if len(most) > 12:
        raise FlightError(f"{len(most)} rotors have too many corners to list")
    box = np.array(list(product((0.0, 1.0), repeat=len(most)))) * most
    images: Floats = box @ allocation.T
    return images


def authority_index(allocation: Floats, most: Floats, wanted: Floats) -> float:
    """Available control authority index: signed distance of ``wanted`` (d,) from the nearest face.

    Positive inside the attainable set of ``allocation`` (d, n) and thrusts 0..``most`` (n,): then
    the trim can be held against a disturbance of that size in any direction; 0 or less: it cannot.
    Du, Quan, Yang and Cai, Controllability analysis for multirotor helicopter rotor degradation and
    failure, J. Guidance, Control and Dynamics 38 (2015) 978: least over all (d-1)-subsets of
    columns of |xi . B| most/2 - |xi . (centre - wanted)|, xi the unit normal of the subset. Subsets
    without a normal of their own are skipped. Units mix N and N m, as theirs do.
    """
    running = most > 0
    B, limits = allocation[:, running], most[running]
    d, n = B.shape
    if n < d or np.linalg.matrix_rank(B, tol=1e-9) < d:
        return 0.0
    middle = B @ (limits / 2)
    normals = _normals(B)
    reach = np.abs(normals @ B) @ (limits / 2)
    found = float(np.min(reach - np.abs(normals @ (middle - wanted))))
    return 0.0 if abs(found) < 1e-9 * float(np.max(limits)) else found


def _normals(B: Floats) -> Floats:
    """(k, d): unit normals of every (d-1)-subset of columns that has exactly one."""
    d, n = B.shape
    subsets = np.array(list(combinations(range(n), d - 1)))
    faces = B[:, subsets].transpose(1, 2, 0)  # (k, d-1, d)
    normals = np.empty((len(subsets), d))
    for column in range(d):  # generalised cross product, by cofactors
        minor = np.delete(faces, column, axis=2)
        normals[:, column] = (-1) ** column * np.linalg.det(minor)
    size = np.linalg.norm(normals, axis=1)
    scale = np.prod(np.linalg.norm(faces, axis=2), axis=1)
    unique = size > 1e-9 * scale
    kept: Floats = normals[unique] / size[unique, None]
    return kept
