"""The backend for CPUs: compiled loops on NumPy arrays, as many threads as numba is given."""

import os
import threading
from abc import ABC, abstractmethod
from typing import Any

import numba
import numpy as np

from refledge.errors import AnalysisError
from refledge.typed import Floats
from refledge.voxels import cpu_coarse, cpu_fine, cpu_galerkin, cpu_nodes, cpu_vector
from refledge.voxels.backend import Array, Level
from refledge.voxels.dense import DEAD, inverse_of
from refledge.voxels.grid import Shape, coarser, nodes_of, touched
from refledge.voxels.hexahedron import Element
from refledge.voxels.host import HostArrays

# Idle threads sleep: spinning at every kernel's end made loaded machines ten times slower.
os.environ.setdefault("OMP_WAIT_POLICY", "passive")
_LOCK = threading.RLock()  # some of numba's thread pools may not be entered twice
_ALONE = 1 << 14  # nodes below which one thread is faster than waiting for others, by trial
_LONGEST = cpu_fine.WIDTH // 4
_NONE = np.zeros((0, 3, 0), np.float32)
HALF = np.full((3, 3, 3), -1)
for _place, _offset in enumerate(cpu_coarse.HALF):
    HALF[tuple(np.array(_offset) + 1)] = _place


def _launch(kernel: Any, size: int, *arguments: Any) -> Any:
    """Run a kernel over ``size`` nodes, on one thread where that is little work."""
    with _LOCK:
        threads = numba.get_num_threads()
        if size >= _ALONE or threads == 1:
            return kernel(*arguments)
        numba.set_num_threads(1)
        try:
            return kernel(*arguments)
        finally:
            numba.set_num_threads(threads)


class _CpuLevel(ABC):
    """What the given grid and the coarser ones share."""

    def __init__(self, shape: Shape, free: Array, blocks: Array, spread: float) -> None:
        self.shape, self.free, self.spread = shape, free, spread
        self.nodes = nodes_of(shape)
        self.inverse = np.empty(blocks.shape, np.float32)
        _launch(cpu_nodes.invert, free.size, blocks, free, self.inverse)

    @abstractmethod
    def run(self, mode: int, x: Array, b: Array, out: Array, *factors: float) -> None:
        """One pass over the grid: what ``mode`` of cpu_fine names, into ``out``."""

    def apply(self, x: Array, out: Array) -> None:
        self.run(cpu_fine.APPLY, x, x, out, 0.0, 0.0)

    def residual(self, b: Array, x: Array, out: Array) -> None:
        self.run(cpu_fine.RESIDUAL, x, b, out, 0.0, 0.0)

    def smooth(self, b: Array, x: Array, keep: float, step: float, out: Array) -> None:
        self.run(cpu_fine.SMOOTH, x, b, out, keep, step)

    def start(self, b: Array, step: float, before: Array, out: Array) -> None:
        before[...] = 0
        _launch(
            cpu_nodes.start, self.free.size, _flat(b), self.inverse, np.float32(step), _flat(out)
        )

    def restrict(self, r: Array, out: Array) -> None:
        nodes = nodes_of(coarser(self.shape))
        _launch(cpu_coarse.restrict, self.free.size, _flat(r), self.nodes, nodes, _flat(out))

    def prolong(self, coarse: Array, x: Array) -> None:
        nodes = nodes_of(coarser(self.shape))
        _launch(
            cpu_coarse.prolong, self.free.size, _flat(coarse), nodes, self.nodes, self.free,
            _flat(x),
        )  # fmt: skip


class FineLevel(_CpuLevel):
    """The given grid."""

    def __init__(self, element: Element, scale: Array, held: Array) -> None:
        self.element = element
        nodes = nodes_of(scale.shape)
        padded = np.zeros(nodes, np.float32)
        padded[:-1, :-1, :-1] = scale
        self.scale = padded.ravel()
        free = np.where(touched(scale > 0), 7 & ~held, 0).astype(np.uint8).ravel()
        blocks = np.empty((6, free.size))
        corner = tuple(map(float, element.diagonal))
        _launch(cpu_nodes.diagonal, free.size, self.scale, corner, nodes, blocks)
        super().__init__(scale.shape, free, blocks, element.spread)
        self._tile = cpu_fine.tiles(nodes, numba.get_num_threads())
        self._pairs = {dtype: element.pairs.astype(dtype) for dtype in (np.float32, np.float64)}

    def run(self, mode: int, x: Array, b: Array, out: Array, *factors: float) -> None:
        dtype = x.dtype.type
        keep, step = map(np.float32, factors)
        _launch(
            cpu_fine.stiffness, self.free.size, mode, _flat(x), _flat(b), _flat(out),
            self.scale, self._pairs[dtype], self.free, self.inverse, keep, step, self.nodes,
            *self._tile, _scratch(dtype),
        )  # fmt: skip

    def coarse(self, kept: type) -> "StencilLevel":
        """Galerkin's product, to be kept as ``kept``."""
        weights, values, pairs = cpu_galerkin.children(self.element.K, HALF)
        shape = coarser(self.shape)
        nodes = nodes_of(shape)
        A: Array = np.zeros((14, 9, int(np.prod(nodes))))
        _launch(
            cpu_galerkin.first, self.free.size, self.scale, self.free, self.element.K, weights,
            values, pairs, self.nodes, nodes, A,
        )  # fmt: skip
        return StencilLevel(shape, A, kept, self.spread)


class StencilLevel(_CpuLevel):
    """A coarser grid: built in fp64, applied in what it is kept in."""

    def __init__(self, shape: Shape, built: Array, kept: type, spread: float) -> None:
        """``built`` (14, 9, n) fp64: blocks as cpu_galerkin leaves them, own ones first."""
        diagonal = built[0, [0, 4, 8]]
        live = diagonal > DEAD * diagonal.max()
        free = (live * np.array([1, 2, 4], np.uint8)[:, None]).sum(0, dtype=np.uint8)
        super().__init__(shape, free, built[0, [0, 4, 8, 1, 2, 5]], spread)
        _, ny, nz = self.nodes
        self.offsets = np.array([(x * ny + y) * nz + z for x, y, z in cpu_coarse.HALF])
        self._built: Array | None = built
        self.A = built.astype(kept)
        sums = np.empty(built.shape[1:])
        _launch(cpu_coarse.row_sums, 16 * self.free.size, built, self.offsets, sums)
        self.A[0] = sums

    def run(self, mode: int, x: Array, b: Array, out: Array, *factors: float) -> None:
        keep, step = map(np.float32, factors)
        _launch(
            cpu_coarse.stiffness, 4 * self.free.size, mode, _flat(x), _flat(b), _flat(out),
            self.A, self.offsets, self.inverse, keep, step,
        )  # fmt: skip

    def coarse(self) -> "StencilLevel":
        """Galerkin's product; what it was made from is let go."""
        built = self._release()
        shape = coarser(self.shape)
        nodes = nodes_of(shape)
        A: Array = np.zeros((14, 9, int(np.prod(nodes))))
        table = cpu_galerkin.combinations()
        size = 16 * self.free.size  # a node here is that much work
        _launch(cpu_galerkin.following, size, built, HALF, table, self.nodes, nodes, A)
        return StencilLevel(shape, A, self.A.dtype.type, self.spread)

    def dense(self) -> Floats:
        """(3 n, 3 n) over (component, node); what it was made from is let go."""
        built = self._release()
        n = built.shape[2]
        M = np.zeros((3, n, 3, n))
        for block, offset in zip(built, self.offsets, strict=True):
            here = np.arange(n - offset)
            for i in range(3):
                for j in range(3):
                    M[i, here, j, here + offset] += block[3 * i + j, here]
                    if offset:
                        M[j, here + offset, i, here] += block[3 * i + j, here]
        return M.reshape(3 * n, 3 * n)

    def _release(self) -> Array:
        """The blocks in fp64, once: they are twice what is kept."""
        assert self._built is not None, "the level below a level is made once"
        built, self._built = self._built, None
        return built


class CpuBackend(HostArrays):
    """Structure of arrays, fp32 in the preconditioner; ``stencil`` is what coarse grids keep."""

    name = "cpu"

    def __init__(self, stencil: type = np.float32) -> None:
        self._stencil = stencil

    def require(self, shape: Shape, cases: int) -> None:
        """The system says so itself when memory ends."""

    def tidy(self) -> None:
        """NumPy does so itself."""

    def fine(self, element: Element, scale: Array, held: Array) -> Level:
        if scale.shape[2] >= _LONGEST:
            raise AnalysisError(
                f"{scale.shape[2]} elements along the last axis; the CPU backend takes fewer than "
                f"{_LONGEST}: turn the grid so that a shorter side is last"
            )
        return FineLevel(element, scale, held)

    def coarsen(self, level: Level) -> Level:
        assert isinstance(level, FineLevel | StencilLevel)
        return level.coarse(self._stencil) if isinstance(level, FineLevel) else level.coarse()

    def inverse(self, level: Level) -> Array:
        assert isinstance(level, StencilLevel)
        return inverse_of(level.dense())

    def dense(self, inverse: Array, b: Array, out: Array) -> None:
        _launch(cpu_vector.dense, inverse.size // 100, inverse, _line(b), _line(out))

    def accelerate(self, z: Array, keep: float, step: float, d: Array, x: Array) -> None:
        factors = np.float32(keep), np.float32(step)
        _launch(cpu_vector.accelerate, x.size // 3, _line(z), *factors, _line(d), _line(x))

    def dots(self, a: Array, b: Array) -> Array:
        return _launch(cpu_vector.dots, a.size // 3, _line(a), _line(b)).sum(axis=1)

    def turn(self, z: Array, beta: Array, p: Array) -> None:
        _launch(cpu_vector.turn, p.size // 3, _line(z), beta.astype(p.dtype), _line(p))

    def advance(
        self, alpha: Array, p: Array, q: Array, x: Array, low: Array | None, r: Array
    ) -> Array:
        assert low is None
        lines = map(_line, (p, q, x, r))
        factors = alpha.astype(p.dtype)
        return _launch(cpu_vector.advance, p.size // 3, factors, *lines).sum(axis=1)

    def convolve(self, field: Array, weights: Floats) -> Array:
        field = self.put(field, np.float32)
        out = np.empty_like(field)
        _launch(cpu_vector.convolve, field.size, field, weights.astype(np.float32), out)
        return out

    def energies(self, element: Element, u: Array, v: Array) -> Array:
        nodes = u.shape[2:]
        dtype = u.dtype.type
        out = np.zeros((len(u), int(np.prod(nodes))), dtype)
        pairs = element.pairs.astype(dtype)
        _launch(cpu_fine.energies, out.size, _flat(u), _flat(v), pairs, nodes, _scratch(dtype), out)
        return np.ascontiguousarray(out.reshape(len(u), *nodes)[:, :-1, :-1, :-1])


def _flat(field: Array) -> Array:
    """(k, 3, n) of (k, 3, nx, ny, nz)."""
    return field.reshape(len(field), 3, -1)


def _line(field: Array) -> Array:
    """(k, n) of (k, ...)."""
    return field.reshape(len(field), -1)


_SCRATCH: dict[type, Array] = {}


def _scratch(dtype: type) -> Array:
    if dtype not in _SCRATCH:
        _SCRATCH[dtype] = cpu_fine.scratch(dtype)
    return _SCRATCH[dtype]
