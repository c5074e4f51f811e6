"""CUDA source of kernels on whole fields: inner products summed in fp64, updates, windows.

Sums go over a fixed number of blocks and then in order: the same every time.
"""

BLOCKS, THREADS = 1024, 256
"""Launch of the kernels that sum; each thread strides over its case."""

SOURCE = r"""
__device__ inline void summed(double own, double* part) {
  __shared__ double all[256];
  all[threadIdx.x] = own;
  __syncthreads();
  for (int half = 128; half; half /= 2) {
    if (threadIdx.x < half) all[threadIdx.x] += all[threadIdx.x + half];
    __syncthreads();
  }
  if (threadIdx.x == 0) part[blockIdx.y * gridDim.x + blockIdx.x] = all[0];
}

template <typename P, typename Q>
__global__ void dots(const P* a, const Q* b, double* parts, long long n) {
  double own = 0;
  a += n * blockIdx.y; b += n * blockIdx.y;
  for (long long k = blockIdx.x * 256LL + threadIdx.x; k < n; k += gridDim.x * 256LL)
    own += (double)a[k] * (double)b[k];
  summed(own, parts);
}

template <typename P>
__global__ void turn(const float* z, const double* beta, P* p, long long n) {
  long long k = blockIdx.x * 256LL + threadIdx.x;
  if (k >= n) return;
  k += n * blockIdx.y;
  p[k] = (P)z[k] + (P)beta[blockIdx.y] * p[k];
}

extern "C" __global__ void accelerate(const float* z, float keep, float step, float* d, float* x,
                                      long long n) {
  long long k = blockIdx.x * (long long)blockDim.x + threadIdx.x;
  if (k >= n) return;
  float fresh = keep * d[k] + step * z[k];
  d[k] = fresh;
  x[k] += fresh;
}

// x += a p, r -= a q.
template <typename P, typename X>
__global__ void advance(const double* alpha, const P* p, const P* q, X* x, P* r, double* parts,
                        long long n) {
  double own = 0, a = alpha[blockIdx.y];
  long long start = n * blockIdx.y;
  p += start; q += start; x += start; r += start;
  for (long long k = blockIdx.x * 256LL + threadIdx.x; k < n; k += gridDim.x * 256LL) {
    x[k] += (X)a * (X)p[k];
    P fresh = (P)((double)r[k] - a * (double)q[k]);
    r[k] = fresh;
    own += (double)fresh * (double)fresh;
  }
  summed(own, parts);
}

// What one step of ``low`` adds to ``x``: 2^-16 of the step of x's last bit.
__device__ inline double grain(float x) {
  return (double)__uint_as_float(__float_as_uint(x) & 0x7f800000u) * 0x1p-39;
}

// The same where 16 bits more of an fp32 x are in ``low``.
extern "C" __global__ void advance_low(const double* alpha, const float* p, const float* q,
                                       float* x, short* low, float* r, double* parts,
                                       long long n) {
  double own = 0, a = alpha[blockIdx.y];
  long long start = n * blockIdx.y;
  p += start; q += start; x += start; r += start; low += start;
  for (long long k = blockIdx.x * 256LL + threadIdx.x; k < n; k += gridDim.x * 256LL) {
    float before = x[k];
    double whole = (double)before + low[k] * grain(before) + a * (double)p[k];
    float now = (float)whole;
    double each = grain(now);
    x[k] = now;
    low[k] = each > 0 ? (short)max(-32767.0, min(32767.0, rint((whole - now) / each))) : 0;
    float fresh = (float)((double)r[k] - a * (double)q[k]);
    r[k] = fresh;
    own += (double)fresh * (double)fresh;
  }
  summed(own, parts);
}

extern "C" __global__ void rest(const float* x, const short* low, float* out, long long n) {
  long long k = blockIdx.x * (long long)blockDim.x + threadIdx.x;
  if (k < n) out[k] = (float)(low[k] * grain(x[k]));
}

extern "C" __global__ void convolve(const float* __restrict__ field, const float* weights,
                                    float* out, int NX, int NY, int NZ, int WX, int WY, int WZ) {
  long long n = (long long)NX * NY * NZ, at = blockIdx.x * (long long)blockDim.x + threadIdx.x;
  if (at >= n) return;
  unsigned here = at;  // 32 bits divide faster, and no grid that fits has more nodes
  int i = here / (unsigned)(NY * NZ) - WX / 2, j = here / (unsigned)NZ % (unsigned)NY - WY / 2;
  int k = here % (unsigned)NZ - WZ / 2;
  float sum = 0;
  for (int x = max(0, -i); x < min(WX, NX - i); x++)
    for (int y = max(0, -j); y < min(WY, NY - j); y++)
      for (int z = max(0, -k); z < min(WZ, NZ - k); z++) {
        float w = weights[(x * WY + y) * WZ + z];
        if (w) sum += w * field[((long long)(i + x) * NY + j + y) * NZ + k + z];
      }
  out[at] = sum;
}
"""
