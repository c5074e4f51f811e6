"""CPU kernels of coarser grids: the stiffness as blocks of a 27-point stencil, half of it stored.

``A`` (14, 9, n): block of each node with itself and with the 13 neighbours that come later in
memory; the other half is the transpose. Blocks that leave the grid are zero, so that rows and
planes may be walked as one flat line.
"""

# mypy: allow-untyped-defs, allow-untyped-calls, allow-untyped-decorators

import numpy as np
from numba import njit, prange

from refledge.voxels.cpu_fine import smoothed

_CHUNK = 1024  # nodes; slices of shorter ones cost as much as the work on them, by trial
_alone = njit(fastmath=True, nogil=True, cache=True)
_shared = njit(fastmath=True, nogil=True, cache=True, parallel=True)
HALF = tuple((d // 9 - 1, (d // 3) % 3 - 1, d % 3 - 1) for d in range(13, 27))
"""Offsets (x, y, z) of the stored blocks, the node itself first."""


@_alone
def _own(A, x, at, n, rows):
    """``rows`` (three of n) = sum of each node's row of blocks times its motion."""
    r0, r1, r2 = rows
    x0, x1, x2 = x[0, at : at + n], x[1, at : at + n], x[2, at : at + n]
    a, b, c = A[0, 0, at : at + n], A[0, 1, at : at + n], A[0, 2, at : at + n]
    d, e, f = A[0, 3, at : at + n], A[0, 4, at : at + n], A[0, 5, at : at + n]
    g, i, j = A[0, 6, at : at + n], A[0, 7, at : at + n], A[0, 8, at : at + n]
    for k in range(n):
        r0[k] = a[k] * x0[k] + b[k] * x1[k] + c[k] * x2[k]
        r1[k] = d[k] * x0[k] + e[k] * x1[k] + f[k] * x2[k]
        r2[k] = g[k] * x0[k] + i[k] * x1[k] + j[k] * x2[k]


@_alone
def _later(A, h, x, at, n, o, rows):
    """Add what neighbours ``o`` places later in memory do to ``n`` nodes from ``at``."""
    r0, r1, r2 = rows
    x0, x1, x2 = x[0, at : at + n], x[1, at : at + n], x[2, at : at + n]
    y0, y1, y2 = x[0, at + o : at + o + n], x[1, at + o : at + o + n], x[2, at + o : at + o + n]
    a, b, c = A[h, 0, at : at + n], A[h, 1, at : at + n], A[h, 2, at : at + n]
    d, e, f = A[h, 3, at : at + n], A[h, 4, at : at + n], A[h, 5, at : at + n]
    g, i, j = A[h, 6, at : at + n], A[h, 7, at : at + n], A[h, 8, at : at + n]
    for k in range(n):
        u, v, w = y0[k] - x0[k], y1[k] - x1[k], y2[k] - x2[k]
        r0[k] += a[k] * u + b[k] * v + c[k] * w
        r1[k] += d[k] * u + e[k] * v + f[k] * w
        r2[k] += g[k] * u + i[k] * v + j[k] * w


@_alone
def _earlier(A, h, x, at, n, o, rows):
    """The same of neighbours ``o`` places earlier, by the transposes of the blocks they store."""
    r0, r1, r2 = rows
    q = at - o
    x0, x1, x2 = x[0, at : at + n], x[1, at : at + n], x[2, at : at + n]
    y0, y1, y2 = x[0, q : q + n], x[1, q : q + n], x[2, q : q + n]
    a, b, c = A[h, 0, q : q + n], A[h, 1, q : q + n], A[h, 2, q : q + n]
    d, e, f = A[h, 3, q : q + n], A[h, 4, q : q + n], A[h, 5, q : q + n]
    g, i, j = A[h, 6, q : q + n], A[h, 7, q : q + n], A[h, 8, q : q + n]
    for k in range(n):
        u, v, w = y0[k] - x0[k], y1[k] - x1[k], y2[k] - x2[k]
        r0[k] += a[k] * u + d[k] * v + g[k] * w
        r1[k] += b[k] * u + e[k] * v + i[k] * w
        r2[k] += c[k] * u + f[k] * v + j[k] * w


@_alone
def _product(A, x, offsets, at, n, total, rows):
    """``rows`` (three of n) = A x of nodes at .. at + n."""
    r0, r1, r2 = rows
    _own(A, x, at, n, rows)
    for h in range(1, 14):
        o = offsets[h]
        m = min(n, total - o - at)
        if m > 0:
            _later(A, h, x, at, m, o, rows)
        s = max(0, o - at)  # the first place with an earlier neighbour
        if n > s:
            _earlier(A, h, x, at + s, n - s, o, (r0[s:n], r1[s:n], r2[s:n]))


@_shared
def row_sums(A, offsets, out):
    """``out`` (9, n) = sum over each node's row of blocks, its own among them, of ``A`` as built:
    own blocks first."""
    n = A.shape[2]
    for job in prange(9):
        q = np.int64(job)  # a parallel loop counts unsigned
        t = out[q]
        for k in range(n):
            t[k] = A[0, q, k]
        for h in range(1, 14):
            o = offsets[h]
            later, earlier = A[h, q], A[h, 3 * (q % 3) + q // 3]
            for k in range(n - o):
                t[k] += later[k]
                t[k + o] += earlier[k]


@_alone
def _chunk(mode, at, n, x, b, out, A, offsets, inverse, keep, step):
    r = np.empty((3, n), x.dtype)
    rows = (r[0], r[1], r[2])
    for case in range(len(x)):
        _product(A, x[case], offsets, at, n, x.shape[2], rows)
        if mode > 0:
            for c in range(3):
                e, f = rows[c], b[case, c, at : at + n]
                for k in range(n):
                    e[k] = f[k] - e[k]
        if mode == 2:
            smoothed(rows, n, at, inverse, keep, step, x[case], out[case])
        else:
            for c in range(3):
                out[case, c, at : at + n] = r[c]


@_shared
def stiffness(mode, x, b, out, A, offsets, inverse, keep, step):
    """A x, b - A x or a smoothing step, by ``mode``, of cases (k, 3, n)."""
    total = x.shape[2]
    for job in prange((total + _CHUNK - 1) // _CHUNK):
        at = np.int64(job) * _CHUNK  # a parallel loop counts unsigned
        _chunk(mode, at, min(_CHUNK, total - at), x, b, out, A, offsets, inverse, keep, step)


@_alone
def _restrict_plane(Ic, r, fine, coarse, out):
    FX, FY, FZ = fine
    _, CY, CZ = coarse
    line = np.empty(FZ, r.dtype)
    half = np.float32(0.5)
    for J in range(CY):
        line[:] = 0
        for dx in range(-1, 2):
            for dy in range(-1, 2):
                i, j = 2 * Ic + dx, 2 * J + dy
                if 0 <= i < FX and 0 <= j < FY:
                    w = np.float32((1 - 0.5 * abs(dx)) * (1 - 0.5 * abs(dy)))
                    row = r[(i * FY + j) * FZ : (i * FY + j + 1) * FZ]
                    for k in range(FZ):
                        line[k] += w * row[k]
        o = out[(Ic * CY + J) * CZ : (Ic * CY + J + 1) * CZ]
        for K in range(CZ):
            total = line[2 * K] if 2 * K < FZ else np.float32(0)
            if K > 0:
                total += half * line[2 * K - 1]
            if 2 * K + 1 < FZ:
                total += half * line[2 * K + 1]
            o[K] = total


@_shared
def restrict(r, fine, coarse, out):
    """P' r of cases: (k, 3, nodes) from dims ``fine`` to dims ``coarse``."""
    count = 3 * coarse[0]
    for job in prange(len(r) * count):
        case, c, Ic = (
            np.int64(job) // count,
            (np.int64(job) % count) // coarse[0],
            np.int64(job) % coarse[0],
        )
        _restrict_plane(Ic, r[case, c], fine, coarse, out[case, c])


@_alone
def _prolong_plane(i, c, v, coarse, fine, free, x):
    _, FY, FZ = fine
    _, CY, CZ = coarse
    half, size = np.float32(0.5), CY * CZ
    level, line = np.empty(size, x.dtype), np.empty(2 * CZ, x.dtype)
    low, high = v[i // 2 * size : (i // 2 + 1) * size], v[(i + 1) // 2 * size :]
    for k in range(size):
        level[k] = half * (low[k] + high[k])
    for j in range(FY):
        a, b = level[j // 2 * CZ : (j // 2 + 1) * CZ], level[(j + 1) // 2 * CZ :]
        for k in range(CZ - 1):
            this, following = half * (a[k] + b[k]), half * (a[k + 1] + b[k + 1])
            line[2 * k] = this
            line[2 * k + 1] = half * (this + following)
        line[2 * CZ - 2] = half * (a[CZ - 1] + b[CZ - 1])
        at = (i * FY + j) * FZ
        o, f = x[at : at + FZ], free[at : at + FZ]
        for k in range(FZ):
            o[k] += line[k] * ((f[k] >> c) & 1)


@_shared
def prolong(coarse_x, coarse, fine, free, x):
    """x += P coarse_x at free motions of cases: (k, 3, nodes)."""
    count = 3 * fine[0]
    for job in prange(len(x) * count):
        case, c, i = (
            np.int64(job) // count,
            (np.int64(job) % count) // fine[0],
            np.int64(job) % fine[0],
        )
        _prolong_plane(i, c, coarse_x[case, c], coarse, fine, free, x[case, c])
