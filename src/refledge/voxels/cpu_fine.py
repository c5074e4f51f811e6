"""CPU kernels of the given grid: stiffness times motion without a stored matrix.

Work goes in tiles of one (y, z) plane, flat and with padding elements of no stiffness, marched
along x. A tile's scratch holds, for two planes of nodes, sums and differences along y and z (see
``hexahedron``); a layer of elements couples two planes; then the sums and differences are undone.
Everything inner is a loop over unit strides of one scratch array, which compilers turn into vector
code; indices into slices start at 0 so that no index can be negative.
"""

# mypy: allow-untyped-defs, allow-untyped-calls, allow-untyped-decorators

import numba
import numpy as np
from numba import get_thread_id, njit, prange  # type: ignore[attr-defined]

from refledge.voxels.backend import Array

WIDTH = 4176
"""Scratch places of one row: tile and its rim. Not a multiple of the cache's set size."""
_LONG = 2000  # nodes of a tile; shorter ones work their rims twice, by trial 5 to 15 % slower
_ROWS = 53  # 2 x 12 motions, 2 x 12 forces, 2 in between, 3 results
_TURN = (0, 2, 1)
_alone = njit(fastmath=True, nogil=True, cache=True)
_shared = njit(fastmath=True, nogil=True, cache=True, parallel=True)
APPLY, RESIDUAL, SMOOTH = 0, 1, 2


def scratch(dtype: type) -> Array:
    """(threads, places) to hand to the kernels."""
    threads: int = numba.config.NUMBA_NUM_THREADS  # type: ignore[attr-defined]
    return np.zeros((threads, _ROWS * WIDTH), dtype)


def tiles(nodes: tuple[int, int, int], threads: int) -> tuple[int, int]:
    """Length of a tile in nodes of one plane, and number of slabs along x."""
    plane, rim = nodes[1] * nodes[2], nodes[2] + 2
    longest = min(WIDTH - 2 * rim, max(_LONG, 8 * rim))
    count = -(-plane // longest)
    slabs = 1 if count % threads == 0 else threads
    return -(-plane // count), max(1, min(slabs, nodes[0] // 8))


@_alone
def _lift(u, start, row, n, s, base):
    """Sums and differences along z then y of three components, ``n`` places from ``start``."""
    m = n + row
    a, b = s[48 * WIDTH : 48 * WIDTH + m], s[49 * WIDTH : 49 * WIDTH + m]
    for c in range(3):
        v = u[c, start : start + m + 1]
        for k in range(m):
            x, y = v[k], v[k + 1]
            a[k] = x + y
            b[k] = y - x
        for z in range(2):
            t = s[(48 + z) * WIDTH : (48 + z) * WIDTH + m]
            f = base + ((z ^ _TURN[c]) * 3 + c) * WIDTH
            g = base + (((2 + z) ^ _TURN[c]) * 3 + c) * WIDTH
            p, q = s[f : f + n], s[g : g + n]
            for k in range(n):
                x, y = t[k], t[row + k]
                p[k] = x + y
                q[k] = y - x


@_alone
def _couple(s, n, near, far, here, there, scale, pairs):
    """One layer of elements: add its forces to plane ``here``, set those on plane ``there``."""
    W = WIDTH
    for g in range(4):
        a0, a1, a2, a3, a4, a5, b0, b1, b2, b3, b4, b5 = pairs[g]
        o, w = 3 * g * W, 3 * W
        L, R = s[near + o : near + o + w], s[far + o : far + o + w]
        P, Q = s[here + o : here + o + w], s[there + o : there + o + w]
        for k in range(n):
            f = scale[k]
            x0, x1, y0, y1 = L[k], R[k], L[W + k], R[W + k]
            z0, z1 = L[2 * W + k], R[2 * W + k]
            xd, xs, yd, ys = (x1 - x0) * f, (x0 + x1) * f, (y1 - y0) * f, (y0 + y1) * f
            zd, zs = (z1 - z0) * f, (z0 + z1) * f
            fxd = a0 * xd + a1 * ys + a2 * zs
            fys = a1 * xd + a3 * ys + a4 * zs
            fzs = a2 * xd + a4 * ys + a5 * zs
            fxs = b0 * xs + b1 * yd + b2 * zd
            fyd = b1 * xs + b3 * yd + b4 * zd
            fzd = b2 * xs + b4 * yd + b5 * zd
            P[k] += fxs - fxd
            P[W + k] += fys - fyd
            P[2 * W + k] += fzs - fzd
            Q[k] = fxs + fxd
            Q[W + k] = fys + fyd
            Q[2 * W + k] = fzs + fzd


@_alone
def _drop(s, n, row, base):
    """Forces of ``n`` nodes into the result rows: the transpose of ``_lift``."""
    m = n + row
    for c in range(3):
        for y in range(2):
            f = base + ((2 * y ^ _TURN[c]) * 3 + c) * WIDTH
            g = base + (((2 * y + 1) ^ _TURN[c]) * 3 + c) * WIDTH
            p, q = s[f : f + m + 1], s[g : g + m + 1]
            t = s[(48 + y) * WIDTH : (48 + y) * WIDTH + m]
            for k in range(m):
                t[k] = p[k + 1] - q[k + 1] + p[k] + q[k]
        a, b = s[48 * WIDTH : 48 * WIDTH + m], s[49 * WIDTH : 49 * WIDTH + m]
        v = s[(50 + c) * WIDTH : (50 + c) * WIDTH + n]
        for k in range(n):
            v[k] = a[row + k] - b[row + k] + a[k] + b[k]


@_alone
def _store(s, n, at, free, out):
    """A x of the free motions."""
    for c in range(3):
        v, o = s[(50 + c) * WIDTH : (50 + c) * WIDTH + n], out[c, at : at + n]
        f = free[at : at + n]
        for k in range(n):
            o[k] = v[k] * ((f[k] >> c) & 1)


@_alone
def _store_residual(s, n, at, b, free, out):
    for c in range(3):
        v, o = s[(50 + c) * WIDTH : (50 + c) * WIDTH + n], out[c, at : at + n]
        f, r = free[at : at + n], b[c, at : at + n]
        for k in range(n):
            o[k] = (r[k] - v[k]) * ((f[k] >> c) & 1)


@_alone
def smoothed(r, n, at, inverse, keep, step, x, out):
    """out = x + keep (x - out) + step D r, where ``r`` holds three rows of ``n``."""
    rx, ry, rz = r
    for c in range(3):
        i, j, k_ = ((0, 3, 4), (3, 1, 5), (4, 5, 2))[c]
        p, q = inverse[i, at : at + n], inverse[j, at : at + n]
        t = inverse[k_, at : at + n]
        o, y = out[c, at : at + n], x[c, at : at + n]
        for k in range(n):
            new = step * (p[k] * rx[k] + q[k] * ry[k] + t[k] * rz[k])
            o[k] = y[k] + keep * (y[k] - o[k]) + new


@_alone
def _store_smoothed(s, n, at, b, inverse, keep, step, x, out):
    for c in range(3):
        v, r = s[(50 + c) * WIDTH : (50 + c) * WIDTH + n], b[c, at : at + n]
        for k in range(n):
            v[k] = r[k] - v[k]
    W = WIDTH
    rows = (s[50 * W : 50 * W + n], s[51 * W : 51 * W + n], s[52 * W : 52 * W + n])
    smoothed(rows, n, at, inverse, keep, step, x, out)


@_alone
def _tile(mode, x, b, out, scale, pairs, free, inverse, keep, step, dims, t0, t1, i0, i1, s):
    NX, NY, NZ = dims
    plane, rim, n = NY * NZ, NZ + 1, t1 - t0
    e0 = t0 - rim
    low, high = max(0, -e0), min(n + rim, plane - rim - e0)
    m = high - low
    near, far, here, there = 0, 12 * WIDTH, 24 * WIDTH, 36 * WIDTH
    for f in range(24, 48):
        s[f * WIDTH : f * WIDTH + n + rim + 1] = 0
    first = max(i0 - 1, 0)
    if m > 0:
        _lift(x, first * plane + e0 + low, NZ, m, s, near + low)
    for i in range(first, i1):
        if i + 1 < NX and m > 0:
            at = i * plane + e0 + low
            _lift(x, at + plane, NZ, m, s, far + low)
            _couple(s, m, near + low, far + low, here + low, there + low, scale[at : at + m], pairs)
        if i >= i0:
            _drop(s, n, NZ, here)
            at = i * plane + t0
            if mode == 0:
                _store(s, n, at, free, out)
            elif mode == 1:
                _store_residual(s, n, at, b, free, out)
            else:
                _store_smoothed(s, n, at, b, inverse, keep, step, x, out)
        near, far = far, near
        here, there = there, here


@_shared
def stiffness(mode, x, b, out, scale, pairs, free, inverse, keep, step, dims, tile, slabs, scratch):
    """A x, b - A x or a smoothing step, by ``mode``, of cases (k, 3, n); dims are nodes."""
    plane = dims[1] * dims[2]
    count = (plane + tile - 1) // tile
    for job in prange(count * slabs):
        t, slab = np.int64(job) // slabs, np.int64(job) % slabs
        i0, i1 = dims[0] * slab // slabs, dims[0] * (slab + 1) // slabs
        s = scratch[get_thread_id()]
        for k in range(len(x)):
            _tile(
                mode, x[k], b[k], out[k], scale, pairs, free, inverse, keep, step, dims,
                t * tile, min(plane, (t + 1) * tile), i0, i1, s,
            )  # fmt: skip


@_shared
def energies(u, v, pairs, dims, scratch, out):
    """u' K v of each element at scale 1: (k, nodes) with places of no element left as they are."""
    NX, NY, NZ = dims
    W, plane = WIDTH, NY * NZ
    length = min(W - NZ - 2, plane - NZ - 1)
    count = (plane - NZ - 1 + length - 1) // length
    for job in prange(count * (NX - 1)):
        i, t = np.int64(job) // count, np.int64(job) % count
        s = scratch[get_thread_id()]
        n = min(length, plane - NZ - 1 - t * length)
        at = i * plane + t * length
        for c in range(len(u)):
            _lift(u[c], at, NZ, n, s, 0)
            _lift(u[c], at + plane, NZ, n, s, 12 * W)
            _lift(v[c], at, NZ, n, s, 24 * W)
            _lift(v[c], at + plane, NZ, n, s, 36 * W)
            e = out[c, at : at + n]
            e[:] = 0
            for g in range(4):
                a0, a1, a2, a3, a4, a5, b0, b1, b2, b3, b4, b5 = pairs[g]
                o = 3 * g * W
                L, R = s[o : o + 3 * W], s[12 * W + o : 12 * W + o + 3 * W]
                P, Q = s[24 * W + o : 24 * W + o + 3 * W], s[36 * W + o : 36 * W + o + 3 * W]
                for k in range(n):
                    xd, xs, yd, ys = (
                        R[k] - L[k],
                        R[k] + L[k],
                        R[W + k] - L[W + k],
                        R[W + k] + L[W + k],
                    )
                    zd, zs = R[2 * W + k] - L[2 * W + k], R[2 * W + k] + L[2 * W + k]
                    Xd, Xs, Yd, Ys = (
                        Q[k] - P[k],
                        Q[k] + P[k],
                        Q[W + k] - P[W + k],
                        Q[W + k] + P[W + k],
                    )
                    Zd, Zs = Q[2 * W + k] - P[2 * W + k], Q[2 * W + k] + P[2 * W + k]
                    e[k] += (
                        (a0 * xd + a1 * ys + a2 * zs) * Xd
                        + (a1 * xd + a3 * ys + a4 * zs) * Ys
                        + (a2 * xd + a4 * ys + a5 * zs) * Zs
                        + (b0 * xs + b1 * yd + b2 * zd) * Xs
                        + (b1 * xs + b3 * yd + b4 * zd) * Yd
                        + (b2 * xs + b4 * yd + b5 * zd) * Zd
                    )
