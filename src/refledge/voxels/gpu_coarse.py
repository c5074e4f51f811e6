"""CUDA source of coarser grids and of whole fields.

``A`` (14, 9, n): half of a 27-point stencil of 3 x 3 blocks, those of a node with the 13
neighbours later in memory; blocks that leave the grid are zero. In the first place stands not the
node's own block but the sum of its row, which is zero but near held motions, and products are
taken of differences, so that moving as one costs exactly nothing: rounded own blocks outweighed
the bending of slender bodies. Numbers are fp32 on large grids and fp64 on others: where motion is
held along thin bodies two coarse motions may move the same node, so that their difference is none,
and rounding in fp32 gives it a stiffness that the coarsest grid's inverse takes for one.
"""

SOURCE = r"""
__device__ inline int half_of(int x, int y, int z) { return (x * 3 + y) * 3 + z; }  // -13 .. 13

// A x, b - A x or a smoothing step; calculated in the wider of the two types.
template <typename M, typename S, int MODE>
__global__ void stencil(const S* __restrict__ x, const S* __restrict__ b, S* out,
                        const M* __restrict__ A, const float* __restrict__ inverse, float keep,
                        float step, int NX, int NY, int NZ) {
  long long n = (long long)NX * NY * NZ, at = blockIdx.x * (long long)blockDim.x + threadIdx.x;
  if (at >= n) return;
  long long start = 3 * n * blockIdx.y;
  x += start; b += start; out += start;
  typedef decltype(M() * S()) T;
  T y0 = x[at], y1 = x[n + at], y2 = x[2 * n + at];
  const M* a = A + at;
  T r[3] = {(T)a[0] * y0 + (T)a[n] * y1 + (T)a[2 * n] * y2,
            (T)a[3 * n] * y0 + (T)a[4 * n] * y1 + (T)a[5 * n] * y2,
            (T)a[6 * n] * y0 + (T)a[7 * n] * y1 + (T)a[8 * n] * y2};
  for (int h = 1; h < 14; h++) {
    int D = h + 13;
    long long o = ((long long)(D / 9 - 1) * NY + D / 3 % 3 - 1) * NZ + D % 3 - 1;
    const M* B = A + (long long)9 * h * n;
    if (at + o < n) {
      T x0 = x[at + o] - y0, x1 = x[n + at + o] - y1, x2 = x[2 * n + at + o] - y2;
      const M* a = B + at;
      r[0] += (T)a[0] * x0 + (T)a[n] * x1 + (T)a[2 * n] * x2;
      r[1] += (T)a[3 * n] * x0 + (T)a[4 * n] * x1 + (T)a[5 * n] * x2;
      r[2] += (T)a[6 * n] * x0 + (T)a[7 * n] * x1 + (T)a[8 * n] * x2;
    }
    if (at >= o) {
      T x0 = x[at - o] - y0, x1 = x[n + at - o] - y1, x2 = x[2 * n + at - o] - y2;
      const M* a = B + at - o;
      r[0] += (T)a[0] * x0 + (T)a[3 * n] * x1 + (T)a[6 * n] * x2;
      r[1] += (T)a[n] * x0 + (T)a[4 * n] * x1 + (T)a[7 * n] * x2;
      r[2] += (T)a[2 * n] * x0 + (T)a[5 * n] * x1 + (T)a[8 * n] * x2;
    }
  }
  if (MODE != APPLY)
    for (int c = 0; c < 3; c++) r[c] = b[c * n + at] - r[c];
  if (MODE != SMOOTH) {
    for (int c = 0; c < 3; c++) out[c * n + at] = (S)r[c];
    return;
  }
  const float* I = inverse + at;
  T s[3] = {I[0] * r[0] + I[3 * n] * r[1] + I[4 * n] * r[2],
            I[3 * n] * r[0] + I[n] * r[1] + I[5 * n] * r[2],
            I[4 * n] * r[0] + I[5 * n] * r[1] + I[2 * n] * r[2]};
  T y[3] = {y0, y1, y2};
  for (int c = 0; c < 3; c++) {
    T gone = keep ? keep * (y[c] - (T)out[c * n + at]) : 0;
    out[c * n + at] = (S)(y[c] + gone + step * s[c]);
  }
}

// before = 0; out = step D b.
extern "C" __global__ void coarse_start(const float* b, float step, float* before, float* out,
                                        const float* inverse, long long n) {
  long long at = blockIdx.x * (long long)blockDim.x + threadIdx.x;
  if (at >= n) return;
  b += 3 * n * blockIdx.y; before += 3 * n * blockIdx.y; out += 3 * n * blockIdx.y;
  const float* I = inverse + at;
  float x = b[at], y = b[n + at], z = b[2 * n + at];
  float s[3] = {I[0] * x + I[3 * n] * y + I[4 * n] * z, I[3 * n] * x + I[n] * y + I[5 * n] * z,
                I[4 * n] * x + I[5 * n] * y + I[2 * n] * z};
  for (int c = 0; c < 3; c++) before[c * n + at] = 0, out[c * n + at] = step * s[c];
}

// Free bits from each node's block (6, n), which its inverse replaces; ``dead`` is the stiffness
// that counts as none.
extern "C" __global__ void blocks(const double* dead, unsigned char* free, float* block,
                                  long long n) {
  long long at = blockIdx.x * (long long)blockDim.x + threadIdx.x;
  if (at >= n) return;
  float xx = block[at], yy = block[n + at], zz = block[2 * n + at], least = dead[0];
  int bits = (xx > least) | (yy > least) << 1 | (zz > least) << 2;
  free[at] = bits;
  float size = fmaxf(xx, fmaxf(yy, zz)), over = size > 0 ? 1 / size : 0;
  float D[6];
  inverted(xx * over, yy * over, zz * over, block[3 * n + at] * over, block[4 * n + at] * over,
           block[5 * n + at] * over, bits, D);
  for (int q = 0; q < 6; q++) block[q * n + at] = D[q] * over;
}

// Each node's own block (9, n), which the sum of its row less the others is.
template <typename M>
__global__ void own(const M* __restrict__ A, double* out, int NX, int NY, int NZ) {
  long long n = (long long)NX * NY * NZ, at = blockIdx.x * (long long)blockDim.x + threadIdx.x;
  if (at >= n) return;
  int q = blockIdx.y;
  double sum = A[q * n + at];
  for (int h = 1; h < 14; h++) {
    int D = h + 13;
    long long o = ((long long)(D / 9 - 1) * NY + D / 3 % 3 - 1) * NZ + D % 3 - 1;
    sum -= A[(9LL * h + q) * n + at];
    if (at >= o) sum -= A[(9LL * h + q % 3 * 3 + q / 3) * n + at - o];
  }
  out[q * n + at] = sum;
}

// P' r: fine dims to coarse dims, one field of nodes for each blockIdx.y.
template <typename S>
__global__ void restricted(const S* __restrict__ r, S* out, int FX, int FY, int FZ, int CX, int CY,
                           int CZ) {
  long long n = (long long)CX * CY * CZ, at = blockIdx.x * (long long)blockDim.x + threadIdx.x;
  if (at >= n) return;
  unsigned here = at;  // 32 bits divide faster, and no grid that fits has more nodes
  int I = here / (unsigned)(CY * CZ), J = here / (unsigned)CZ % (unsigned)CY;
  int K = here % (unsigned)CZ;
  r += (long long)FX * FY * FZ * blockIdx.y;
  S sum = 0;
  for (int x = -1; x < 2; x++)
    for (int y = -1; y < 2; y++)
      for (int z = -1; z < 2; z++) {
        int i = 2 * I + x, j = 2 * J + y, k = 2 * K + z;
        if (i < 0 || j < 0 || k < 0 || i >= FX || j >= FY || k >= FZ) continue;
        float w = (x ? 0.5f : 1.0f) * (y ? 0.5f : 1.0f) * (z ? 0.5f : 1.0f);
        sum += w * r[((long long)i * FY + j) * FZ + k];
      }
  out[n * blockIdx.y + at] = sum;
}

// x += P v at free motions.
extern "C" __global__ void prolonged(const float* __restrict__ v, float* x,
                                     const unsigned char* __restrict__ free, int FX, int FY,
                                     int FZ, int CX, int CY, int CZ) {
  long long n = (long long)FX * FY * FZ, at = blockIdx.x * (long long)blockDim.x + threadIdx.x;
  if (at >= n) return;
  unsigned here = at;  // 32 bits divide faster, and no grid that fits has more nodes
  int i = here / (unsigned)(FY * FZ), j = here / (unsigned)FZ % (unsigned)FY;
  int k = here % (unsigned)FZ;
  if (!((free[at] >> blockIdx.y % 3) & 1)) return;
  v += (long long)CX * CY * CZ * blockIdx.y;
  float sum = 0;
  for (int a = 0; a < 8; a++) {
    int p = a >> 2, q = (a >> 1) & 1, s = a & 1;
    if ((p && !(i & 1)) || (q && !(j & 1)) || (s && !(k & 1))) continue;
    float w = (i & 1 ? 0.5f : 1.0f) * (j & 1 ? 0.5f : 1.0f) * (k & 1 ? 0.5f : 1.0f);
    sum += w * v[((long long)(i / 2 + p) * CY + j / 2 + q) * CZ + k / 2 + s];
  }
  x[n * blockIdx.y + at] += sum;
}

// Galerkin's product from the given grid, own blocks in the first place: one coarse node, counted
// from plane ``plane``, and one of the 14 blocks a thread. values (8, 8, 8, 9): child, corner,
// corner of the parent; stiffness (3, 8, 3, 8).
extern "C" __global__ void first(const float* __restrict__ scale,
                                 const unsigned char* __restrict__ free,
                                 const double* __restrict__ stiffness,
                                 const double* __restrict__ values,
                                 const double* __restrict__ weights, double* A, int plane,
                                 int planes, int FX, int FY, int FZ, int CX, int CY, int CZ) {
  long long n = (long long)planes * CY * CZ;
  long long at = blockIdx.x * (long long)blockDim.x + threadIdx.x;
  if (at >= n) return;
  int I = plane + at / ((long long)CY * CZ), J = at / CZ % CY, K = at % CZ, h = blockIdx.y;
  int dx = (h + 13) / 9 - 1, dy = (h + 13) / 3 % 3 - 1, dz = (h + 13) % 3 - 1;
  double sum[9] = {0, 0, 0, 0, 0, 0, 0, 0, 0};
  for (int a = 0; a < 8; a++) {  // the node is this corner of the coarse element
    int ax = a >> 2, ay = (a >> 1) & 1, az = a & 1;
    int bx = ax + dx, by = ay + dy, bz = az + dz;
    if (bx < 0 || by < 0 || bz < 0 || bx > 1 || by > 1 || bz > 1) continue;
    int X = I - ax, Y = J - ay, Z = K - az, b = bx * 4 + by * 2 + bz;
    if (X < 0 || Y < 0 || Z < 0 || X >= CX - 1 || Y >= CY - 1 || Z >= CZ - 1) continue;
    bool held = false;
    for (int t = 0; t < 27; t++) {
      int i = 2 * X + t / 9, j = 2 * Y + t / 3 % 3, k = 2 * Z + t % 3;
      if (i < FX && j < FY && k < FZ) held |= free[((long long)i * FY + j) * FZ + k] != 7;
    }
    for (int e = 0; e < 8; e++) {
      int i = 2 * X + (e >> 2), j = 2 * Y + ((e >> 1) & 1), k = 2 * Z + (e & 1);
      if (i >= FX - 1 || j >= FY - 1 || k >= FZ - 1) continue;
      double s = scale[((long long)i * (FY - 1) + j) * (FZ - 1) + k];
      if (s == 0) continue;
      if (!held) {
        const double* V = values + ((e * 8 + a) * 8 + b) * 9;
        for (int q = 0; q < 9; q++) sum[q] += s * V[q];
        continue;
      }
      for (int p = 0; p < 8; p++) {
        double wp = weights[(e * 8 + p) * 8 + a] * s;
        if (wp == 0) continue;
        int fp = free[((long long)(i + (p >> 2)) * FY + j + ((p >> 1) & 1)) * FZ + k + (p & 1)];
        for (int r = 0; r < 8; r++) {
          double w = weights[(e * 8 + r) * 8 + b] * wp;
          if (w == 0) continue;
          int fr = free[((long long)(i + (r >> 2)) * FY + j + ((r >> 1) & 1)) * FZ + k + (r & 1)];
          for (int q = 0; q < 9; q++)
            if (((fp >> q / 3) & 1) && ((fr >> q % 3) & 1))
              sum[q] += w * stiffness[((q / 3 * 8 + p) * 3 + q % 3) * 8 + r];
        }
      }
    }
  }
  for (int q = 0; q < 9; q++) A[(h * 9LL + q) * n + at] = sum[q];
}

// Galerkin's product from a stencil B on dims F to A on dims C, whose first place is left out. B
// and the ``own`` blocks that stand for its first place begin at plane ``low`` and are ``planes``
// long; coarse planes from ``plane`` on, ``count`` of them, are made.
template <typename N, typename M>
__global__ void following(const N* __restrict__ B, const double* __restrict__ own, M* A,
                          int low, int planes, int plane, int count, int FX, int FY, int FZ, int CX,
                          int CY, int CZ) {
  long long n = (long long)CX * CY * CZ, at = blockIdx.x * (long long)blockDim.x + threadIdx.x;
  if (at >= (long long)count * CY * CZ) return;
  at += (long long)plane * CY * CZ;
  long long m = (long long)planes * FY * FZ;
  int I = at / ((long long)CY * CZ), J = at / CZ % CY, K = at % CZ, h = blockIdx.y + 1;
  int dx = (h + 13) / 9 - 1, dy = (h + 13) / 3 % 3 - 1, dz = (h + 13) % 3 - 1;
  double sum[9] = {0, 0, 0, 0, 0, 0, 0, 0, 0};
  bool in = I + dx >= 0 && I + dx < CX && J + dy >= 0 && J + dy < CY && K + dz >= 0 && K + dz < CZ;
  for (int t = 0; in && t < 27; t++) {
    int fx = t / 9 - 1, fy = t / 3 % 3 - 1, fz = t % 3 - 1;
    int i = 2 * I + fx, j = 2 * J + fy, k = 2 * K + fz;
    if (i < 0 || j < 0 || k < 0 || i >= FX || j >= FY || k >= FZ) continue;
    double share = (fx ? 0.5 : 1.0) * (fy ? 0.5 : 1.0) * (fz ? 0.5 : 1.0);
    for (int x = -1; x < 2; x++)
      for (int y = -1; y < 2; y++)
        for (int z = -1; z < 2; z++) {  // the neighbour's place about the other coarse node
          int gx = fx + x - 2 * dx, gy = fy + y - 2 * dy, gz = fz + z - 2 * dz;
          if (abs(gx) > 1 || abs(gy) > 1 || abs(gz) > 1) continue;
          if (i + x < 0 || j + y < 0 || k + z < 0) continue;
          if (i + x >= FX || j + y >= FY || k + z >= FZ) continue;
          double w = share * (gx ? 0.5 : 1.0) * (gy ? 0.5 : 1.0) * (gz ? 0.5 : 1.0);
          int g = half_of(x, y, z);
          long long f = ((long long)(i - low) * FY + j) * FZ + k;
          if (g < 0) f = ((long long)(i + x - low) * FY + j + y) * FZ + k + z;
          if (g == 0) {
            for (int q = 0; q < 9; q++) sum[q] += w * own[q * m + f];
            continue;
          }
          const N* S = B + 9LL * abs(g) * m + f;
          for (int q = 0; q < 9; q++) sum[q] += w * (double)S[(g < 0 ? q % 3 * 3 + q / 3 : q) * m];
        }
  }
  for (int q = 0; q < 9; q++) A[(h * 9LL + q) * n + at] = (M)sum[q];
}
"""
