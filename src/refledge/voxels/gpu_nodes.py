"""CUDA source of the given grid's kernels that take one node or element a thread."""

SOURCE = r"""
// The same from the elements about node (i, j, k) of the given grid.
__device__ inline void node_block(const float* __restrict__ scale, int bits, int i, int j, int k,
                                  int NX, int NY, int NZ, float* D) {
  constexpr float K[6] = CORNER;
  float whole = 0, xy = 0, xz = 0, yz = 0;
#pragma unroll
  for (int a = 0; a < 8; a++) {
    int cx = a >> 2, cy = (a >> 1) & 1, cz = a & 1;
    if (i >= cx && j >= cy && k >= cz && i - cx < NX - 1 && j - cy < NY - 1 && k - cz < NZ - 1) {
      float w = scale[((long long)(i - cx) * (NY - 1) + j - cy) * (NZ - 1) + k - cz];
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
extern "C" __global__ void loose(const float* scale, const unsigned char* held, unsigned char* free,
                                 int NX, int NY, int NZ) {
  long long n = (long long)NX * NY * NZ, at = blockIdx.x * (long long)blockDim.x + threadIdx.x;
  if (at >= n) return;
  unsigned here = at;  // 32 bits divide faster, and no grid that fits has more nodes
  int i = here / (unsigned)(NY * NZ), j = here / (unsigned)NZ % (unsigned)NY;
  int k = here % (unsigned)NZ;
  bool any = false;
  for (int a = 0; a < 8; a++) {
    int x = i - (a >> 2), y = j - ((a >> 1) & 1), z = k - (a & 1);
    if (x >= 0 && y >= 0 && z >= 0 && x < NX - 1 && y < NY - 1 && z < NZ - 1)
      any |= scale[((long long)x * (NY - 1) + y) * (NZ - 1) + z] > 0;
  }
  free[at] = any ? 7 & ~held[at] : 0;
}

// before = 0; out = step D b.
extern "C" __global__ void fine_start(const float* b, float step, float* before, float* out,
                                      const float* scale, const unsigned char* free, int NX,
                                      int NY, int NZ) {
  long long n = (long long)NX * NY * NZ, at = blockIdx.x * (long long)blockDim.x + threadIdx.x;
  if (at >= n) return;
  unsigned here = at;  // 32 bits divide faster, and no grid that fits has more nodes
  int i = here / (unsigned)(NY * NZ), j = here / (unsigned)NZ % (unsigned)NY;
  int k = here % (unsigned)NZ;
  float D[6];
  node_block(scale, free[at], i, j, k, NX, NY, NZ, D);
  b += 3 * n * blockIdx.y; before += 3 * n * blockIdx.y; out += 3 * n * blockIdx.y;
  float x = b[at], y = b[n + at], z = b[2 * n + at];
  float s[3] = {D[0] * x + D[3] * y + D[4] * z, D[3] * x + D[1] * y + D[5] * z,
                D[4] * x + D[5] * y + D[2] * z};
  for (int c = 0; c < 3; c++) before[c * n + at] = 0, out[c * n + at] = step * s[c];
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
