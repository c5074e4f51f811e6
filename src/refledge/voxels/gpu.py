"""The backend for NVIDIA GPUs through CuPy: kernels in CUDA, arrays that stay on the device."""

from functools import cache
from importlib.util import find_spec
from typing import Any

import numpy as np

from refledge.errors import AnalysisError
from refledge.typed import Floats
from refledge.voxels import gpu_element
from refledge.voxels.backend import Array, Level
from refledge.voxels.dense import inverse_of
from refledge.voxels.gpu_below import NextLevel, StencilLevel
from refledge.voxels.gpu_launch import C, kernel, launch, pool
from refledge.voxels.gpu_level import FineLevel
from refledge.voxels.gpu_vector import BLOCKS, THREADS
from refledge.voxels.grid import Shape
from refledge.voxels.hexahedron import Element

SHARED_BYTES, CASE_BYTES = 30, 80
"""Bytes a voxel of a solve, and of each of its load cases, as docs/gpu.md adds them up."""


@cache
def gpu_here() -> bool:
    """Whether CuPy is installed and finds a device."""
    if find_spec("cupy") is None:
        return False
    try:
        import cupy  # noqa: PLC0415 - only where there is a GPU

        return bool(cupy.cuda.runtime.getDeviceCount() > 0)
    except Exception:  # a CuPy without its driver or libraries: many kinds of error, one meaning
        return False


class GpuBackend:
    """``stored``: voxels of the largest grid whose first coarse grid keeps its stencil. ``exact``:
    those of the largest whose motions and stencils are fp64; of larger ones they are fp32, motions
    with 16 bits more while they are solved for."""

    name = "gpu"
    xp: Any

    def __init__(self, stored: int = 100_000, exact: int = 20_000_000) -> None:
        if not gpu_here():
            raise AnalysisError("no GPU: CuPy is not installed or finds no device; use cpu")
        import cupy  # noqa: PLC0415 - only where there is a GPU

        self.xp = cupy
        self._stored, self._exact = stored, exact

    def put(self, values: Any, dtype: Any) -> Array:
        if not isinstance(values, self.xp.ndarray):
            values = self.xp.asarray(np.asarray(values, dtype))
        return self.xp.ascontiguousarray(values, dtype)

    def get(self, values: Array) -> Floats:
        return np.asarray(self.xp.asnumpy(values))

    def noise(self, shape: tuple[int, ...]) -> Array:
        return self.xp.random.default_rng(0).standard_normal(shape, np.float32)

    def motion(self, shape: Shape) -> Any:
        return np.float64 if int(np.prod(shape)) <= self._exact else np.float32

    def low(self, x: Array) -> Array | None:
        return self.xp.zeros(x.shape, np.int16) if x.dtype == np.float32 else None

    def rest(self, x: Array, low: Array, out: Array) -> None:
        launch(kernel("rest"), x.size, 1, x, low, out, np.int64(x.size))

    def search(self, dtype: Any) -> Any:  # noqa: ARG002
        """fp32 for residual and search motion: their products are calculated in fp64."""
        return np.dtype(np.float32)

    def room(self) -> int:
        """Bytes of the device that can still be had."""
        return pool().room()

    def tidy(self) -> None:
        pool().tidy()

    def require(self, shape: Shape, cases: int) -> None:
        """Raise AnalysisError where a solve on ``shape`` will not fit, with the size that would."""
        refuse(shape, cases, self.room())

    def fine(self, element: Element, scale: Array, held: Array) -> Level:
        return FineLevel(self.xp, element, scale, held, self.motion(scale.shape))

    def coarsen(self, level: Level) -> Level:
        if isinstance(level, FineLevel):
            following = NextLevel(level)
            small = int(np.prod(level.shape)) <= self._stored
            return following.stored() if small else following
        assert isinstance(level, NextLevel | StencilLevel)
        return level.coarse()

    def inverse(self, level: Level) -> Array:
        assert isinstance(level, NextLevel | StencilLevel)
        stored = level.stored() if isinstance(level, NextLevel) else level
        return self.xp.asarray(inverse_of(stored.dense()))

    def dense(self, inverse: Array, b: Array, out: Array) -> None:
        out[...] = (b.reshape(len(b), -1) @ inverse).reshape(b.shape)

    def dots(self, a: Array, b: Array) -> Array:
        a, b = (self.xp.ascontiguousarray(each) for each in (a, b))
        parts = self.xp.empty((len(a), BLOCKS), np.float64)
        what = kernel(f"dots<{C[a.dtype]}, {C[b.dtype]}>")
        what((BLOCKS, len(a)), (THREADS,), (a, b, parts, np.int64(a[0].size)))
        return parts.sum(axis=1)

    def accelerate(self, z: Array, keep: float, step: float, d: Array, x: Array) -> None:
        launch(kernel("accelerate"), x.size, 1, z, float(keep), float(step), d, x, np.int64(x.size))

    def turn(self, z: Array, beta: Array, p: Array) -> None:
        n = p[0].size
        beta = self.xp.asarray(beta, np.float64)
        what = kernel(f"turn<{C[p.dtype]}>")
        what((-(-n // THREADS), len(p)), (THREADS,), (z, beta, p, np.int64(n)))

    def advance(
        self, alpha: Array, p: Array, q: Array, x: Array, low: Array | None, r: Array
    ) -> Array:
        parts = self.xp.empty((len(p), BLOCKS), np.float64)
        alpha = self.xp.asarray(alpha, np.float64)
        what = kernel("advance_low" if low is not None else f"advance<{C[p.dtype]}, {C[x.dtype]}>")
        motions = (x,) if low is None else (x, low)
        what((BLOCKS, len(p)), (THREADS,), (alpha, p, q, *motions, r, parts, np.int64(p[0].size)))
        return parts.sum(axis=1)

    def convolve(self, field: Array, weights: Floats) -> Array:
        field = self.put(field, np.float32)
        out = self.xp.empty_like(field)
        window = self.put(weights, np.float32)
        launch(kernel("convolve"), out.size, 1, field, window, out, *out.shape, *window.shape)
        return out

    def energies(self, element: Element, u: Array, v: Array) -> Array:
        u, v = self.xp.ascontiguousarray(u), self.xp.ascontiguousarray(v, u.dtype)
        nodes = u.shape[2:]
        out = self.xp.empty((len(u), *(n - 1 for n in nodes)), u.dtype)
        what = kernel(f"energies<{C[u.dtype]}>", gpu_element.constants(element))
        launch(what, int(np.prod(nodes)), len(u), u, v, out, *nodes)
        return out


def refuse(shape: Shape, cases: int, room: int) -> None:
    """Raise AnalysisError where ``shape`` needs more than ``room`` bytes; see ``require``."""
    each = SHARED_BYTES + CASE_BYTES * cases
    needed = int(np.prod(shape)) * each
    if needed <= room:
        return
    share = (room / needed) ** (1 / 3)
    fits = tuple(int(n * share) for n in shape)
    raise AnalysisError(
        f"{shape[0]} x {shape[1]} x {shape[2]} voxels with {cases} load case(s) need "
        f"{needed / 1e9:.1f} GB, {room / 1e9:.1f} GB are free on the GPU; "
        f"{fits[0]} x {fits[1]} x {fits[2]} would fit: make voxels {1 / share:.2f} times as large"
    )
