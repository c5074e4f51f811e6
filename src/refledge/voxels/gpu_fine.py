"""CUDA source of the given grid's kernels: stiffness times motion without a stored matrix.

A block of threads takes a tile of 31 x (TY - 1) nodes of one (y, z) plane and marches along x. A
thread owns one column of elements: it keeps the sums and differences along y and z of the plane
behind it (see ``hexahedron``), meets the next plane through shared memory, couples the two through
one layer of elements, and hands its corner forces of the finished plane to its three neighbours.
``S`` is the type motions are stored in, ``T`` what is calculated in. Flat node arrays: (k, 3, n),
``scale`` (n) with zeros where no element starts, ``free`` (n) with a bit for each free motion.
"""

from refledge.typed import Floats
from refledge.voxels.hexahedron import Element

WIDE = 32
"""Threads of a block along z."""
TALL = {"float": 8, "double": 8}
"""The same along y, by what is calculated in; 16 was slower in fp32."""
DENSE = {"float": 4, "double": 2}
"""Blocks that must fit on a multiprocessor: bounds the registers, at the cost of 12 bytes of
spills in fp32; by trial the fastest."""
SLAB = 32
"""Planes of nodes that a block marches over; one more is computed at its start."""


def constants(element: Element) -> str:
    """The element's numbers as source, so that they are operands of the arithmetic."""
    return "\n".join(
        (
            *(f"#define DENSE_{kind.upper()} {blocks}" for kind, blocks in DENSE.items()),
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

SOURCE = (
    HEADER
    + r"""
// The same from the elements about node (i, j, k) of the given grid.
__device__ inline void node_block(const float* __restrict__ scale, int bits, int i, int j, int k,
                                  int NY, int NZ, float* D) {
  constexpr float K[6] = CORNER;
  float whole = 0, xy = 0, xz = 0, yz = 0;
#pragma unroll
  for (int a = 0; a < 8; a++) {
    int cx = a >> 2, cy = (a >> 1) & 1, cz = a & 1;
    if (i >= cx && j >= cy && k >= cz) {
      float w = scale[((long long)(i - cx) * NY + j - cy) * NZ + k - cz];
      whole += w;
      xy += cx == cy ? w : -w; xz += cx == cz ? w : -w; yz += cy == cz ? w : -w;
    }
  }
  float over = whole > 0 ? 1 / whole : 0;  // of order one, whatever the stiffness
  inverted(K[0], K[1], K[2], K[3] * xy * over, K[4] * xz * over, K[5] * yz * over, bits, D);
  over *= (float)SOFT;
#pragma unroll
  for (int q = 0; q < 6; q++) D[q] *= over;
}

// Bits of the motions that are not held and that some element resists.
extern "C" __global__ void loose(const float* scale, const bool* held, unsigned char* free,
                                 int NX, int NY, int NZ) {
  long long n = (long long)NX * NY * NZ, at = blockIdx.x * (long long)blockDim.x + threadIdx.x;
  if (at >= n) return;
  unsigned here = at;  // 32 bits divide faster, and no grid that fits has more nodes
  int i = here / (unsigned)(NY * NZ), j = here / (unsigned)NZ % (unsigned)NY;
  int k = here % (unsigned)NZ;
  bool any = false;
  for (int a = 0; a < 8; a++) {
    int x = i - (a >> 2), y = j - ((a >> 1) & 1), z = k - (a & 1);
    if (x >= 0 && y >= 0 && z >= 0) any |= scale[((long long)x * NY + y) * NZ + z] > 0;
  }
  int bits = 0;
  for (int c = 0; c < 3; c++) bits |= (any && !held[c * n + at]) << c;
  free[at] = bits;
}

template <typename S, typename T, int TY>
__device__ inline void fetch(const S* __restrict__ x, T (*u)[TY + 1][33], int i, int j0, int k0,
                             int NY, int NZ, long long n) {
  for (int t = threadIdx.y * 32 + threadIdx.x; t < 33 * (TY + 1); t += 32 * TY) {
    int y = t / 33, z = t % 33, j = j0 + y, k = k0 + z;
    bool in = j >= 0 && j < NY && k >= 0 && k < NZ;
    long long at = ((long long)i * NY + j) * NZ + k;
#pragma unroll
    for (int c = 0; c < 3; c++) u[c][y][z] = in ? (T)x[c * n + at] : (T)0;
  }
}

template <typename T, int TY>
__device__ inline void lift(T (*u)[TY + 1][33], T* L) {
  int y = threadIdx.y, z = threadIdx.x;
#pragma unroll
  for (int c = 0; c < 3; c++) {
    T a = u[c][y][z], b = u[c][y][z + 1], e = u[c][y + 1][z], f = u[c][y + 1][z + 1];
    T s0 = a + b, d0 = b - a, s1 = e + f, d1 = f - e;
    L[(0 ^ TURNED(c)) * 3 + c] = s0 + s1;
    L[(1 ^ TURNED(c)) * 3 + c] = d0 + d1;
    L[(2 ^ TURNED(c)) * 3 + c] = s1 - s0;
    L[(3 ^ TURNED(c)) * 3 + c] = d1 - d0;
  }
}

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

// Node forces of a finished plane: the transpose of lift, and the neighbours' corners.
template <typename T, int TY>
__device__ inline void drop(const T* H, T (*f)[TY][32], T* v) {
  int y = threadIdx.y, z = threadIdx.x;
#pragma unroll
  for (int c = 0; c < 3; c++) {
    T a = H[(0 ^ TURNED(c)) * 3 + c], b = H[(1 ^ TURNED(c)) * 3 + c];
    T e = H[(2 ^ TURNED(c)) * 3 + c], g = H[(3 ^ TURNED(c)) * 3 + c];
    T lo = a - b, hi = a + b, Lo = e - g, Hi = e + g;
    v[c] = lo - Lo;
    f[c][y][z] = hi - Hi;      // corner (0, 1)
    f[3 + c][y][z] = lo + Lo;  // corner (1, 0)
    f[6 + c][y][z] = hi + Hi;  // corner (1, 1)
  }
  __syncthreads();
  if (y > 0 && z > 0)
#pragma unroll
    for (int c = 0; c < 3; c++)
        v[c] += f[c][y][z - 1] + f[3 + c][y - 1][z] + f[6 + c][y - 1][z - 1];
}

// The same as node_block from the sums and differences along x that the neighbours left in f.
template <typename T, int TY>
__device__ inline void block_here(T (*f)[TY][32], float w, float before, int bits, float* D) {
  constexpr float K[6] = CORNER;
  int y = threadIdx.y, z = threadIdx.x;
  float a00 = w + before, a01 = f[0][y][z - 1], a10 = f[0][y - 1][z], a11 = f[0][y - 1][z - 1];
  float m00 = w - before, m01 = f[1][y][z - 1], m10 = f[1][y - 1][z], m11 = f[1][y - 1][z - 1];
  float whole = a00 + a01 + a10 + a11, yz = a00 - a01 - a10 + a11;
  float xy = m00 + m01 - m10 - m11, xz = m00 - m01 + m10 - m11;
  float over = whole > 0 ? 1 / whole : 0;
  inverted(K[0], K[1], K[2], K[3] * xy * over, K[4] * xz * over, K[5] * yz * over, bits, D);
  over *= (float)SOFT;
#pragma unroll
  for (int q = 0; q < 6; q++) D[q] *= over;
}

template <typename S, typename T, typename O, int TY, int MODE>
__global__ void __launch_bounds__(32 * TY, sizeof(T) == 4 ? DENSE_FLOAT : DENSE_DOUBLE)
fine(const S* __restrict__ x, const S* __restrict__ b, float* d, O* out,
     const float* __restrict__ scale, const unsigned char* __restrict__ free, float keep,
     float step, int NX, int NY, int NZ, int slab, int slabs) {
  __shared__ T u[3][TY + 1][33];
  __shared__ T f[MODE == SMOOTH ? 11 : 9][TY][32];
  long long plane = (long long)NY * NZ, n = plane * NX;
  long long start = 3 * n * (blockIdx.z / slabs);
  x += start; b += start; d += start; out += start;
  int i0 = blockIdx.z % slabs * slab, i1 = min(NX, i0 + slab);
  int j0 = blockIdx.y * (TY - 1) - 1, k0 = blockIdx.x * 31 - 1;
  int j = j0 + threadIdx.y, k = k0 + threadIdx.x;
  bool element = j >= 0 && j < NY - 1 && k >= 0 && k < NZ - 1;
  bool node = threadIdx.y > 0 && threadIdx.x > 0 && j < NY && k < NZ;
  T near[12], far[12], here[12], there[12];
  float w = 0, before = 0;  // scales of the thread's element ahead of the plane and behind it
#pragma unroll
  for (int q = 0; q < 12; q++) here[q] = 0;
  int first = max(i0 - 1, 0);
  fetch<S, T, TY>(x, u, first, j0, k0, NY, NZ, n);
  __syncthreads();
  lift<T, TY>(u, near);
  for (int i = first; i < i1; i++) {
    long long at = i * plane + (long long)j * NZ + k;
    before = w;
    w = 0;
    __syncthreads();  // what neighbours read of the plane before
    if (i + 1 < NX) {
      if (element) w = scale[at];
      fetch<S, T, TY>(x, u, i + 1, j0, k0, NY, NZ, n);
      __syncthreads();
      lift<T, TY>(u, far);
      couple<T>(near, far, (T)w, here, there);
    }
    if (i >= i0) {
      T v[3];
      if (MODE == SMOOTH) {
        f[MODE == SMOOTH ? 9 : 0][threadIdx.y][threadIdx.x] = w + before;
        f[MODE == SMOOTH ? 10 : 0][threadIdx.y][threadIdx.x] = w - before;
      }
      drop<T, TY>(here, f, v);
      if (node) {
        int bits = free[at];
        if (MODE == SMOOTH) {
          float D[6], r[3], s[3];
          block_here<T, TY>(f + (MODE == SMOOTH ? 9 : 0), w, before, bits, D);
#pragma unroll
          for (int c = 0; c < 3; c++) r[c] = (float)((T)b[c * n + at] - v[c]);
          s[0] = D[0] * r[0] + D[3] * r[1] + D[4] * r[2];
          s[1] = D[3] * r[0] + D[1] * r[1] + D[5] * r[2];
          s[2] = D[4] * r[0] + D[5] * r[1] + D[2] * r[2];
#pragma unroll
          for (int c = 0; c < 3; c++) {
            float e = keep * d[c * n + at] + step * s[c];
            d[c * n + at] = e;
            out[c * n + at] = (O)((float)x[c * n + at] + e);
          }
        } else {
#pragma unroll
          for (int c = 0; c < 3; c++) {
            T r = MODE == RESIDUAL ? (T)b[c * n + at] - v[c] : v[c];
            out[c * n + at] = (bits >> c) & 1 ? (O)r : (O)0;
          }
        }
      }
    }
#pragma unroll
    for (int q = 0; q < 12; q++) { near[q] = far[q]; here[q] = there[q]; }
  }
}

// d = out = step D b.
extern "C" __global__ void fine_start(const float* b, float step, float* d, float* out,
                                      const float* scale, const unsigned char* free, int NX,
                                      int NY, int NZ) {
  long long n = (long long)NX * NY * NZ, at = blockIdx.x * (long long)blockDim.x + threadIdx.x;
  if (at >= n) return;
  unsigned here = at;  // 32 bits divide faster, and no grid that fits has more nodes
  int i = here / (unsigned)(NY * NZ), j = here / (unsigned)NZ % (unsigned)NY;
  int k = here % (unsigned)NZ;
  float D[6];
  node_block(scale, free[at], i, j, k, NY, NZ, D);
  b += 3 * n * blockIdx.y; d += 3 * n * blockIdx.y; out += 3 * n * blockIdx.y;
  float x = b[at], y = b[n + at], z = b[2 * n + at];
  float s[3] = {D[0] * x + D[3] * y + D[4] * z, D[3] * x + D[1] * y + D[5] * z,
                D[4] * x + D[5] * y + D[2] * z};
  for (int c = 0; c < 3; c++) d[c * n + at] = out[c * n + at] = step * s[c];
}

template <typename S>
__device__ inline void corners(const S* u, long long at, int NZ, long long n, double* L) {
#pragma unroll
  for (int c = 0; c < 3; c++) {
    const S* v = u + c * n + at;
    double a = v[0], b = v[1], e = v[NZ], f = v[NZ + 1];
    double s0 = a + b, d0 = b - a, s1 = e + f, d1 = f - e;
    L[(0 ^ TURNED(c)) * 3 + c] = s0 + s1;
    L[(1 ^ TURNED(c)) * 3 + c] = d0 + d1;
    L[(2 ^ TURNED(c)) * 3 + c] = s1 - s0;
    L[(3 ^ TURNED(c)) * 3 + c] = d1 - d0;
  }
}

// u' K v of each element: out (k, nx, ny, nz).
template <typename S>
__global__ void energies(const S* u, const S* v, S* out, int NX, int NY, int NZ) {
  long long n = (long long)NX * NY * NZ, at = blockIdx.x * (long long)blockDim.x + threadIdx.x;
  if (at >= n) return;
  unsigned here = at;  // 32 bits divide faster, and no grid that fits has more nodes
  int i = here / (unsigned)(NY * NZ), j = here / (unsigned)NZ % (unsigned)NY;
  int k = here % (unsigned)NZ;
  if (i == NX - 1 || j == NY - 1 || k == NZ - 1) return;
  u += 3 * n * blockIdx.y; v += 3 * n * blockIdx.y;
  double L[12], R[12], P[12], Q[12], sum = 0;
  corners(u, at, NZ, n, L);
  corners(u, at + (long long)NY * NZ, NZ, n, R);
#pragma unroll
  for (int q = 0; q < 12; q++) P[q] = 0;
  couple<double>(L, R, 1.0, P, Q);
  corners(v, at, NZ, n, L);
  corners(v, at + (long long)NY * NZ, NZ, n, R);
#pragma unroll
  for (int q = 0; q < 12; q++) sum += P[q] * L[q] + Q[q] * R[q];
  long long e = ((long long)i * (NY - 1) + j) * (NZ - 1) + k;
  out[e + blockIdx.y * (long long)(NX - 1) * (NY - 1) * (NZ - 1)] = (S)sum;
}
"""
)
