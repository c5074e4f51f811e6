"""CUDA source of one cube's arithmetic: its numbers, and forces of one layer of elements."""

from refledge.typed import Floats
from refledge.voxels.hexahedron import Element

DENSE = {"FLOAT": 4, "DOUBLE": 2, "WIDE": 2}
"""Blocks that must fit on a multiprocessor, of the given grid's kernels in fp32 and fp64 and of
the first coarse grid's in fp32: bounds the registers, at the cost of 12 bytes of spills in fp32;
by trial the fastest."""


def constants(element: Element) -> str:
    """The element's numbers as source, so that they are operands of the arithmetic."""
    return "\n".join(
        (
            *(f"#define DENSE_{kind} {blocks}" for kind, blocks in DENSE.items()),
            f"#define PAIRS {_braces(element.pairs)}",
            f"#define CORNER {_list(element.diagonal / element.diagonal[0])}",
            f"#define SOFT {float(1 / element.diagonal[0])!r}",
        )
    )


def _list(values: Floats) -> str:
    return "{" + ", ".join(repr(float(value)) for value in values) + "}"


def _braces(rows: Floats) -> str:
    return "{" + ", ".join(map(_list, rows)) + "}"


HEADER = r"""
enum { APPLY, RESIDUAL, SMOOTH };
#define TURNED(c) ((c) == 0 ? 0 : (c) == 1 ? 2 : 1)

// Inverse of a node's symmetric block over its free motions: xx yy zz xy xz yz.
__device__ inline void inverted(float xx, float yy, float zz, float xy, float xz, float yz,
                                int bits, float* D) {
  float a = bits & 1, b = (bits >> 1) & 1, c = (bits >> 2) & 1;
  if (!bits) { for (int q = 0; q < 6; q++) D[q] = 0; return; }
  xx = a ? xx : 1; yy = b ? yy : 1; zz = c ? zz : 1;
  xy *= a * b; xz *= a * c; yz *= b * c;
  float X = yy * zz - yz * yz, Y = xx * zz - xz * xz, Z = xx * yy - xy * xy;
  float U = xz * yz - xy * zz, V = xy * yz - xz * yy, W = xy * xz - xx * yz;
  float over = 1 / (xx * X + xy * U + xz * V);
  D[0] = X * over * a; D[1] = Y * over * b; D[2] = Z * over * c;
  D[3] = U * over; D[4] = V * over; D[5] = W * over;
}
"""

SOURCE = r"""
// One layer of elements: adds its forces to plane P, sets those on plane Q.
template <typename T>
__device__ inline void couple(const T* L, const T* R, T w, T* P, T* Q) {
  constexpr T K[4][12] = PAIRS;
#pragma unroll
  for (int g = 0; g < 4; g++) {
    T x0 = L[3 * g], x1 = R[3 * g], y0 = L[3 * g + 1], y1 = R[3 * g + 1];
    T z0 = L[3 * g + 2], z1 = R[3 * g + 2];
    T xd = (x1 - x0) * w, xs = (x0 + x1) * w, yd = (y1 - y0) * w, ys = (y0 + y1) * w;
    T zd = (z1 - z0) * w, zs = (z0 + z1) * w;
    T fxd = K[g][0] * xd + K[g][1] * ys + K[g][2] * zs;
    T fys = K[g][1] * xd + K[g][3] * ys + K[g][4] * zs;
    T fzs = K[g][2] * xd + K[g][4] * ys + K[g][5] * zs;
    T fxs = K[g][6] * xs + K[g][7] * yd + K[g][8] * zd;
    T fyd = K[g][7] * xs + K[g][9] * yd + K[g][10] * zd;
    T fzd = K[g][8] * xs + K[g][10] * yd + K[g][11] * zd;
    P[3 * g] += fxs - fxd; P[3 * g + 1] += fys - fyd; P[3 * g + 2] += fzs - fzd;
    Q[3 * g] = fxs + fxd; Q[3 * g + 1] = fys + fyd; Q[3 * g + 2] = fzs + fzd;
  }
}
"""
