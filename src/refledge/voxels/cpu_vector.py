"""CPU kernels on whole fields: inner products in fp64, updates of conjugate gradients, windows.

Sums are taken over fixed chunks, and of those in order by the caller: a sum inside a parallel
kernel would depend on the number of threads.
"""

# mypy: allow-untyped-defs, allow-untyped-calls, allow-untyped-decorators

import numpy as np
from numba import njit, prange

_CHUNK = 8192
_alone = njit(fastmath=True, nogil=True, cache=True)
_shared = njit(fastmath=True, nogil=True, cache=True, parallel=True)


@_alone
def _dot(a, b):
    total = 0.0
    for k in range(len(a)):
        total += np.float64(a[k]) * np.float64(b[k])
    return total


@_shared
def dots(a, b):
    """(k, chunks): parts of the inner products of fields (k, n)."""
    cases, n = a.shape
    count = (n + _CHUNK - 1) // _CHUNK
    parts = np.zeros((cases, count))
    for job in prange(cases * count):
        case, at = np.int64(job) // count, (np.int64(job) % count) * _CHUNK
        parts[case, at // _CHUNK] = _dot(a[case, at : at + _CHUNK], b[case, at : at + _CHUNK])
    return parts


@_alone
def _turn(z, beta, p):
    for k in range(len(p)):
        p[k] = z[k] + beta * p[k]


@_shared
def turn(z, beta, p):
    """p = z + beta p of fields (k, n)."""
    cases, n = p.shape
    count = (n + _CHUNK - 1) // _CHUNK
    for job in prange(cases * count):
        case, at = np.int64(job) // count, (np.int64(job) % count) * _CHUNK
        _turn(z[case, at : at + _CHUNK], beta[case], p[case, at : at + _CHUNK])


@_alone
def _advance(alpha, p, q, x, r):
    total = 0.0
    for k in range(len(p)):
        x[k] += alpha * p[k]
        new = r[k] - alpha * q[k]
        r[k] = new
        total += np.float64(new) * np.float64(new)
    return total


@_shared
def advance(alpha, p, q, x, r):
    """x += alpha p; r -= alpha q; (k, chunks) squares of r, of fields (k, n)."""
    cases, n = p.shape
    count = (n + _CHUNK - 1) // _CHUNK
    parts = np.zeros((cases, count))
    for job in prange(cases * count):
        case, at = np.int64(job) // count, (np.int64(job) % count) * _CHUNK
        to = at + _CHUNK
        parts[case, at // _CHUNK] = _advance(
            alpha[case], p[case, at:to], q[case, at:to], x[case, at:to], r[case, at:to]
        )
    return parts


@_shared
def dense(matrix, b, out):
    """out = matrix b of fields (k, n); symmetric (n, n)."""
    for row in prange(len(matrix)):
        for case in range(len(b)):
            out[case, row] = _dot(matrix[row], b[case])


@_alone
def _convolve_row(i, j, field, weights, out):
    NX, NY, NZ = field.shape
    hx, hy, hz = weights.shape[0] // 2, weights.shape[1] // 2, weights.shape[2] // 2
    row = out[i, j]
    row[:] = 0
    for x in range(max(-hx, -i), min(hx, NX - 1 - i) + 1):
        for y in range(max(-hy, -j), min(hy, NY - 1 - j) + 1):
            for z in range(-min(hz, NZ - 1), min(hz, NZ - 1) + 1):
                w = weights[x + hx, y + hy, z + hz]
                if w != 0:
                    to = row[max(0, -z) : NZ - max(0, z)]
                    source = field[i + x, j + y, max(0, z) : NZ - max(0, -z)]
                    for k in range(len(to)):
                        to[k] += w * source[k]


@_shared
def convolve(field, weights, out):
    """Sums over a window of odd sides; nothing outside."""
    rows = field.shape[1]
    for job in prange(field.shape[0] * rows):
        _convolve_row(np.int64(job) // rows, np.int64(job) % rows, field, weights, out)


@_alone
def _accelerate(z, keep, step, d, x):
    for k in range(len(x)):
        new = keep * d[k] + step * z[k]
        d[k] = new
        x[k] += new


@_shared
def accelerate(z, keep, step, d, x):
    """d = keep d + step z; x += d of fields (k, n)."""
    cases, n = x.shape
    count = (n + _CHUNK - 1) // _CHUNK
    for job in prange(cases * count):
        case, at = np.int64(job) // count, (np.int64(job) % count) * _CHUNK
        to = at + _CHUNK
        _accelerate(z[case, at:to], keep, step, d[case, at:to], x[case, at:to])
