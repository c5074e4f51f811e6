"""CUDA source of the kernels that march: stiffness times motion without a stored matrix.

A block of threads takes a tile of 31 x (TY - 1) nodes of one (y, z) plane and marches along x. A
thread owns one column of elements: it keeps the sums and differences along y and z of the plane
behind it (see ``hexahedron``), meets the next plane through shared memory, couples the two through
one layer of elements, and hands its corner forces of the finished plane to its three neighbours.
``S`` is the type motions are stored in, ``T`` what is calculated in. Flat node arrays: (k, 3, n),
``free`` (n) with a bit for each free motion; ``scale`` (nx, ny, nz) of the given grid's elements,
and of that ``given`` the free bits, where a coarse grid is applied through it.
"""

WIDE = 32
"""Threads of a block along z."""
TALL = {"float": 8, "double": 8}
"""The same along y, by what is calculated in; 16 was slower in fp32."""
SLAB = 32
"""Planes of nodes that a block marches over; one more is computed at its start."""

SOURCE = r"""
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

// A x, b - A x or a smoothing step of the given grid, or (COARSE) of the first coarse one.
template <typename S, typename T, typename O, int TY, int MODE, bool COARSE>
__global__ void __launch_bounds__(32 * TY, sizeof(T) == 4 ? (COARSE ? DENSE_WIDE : DENSE_FLOAT)
                                                          : (COARSE ? 1 : DENSE_DOUBLE))
fine(const S* __restrict__ x, const S* __restrict__ b, O* out, const float* __restrict__ scale,
     const unsigned char* __restrict__ free, const unsigned char* __restrict__ given,
     const unsigned char* __restrict__ special, const float* __restrict__ inverse, float keep,
     float step, int NX, int NY, int NZ, int FX, int FY, int FZ, int slab, int slabs) {
  __shared__ T u[3][TY + 1][33];
  constexpr bool BLOCKS = MODE == SMOOTH && !COARSE;  // the 3 x 3 blocks are made here
  __shared__ T f[BLOCKS ? 11 : 9][TY][32];
  long long plane = (long long)NY * NZ, n = plane * NX;
  long long start = 3 * n * (blockIdx.z / slabs);
  x += start; b += start; out += start;
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
      if (!COARSE && element) w = scale[((long long)i * (NY - 1) + j) * (NZ - 1) + k];
      fetch<S, T, TY>(x, u, i + 1, j0, k0, NY, NZ, n);
      __syncthreads();
      lift<T, TY>(u, far);
      if (!COARSE) {
        couple<T>(near, far, (T)w, here, there);
      } else {
#pragma unroll
        for (int q = 0; q < 12; q++) there[q] = 0;
        if (element)
          through<T>(near, far, scale, given, special[at], 2 * i, 2 * j, 2 * k, FX, FY, FZ, here,
                     there);
      }
    }
    if (i >= i0) {
      T v[3];
      if (BLOCKS) {
        f[BLOCKS ? 9 : 0][threadIdx.y][threadIdx.x] = w + before;
        f[BLOCKS ? 10 : 0][threadIdx.y][threadIdx.x] = w - before;
      }
      drop<T, TY>(here, f, v);
      if (node) {
        int bits = free[at];
        if (MODE == SMOOTH) {
          float D[6], r[3], s[3];
          if (BLOCKS) {
            block_here<T, TY>(f + (BLOCKS ? 9 : 0), w, before, bits, D);
          } else {
#pragma unroll
            for (int q = 0; q < 6; q++) D[q] = inverse[q * n + at];
          }
#pragma unroll
          for (int c = 0; c < 3; c++) r[c] = (float)((T)b[c * n + at] - v[c]);
          s[0] = D[0] * r[0] + D[3] * r[1] + D[4] * r[2];
          s[1] = D[3] * r[0] + D[1] * r[1] + D[5] * r[2];
          s[2] = D[4] * r[0] + D[5] * r[1] + D[2] * r[2];
#pragma unroll
          for (int c = 0; c < 3; c++) {
            float now = x[c * n + at];
            float gone = keep ? keep * (now - (float)out[c * n + at]) : 0;
            out[c * n + at] = (O)(now + gone + step * s[c]);
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
"""
