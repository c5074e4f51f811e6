"""CUDA source of the first coarse grid's elements, each made of eight children of the given one.

Its stiffness P' A P is not stored: the sums and differences (see ``hexahedron``) of a coarse
element give those of a child, along each axis s + e d / 2 and d / 2 with e = -1 for the first half
and 1 for the second, and the child's forces go back by the transpose. Where motion is held among
the children (``special``) corner values are taken one by one.
"""

SOURCE = r"""
#define AT(q, c) (((q) ^ TURNED(c)) * 3 + (c))

// Of a child's plane from its parent's; ey and ez say which half.
template <typename T>
__device__ inline void lowered(const T* m, T ey, T ez, T* o) {
#pragma unroll
  for (int c = 0; c < 3; c++) {
    T b = m[AT(1, c)] / 2, d = m[AT(3, c)] / 2;
    T a = m[AT(0, c)] + ez * b, g = (m[AT(2, c)] + ez * d) / 2;
    o[AT(0, c)] = a + ey * g; o[AT(1, c)] = b + ey * (d / 2);
    o[AT(2, c)] = g; o[AT(3, c)] = d / 2;
  }
}

// The transpose, of forces; adds.
template <typename T>
__device__ inline void raised(const T* m, T ey, T ez, T* o) {
#pragma unroll
  for (int c = 0; c < 3; c++) {
    T a = m[AT(0, c)], b = m[AT(1, c)];
    T g = (ey * a + m[AT(2, c)]) / 2, d = (ey * b + m[AT(3, c)]) / 2;
    o[AT(0, c)] += a; o[AT(1, c)] += (ez * a + b) / 2;
    o[AT(2, c)] += g; o[AT(3, c)] += (ez * g + d) / 2;
  }
}

// Sums and differences along y and z of four corners, three components each.
template <typename T>
__device__ inline void summed_up(const T (*v)[3], T* m) {
  for (int c = 0; c < 3; c++) {
    T s0 = v[0][c] + v[1][c], d0 = v[1][c] - v[0][c], s1 = v[2][c] + v[3][c];
    T d1 = v[3][c] - v[2][c];
    m[AT(0, c)] = s0 + s1; m[AT(1, c)] = d0 + d1; m[AT(2, c)] = s1 - s0; m[AT(3, c)] = d1 - d0;
  }
}

// Its transpose, which is also four times its inverse.
template <typename T>
__device__ inline void spread_out(const T* m, T (*v)[3]) {
  for (int c = 0; c < 3; c++) {
    T a = m[AT(0, c)], b = m[AT(1, c)], g = m[AT(2, c)], d = m[AT(3, c)];
    v[0][c] = a - b - g + d; v[1][c] = a + b - g - d;
    v[2][c] = a - b + g - d; v[3][c] = a + b + g + d;
  }
}

__device__ inline bool stiff(const float* scale, int i, int j, int k, int FX, int FY, int FZ,
                             float* w) {
  *w = i < FX - 1 && j < FY - 1 && k < FZ - 1
           ? scale[((long long)i * (FY - 1) + j) * (FZ - 1) + k] : 0.0f;
  return *w > 0;
}

// A coarse element near held motions: planes N and F to forces P and Q, which are set.
template <typename T>
__device__ __noinline__ void corner_by_corner(
    const T* N, const T* F, const float* scale, const unsigned char* given, int i, int j, int k,
    int FX, int FY, int FZ, T* P, T* Q) {
  T v[8][3], g[8][3];
  spread_out(N, v); spread_out(F, v + 4);
  for (int a = 0; a < 8; a++)
    for (int c = 0; c < 3; c++) v[a][c] /= 4, g[a][c] = 0;
  for (int e = 0; e < 8; e++) {
    int x = e >> 2, y = (e >> 1) & 1, z = e & 1;
    float w;
    if (!stiff(scale, i + x, j + y, k + z, FX, FY, FZ, &w)) continue;
    T u[8][3], n[12], f[12], p[12], q[12], r[8][3];
    int bits[8];
    for (int a = 0; a < 8; a++) {
      int X = x + (a >> 2), Y = y + ((a >> 1) & 1), Z = z + (a & 1);
      bits[a] = given[((long long)(i + X) * FY + j + Y) * FZ + k + Z];
      for (int c = 0; c < 3; c++) u[a][c] = 0;
      for (int b = 0; b < 8; b++) {
        T share = (1 - abs(X - (b >> 1 & 2)) / (T)2) * (1 - abs(Y - (b & 2)) / (T)2) *
                  (1 - abs(Z - (b << 1 & 2)) / (T)2);
        for (int c = 0; c < 3; c++) if ((bits[a] >> c) & 1) u[a][c] += share * v[b][c];
      }
    }
    summed_up(u, n); summed_up(u + 4, f);
    for (int m = 0; m < 12; m++) p[m] = 0;
    couple<T>(n, f, (T)w, p, q);
    spread_out(p, r); spread_out(q, r + 4);
    for (int a = 0; a < 8; a++) {
      int X = x + (a >> 2), Y = y + ((a >> 1) & 1), Z = z + (a & 1);
      for (int b = 0; b < 8; b++) {
        T share = (1 - abs(X - (b >> 1 & 2)) / (T)2) * (1 - abs(Y - (b & 2)) / (T)2) *
                  (1 - abs(Z - (b << 1 & 2)) / (T)2);
        for (int c = 0; c < 3; c++) if ((bits[a] >> c) & 1) g[b][c] += share * r[a][c];
      }
    }
  }
  summed_up(g, P); summed_up(g + 4, Q);
  for (int m = 0; m < 12; m++) P[m] /= 4, Q[m] /= 4;
}

// The coarse element whose first child is (i, j, k): adds to plane ``here``, sets ``there``.
template <typename T>
__device__ inline void through(const T* N, const T* F, const float* __restrict__ scale,
                               const unsigned char* __restrict__ given, int special, int i, int j,
                               int k, int FX, int FY, int FZ, T* here, T* there) {
  if (special) {
    T n[12], f[12], p[12], q[12];  // copies, so that those of the march stay in registers
#pragma unroll
    for (int m = 0; m < 12; m++) n[m] = N[m], f[m] = F[m];
    corner_by_corner<T>(n, f, scale, given, i, j, k, FX, FY, FZ, p, q);
#pragma unroll
    for (int m = 0; m < 12; m++) here[m] += p[m], there[m] += q[m];
    return;
  }
#pragma unroll 1
  for (int e = 0; e < 4; e++) {
    int y = e >> 1, z = e & 1;
    float w, ww;
    bool any = stiff(scale, i, j + y, k + z, FX, FY, FZ, &w);
    any |= stiff(scale, i + 1, j + y, k + z, FX, FY, FZ, &ww);
    if (!any) continue;
    T ey = 2 * y - 1, ez = 2 * z - 1, n[12], f[12], p[12], middle[12], q[12];
    lowered<T>(N, ey, ez, n);
    lowered<T>(F, ey, ez, f);
#pragma unroll
    for (int m = 0; m < 12; m++) middle[m] = (n[m] + f[m]) / 2, p[m] = 0;
    T half[12];
    couple<T>(n, middle, (T)w, p, half);
    couple<T>(middle, f, (T)ww, half, q);
#pragma unroll
    for (int m = 0; m < 12; m++) p[m] += half[m] / 2, q[m] += half[m] / 2;
    raised<T>(p, ey, ez, here);
    raised<T>(q, ey, ez, there);
  }
}

// Whether motion is held at a corner of a stiff child: one coarse element a thread.
extern "C" __global__ void marked(const float* scale, const unsigned char* given,
                                  unsigned char* special, int FX, int FY, int FZ, int CX, int CY,
                                  int CZ) {
  long long n = (long long)CX * CY * CZ, at = blockIdx.x * (long long)blockDim.x + threadIdx.x;
  if (at >= n) return;
  int I = at / ((long long)CY * CZ), J = at / CZ % CY, K = at % CZ, found = 0;
  for (int e = 0; e < 8; e++) {
    int i = 2 * I + (e >> 2), j = 2 * J + ((e >> 1) & 1), k = 2 * K + (e & 1);
    float w;
    if (!stiff(scale, i, j, k, FX, FY, FZ, &w)) continue;
    for (int a = 0; a < 8; a++)
      found |= given[((long long)(i + (a >> 2)) * FY + j + ((a >> 1) & 1)) * FZ + k + (a & 1)] != 7;
  }
  special[at] = found;
}
"""
