"""CPU kernels on what each node of a grid has: its 3 x 3 block, the block's inverse."""

import numpy as np
from numba import njit, prange

# mypy: allow-untyped-defs, allow-untyped-decorators

_shared = njit(fastmath=True, nogil=True, cache=True, parallel=True)


@_shared
def start(b, inverse, step, out):
    """out = step D b of cases (k, 3, n)."""
    n = b.shape[2]
    chunk = 4096
    for job in prange((n + chunk - 1) // chunk):
        at = np.int64(job) * chunk
        m = min(chunk, n - at)
        for case in range(len(b)):
            x, y, z = b[case, 0, at : at + m], b[case, 1, at : at + m], b[case, 2, at : at + m]
            for c in range(3):
                i, j, h = ((0, 3, 4), (3, 1, 5), (4, 5, 2))[c]
                p, q = inverse[i, at : at + m], inverse[j, at : at + m]
                t, o = inverse[h, at : at + m], out[case, c, at : at + m]
                for k in range(m):
                    o[k] = step * (p[k] * x[k] + q[k] * y[k] + t[k] * z[k])


@_shared
def diagonal(scale, diagonal, dims, out):
    """(6, n): xx, yy, zz, xy, xz, yz of each node's block from the scales of its elements."""
    NX, NY, NZ = dims
    plane = NY * NZ
    kx, ky, kz, kxy, kxz, kyz = diagonal
    for plane_ in prange(NX):
        i = np.int64(plane_)  # unsigned otherwise
        for j in range(NY):
            for k in range(NZ):
                whole, xy, xz, yz = 0.0, 0.0, 0.0, 0.0
                for a in range(8):
                    cx, cy, cz = a >> 2, (a >> 1) & 1, a & 1  # the node is this corner
                    if i >= cx and j >= cy and k >= cz:
                        w = scale[(i - cx) * plane + (j - cy) * NZ + k - cz]
                        whole += w
                        xy += w if cx == cy else -w
                        xz += w if cx == cz else -w
                        yz += w if cy == cz else -w
                n = i * plane + j * NZ + k
                out[0, n], out[1, n], out[2, n] = kx * whole, ky * whole, kz * whole
                out[3, n], out[4, n], out[5, n] = kxy * xy, kxz * xz, kyz * yz


@_shared
def invert(blocks, free, out):
    """(6, n): inverses of symmetric 3 x 3 blocks over the free motions (bits), zero for others."""
    for n in prange(blocks.shape[1]):
        f = free[n]
        a, b, c = f & 1, (f >> 1) & 1, (f >> 2) & 1
        xx = blocks[0, n] if a else 1.0
        yy = blocks[1, n] if b else 1.0
        zz = blocks[2, n] if c else 1.0
        xy, xz, yz = blocks[3, n] * (a & b), blocks[4, n] * (a & c), blocks[5, n] * (b & c)
        X, Y, Z = yy * zz - yz * yz, xx * zz - xz * xz, xx * yy - xy * xy
        U, V, T = xz * yz - xy * zz, xy * yz - xz * yy, xy * xz - xx * yz
        over = 1 / (xx * X + xy * U + xz * V)
        out[0, n], out[1, n], out[2, n] = X * over * a, Y * over * b, Z * over * c
        out[3, n], out[4, n], out[5, n] = U * over, V * over, T * over
