"""CPU kernels that build the coarser stiffness P' A P, in fp64 whatever it is stored in.

From the given grid each coarse element sums its eight children, whose interpolated matrices are
known beforehand, a row of elements at a time; where motion is held among them it is interpolated
child by child. A stored stencil is coarsened one axis after the other, a plane at a time.
"""

# mypy: allow-untyped-defs, allow-untyped-calls, allow-untyped-decorators

import numpy as np
from numba import njit, prange

from refledge.typed import Floats, Ints
from refledge.voxels.grid import CORNERS

_alone = njit(fastmath=True, nogil=True, cache=True)
_shared = njit(fastmath=True, nogil=True, cache=True, parallel=True)


def children(K: Floats, half: Ints) -> tuple[Floats, Floats, Ints]:
    """What ``first`` needs of the element's ``K`` (3, 8, 3, 8).

    Weights (8, 8, 8): child, its corner, corner of its parent. Values (8, pairs, 9): each child's
    blocks between pairs of the parent's corners. Pairs (pairs, 3): corner, corner and the place
    ``half`` (3, 3, 3) of their offset among the stored blocks.
    """
    corners = np.array(CORNERS)
    at = (corners[:, None, :] + corners[None, :, :])[:, :, None, :]  # 0, 1, 2 along the parent
    weights = np.prod(1 - 0.5 * np.abs(at - 2 * corners), axis=-1)
    seen = np.einsum("eap,iajb,ebq->eipjq", weights, K, weights)
    apart = corners[None, :] - corners[:, None] + 1
    place = half[apart[..., 0], apart[..., 1], apart[..., 2]]
    a, b = np.nonzero(place >= 0)
    values = seen[:, :, a, :, b].transpose(1, 0, 2, 3).reshape(8, len(a), 9)  # pairs come first
    return weights, np.ascontiguousarray(values), np.column_stack((a, b, place[a, b]))


@_alone
def _near_held(i, j, k, free, fine):
    """Whether motion is held at a node of the coarse element whose first child is (i, j, k)."""
    FX, FY, FZ = fine
    for x in range(i, min(i + 3, FX)):
        for y in range(j, min(j + 3, FY)):
            for z in range(k, min(k + 3, FZ)):
                if free[(x * FY + y) * FZ + z] != 7:
                    return True
    return False


@_alone
def _by_child(i, j, k, scale, free, K, weights, fine, E):
    """E (3, 8, 3, 8) of one coarse element with held motions left out."""
    FX, FY, FZ = fine
    E[:] = 0
    f = np.empty(8, np.uint8)
    for e in range(8):
        x, y, z = i + (e >> 2), j + ((e >> 1) & 1), k + (e & 1)
        if x >= FX - 1 or y >= FY - 1 or z >= FZ - 1:
            continue
        s = np.float64(scale[(x * FY + y) * FZ + z])
        if s == 0:
            continue
        for a in range(8):
            f[a] = free[((x + (a >> 2)) * FY + y + ((a >> 1) & 1)) * FZ + z + (a & 1)]
        for c in range(3):
            for d in range(3):
                for a in range(8):
                    for b in range(8):
                        if (f[a] >> c) & 1 and (f[b] >> d) & 1:
                            for p in range(8):
                                g = s * K[c, a, d, b] * weights[e, a, p]
                                if g != 0:
                                    for q in range(8):
                                        E[c, p, d, q] += g * weights[e, b, q]


@_alone
def _first_plane(Ic, scale, free, K, weights, values, pairs, fine, coarse, A):
    FX, FY, FZ = fine
    _, CY, CZ = coarse
    s, E = np.zeros((8, CZ)), np.empty((3, 8, 3, 8))
    n = CZ - 1
    for J in range(CY - 1):
        s[:] = 0
        for e in range(8):
            i, j, k = 2 * Ic + (e >> 2), 2 * J + ((e >> 1) & 1), e & 1
            if i < FX - 1 and j < FY - 1:
                row = scale[(i * FY + j) * FZ : (i * FY + j + 1) * FZ]
                for L in range((FZ - k) // 2):
                    s[e, L] = row[2 * L + k]
        for L in range(n):
            if _near_held(2 * Ic, 2 * J, 2 * L, free, fine):
                s[:, L] = 0
                _by_child(2 * Ic, 2 * J, 2 * L, scale, free, K, weights, fine, E)
                for p in range(len(pairs)):
                    a, b, h = pairs[p]
                    at = ((Ic + (a >> 2)) * CY + J + ((a >> 1) & 1)) * CZ + (a & 1) + L
                    for q in range(9):
                        A[h, q, at] += E[q // 3, a, q % 3, b]
        for p in range(len(pairs)):
            a, b, h = pairs[p]
            at = ((Ic + (a >> 2)) * CY + J + ((a >> 1) & 1)) * CZ + (a & 1)
            for q in range(9):
                v0, v1, v2, v3 = values[0, p, q], values[1, p, q], values[2, p, q], values[3, p, q]
                v4, v5, v6, v7 = values[4, p, q], values[5, p, q], values[6, p, q], values[7, p, q]
                o = A[h, q, at : at + n]
                for L in range(n):
                    o[L] += (
                        v0 * s[0, L] + v1 * s[1, L] + v2 * s[2, L] + v3 * s[3, L]
                        + v4 * s[4, L] + v5 * s[5, L] + v6 * s[6, L] + v7 * s[7, L]
                    )  # fmt: skip


@_shared
def first(scale, free, K, weights, values, pairs, fine, coarse, A):
    """A (14, 9, nodes) of the coarse grid from ``scale`` and ``free`` (fine nodes, flat)."""
    for colour in range(2):  # planes of elements that share no node run together
        for job in prange((coarse[0] - colour) // 2):
            Ic = 2 * np.int64(job) + colour  # a parallel loop counts unsigned
            _first_plane(Ic, scale, free, K, weights, values, pairs, fine, coarse, A)


def combinations() -> Floats:
    """(13, 4): along one axis, from a fine node f in -1..1 about a coarse node and its neighbour
    f + o, the share that goes to the block with coarse neighbour X: rows f, o, X, weight."""
    found = []
    for f in (-1, 0, 1):
        for o in (-1, 0, 1):
            g = f + o
            shares = ((g // 2, 1.0),) if g % 2 == 0 else ((g // 2, 0.5), (g // 2 + 1, 0.5))
            own = 0.5 if f else 1.0
            found += [(f, o, X, own * w) for X, w in shares if abs(X) <= 1]
    return np.array(found)


@_alone
def _along_x(Ic, A, half, table, fine, B):
    """B (2, 3, 3, 9, plane): x coarsened at coarse plane Ic, blocks towards X = 0 and 1."""
    FX, FY, FZ = fine
    plane = FY * FZ
    B[:] = 0
    for row in range(len(table)):
        f, o, X = int(table[row, 0]), int(table[row, 1]), int(table[row, 2])
        x = 2 * Ic + f
        if X < 0 or x < 0 or x >= FX or x + o < 0 or x + o >= FX:
            continue
        w = table[row, 3]
        for y in range(3):
            for z in range(3):
                h = half[o + 1, y, z]
                step = 0 if h >= 0 else (o * FY + y - 1) * FZ + z - 1
                low, high = x * plane + step, (x + 1) * plane + step
                if h < 0:
                    h = half[1 - o, 2 - y, 2 - z]
                    cut = max(0, -low)
                    for q in range(9):
                        s = A[h, 3 * (q % 3) + q // 3, low + cut : min(high, A.shape[2])]
                        t = B[X, y, z, q, cut:]
                        for k in range(len(s)):
                            t[k] += w * s[k]
                else:
                    for q in range(9):
                        s, t = A[h, q, low:high], B[X, y, z, q]
                        for k in range(plane):
                            t[k] += w * s[k]


@_alone
def _along_y(J, B, table, fine, D):
    """D (2, 3, 3, 9, FZ): y coarsened at coarse row J, by X, Y and the offset along z."""
    _, FY, FZ = fine
    D[:] = 0
    for row in range(len(table)):
        f, o, Y = int(table[row, 0]), int(table[row, 1]), int(table[row, 2])
        y = 2 * J + f
        if y < 0 or y >= FY or y + o < 0 or y + o >= FY:
            continue
        w = table[row, 3]
        for X in range(2):
            for z in range(3):
                for q in range(9):
                    s, t = B[X, o + 1, z, q, y * FZ : (y + 1) * FZ], D[X, Y + 1, z, q]
                    for k in range(FZ):
                        t[k] += w * s[k]


@_alone
def _along_z(at, D, half, table, FZ, CZ, out):
    for row in range(len(table)):
        f, o, Z = int(table[row, 0]), int(table[row, 1]), int(table[row, 2])
        w = table[row, 3]
        for X in range(2):
            for Y in range(3):
                h = half[X + 1, Y, Z + 1]
                if h < 0:
                    continue
                for q in range(9):
                    s, t = D[X, Y, o + 1, q], out[h, q, at : at + CZ]
                    for K in range(1 if f < 0 else 0, CZ):
                        k = 2 * K + f
                        if k < FZ and 0 <= k + o < FZ:
                            t[K] += w * s[k]


@_alone
def _following_plane(Ic, A, half, table, fine, coarse, out):
    _, FY, FZ = fine
    _, CY, CZ = coarse
    B, D = np.empty((2, 3, 3, 9, FY * FZ)), np.empty((2, 3, 3, 9, FZ))
    _along_x(Ic, A, half, table, fine, B)
    for J in range(CY):
        _along_y(J, B, table, fine, D)
        _along_z((Ic * CY + J) * CZ, D, half, table, FZ, CZ, out)


@_shared
def following(A, half, table, fine, coarse, out):
    """Add to ``out`` (14, 9, coarse nodes) what the stencil ``A`` (14, 9, fine nodes) gives."""
    for plane in prange(coarse[0]):
        _following_plane(np.int64(plane), A, half, table, fine, coarse, out)
