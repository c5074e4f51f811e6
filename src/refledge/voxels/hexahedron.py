"""The eight-node cube: stiffness, mass, and the stiffness in the modes of its three mirrors.

Zienkiewicz and Taylor, The Finite Element Method, trilinear brick, two Gauss points an axis.

An aligned orthotropic cube is its own mirror image in each axis. Sums (0) and differences (1) of
nodal values along x, y, z turn the 24 x 24 matrix into eight blocks of 3 x 3 (the group's
irreducible representations; Bossavit, Symmetry, groups and boundary value problems, 1986), which
costs a sixth of the arithmetic. Blocks are kept in four pairs that share sums and differences
along y and z: pair ``g`` holds the x motion of (y, z) parity g, the y motion of g with y's bit
turned and the z motion of g with z's bit turned.
"""

from dataclasses import dataclass

import numpy as np

from refledge.errors import AnalysisError
from refledge.typed import Floats
from refledge.voxels.grid import CORNERS

TURN = (0, 2, 1)
"""Which (y, z) parity bit each component turns within a pair."""
_LEFT_OVER = 1e-9  # relative size of couplings that the mirrors forbid


@dataclass(frozen=True, eq=False)
class Element:
    """One cube of edge ``spacing`` (m), fully dense."""

    spacing: float
    K: Floats
    """(3, 8, 3, 8), N/m: component and corner of force, component and corner of motion."""
    pairs: Floats
    """(4, 12), N/m: per pair two symmetric 3 x 3 blocks as upper triangles; the first has the
    difference along x for the x motion and sums for the others, the second the opposite."""
    diagonal: Floats
    """(6,), N/m: K of one corner with itself, xx, yy, zz, and xy, xz, yz for a corner whose signs
    along the two axes agree (the opposite where they differ)."""
    spread: float
    """Greatest eigenvalue of K scaled by its 3 x 3 diagonal blocks, a bound for any grid."""
    mass: float
    """kg."""


def element(C: Floats, rho: float, spacing: float) -> Element:
    """The cube of law ``C`` (6, 6), Pa, and density ``rho``, kg/m3."""
    K = stiffness(C, spacing)
    blocks = np.einsum("iaja->aij", K)
    scaled = np.einsum("aij,jakb->iakb", np.linalg.inv(blocks), K).reshape(24, 24)
    first = blocks[0]
    diagonal = np.array([first[i, j] for i, j in ((0, 0), (1, 1), (2, 2), (0, 1), (0, 2), (1, 2))])
    spread = float(np.linalg.eigvals(scaled).real.max())
    return Element(spacing, K, _pairs(K), diagonal, spread, rho * spacing**3)


def stiffness(C: Floats, spacing: float) -> Floats:
    """(3, 8, 3, 8), N/m, of law ``C`` (6, 6), Pa."""
    K = np.zeros((24, 24))
    for point in CORNERS:
        B = strains((2 * np.array(point) - 1) / np.sqrt(3), spacing).reshape(6, 24)
        K += B.T @ C @ B * (spacing / 2) ** 3
    return K.reshape(3, 8, 3, 8)


def strains(point: Floats, spacing: float) -> Floats:
    """(6, 3, 8), 1/m: strains at ``point`` (3,) in [-1, 1] by component and corner of motion."""
    signs = 2 * np.array(CORNERS) - 1
    values = (1 + signs * point) / 2
    slopes = signs / spacing
    dx, dy, dz = (
        slopes[:, a] * values[:, b] * values[:, c] for a, b, c in ((0, 1, 2), (1, 0, 2), (2, 0, 1))
    )
    B = np.zeros((6, 3, 8))
    B[0, 0], B[1, 1], B[2, 2] = dx, dy, dz
    B[3, 1], B[3, 2] = dz, dy
    B[4, 0], B[4, 2] = dz, dx
    B[5, 0], B[5, 1] = dy, dx
    return B


def modes() -> Floats:
    """(8, 8): row m gives the sum or difference of corner values with parity bits m (x, y, z)."""
    corners = np.array(CORNERS)
    return np.array([np.prod(np.where(np.array(m), 2 * corners - 1, 1), axis=1) for m in CORNERS])


def _pairs(K: Floats) -> Floats:
    H = modes()
    blocks = np.einsum("ma,iajb,nb->imjn", H, K, H) / 64
    pairs, rest = np.zeros((4, 12)), np.abs(blocks)
    for g in range(4):
        for half, across in enumerate(((4, 0, 0), (0, 4, 4))):
            place = [across[c] + (g ^ TURN[c]) for c in range(3)]
            upper = [(i, j) for i in range(3) for j in range(i, 3)]
            pairs[g, 6 * half : 6 * half + 6] = [blocks[i, place[i], j, place[j]] for i, j in upper]
            rest[np.ix_(range(3), place, range(3), place)] *= _other(3)
    if rest.max() > _LEFT_OVER * np.abs(blocks).max():
        raise AnalysisError("the elastic law is not aligned with the grid")
    return pairs


def _other(n: int) -> Floats:
    """(n, n, n, n): zero where component and place agree on both sides."""
    same = np.eye(n)
    return np.asarray(1 - np.einsum("ia,jb->iajb", same, same))
