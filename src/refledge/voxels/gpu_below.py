"""The coarse grids of the GPU backend: the first through the given one, the rest by stencils."""

from typing import Any

import numpy as np

from refledge.typed import Floats
from refledge.voxels.backend import Array
from refledge.voxels.gpu_launch import C, kernel, launch, pool
from refledge.voxels.gpu_level import FineLevel, GpuLevel, inverses, march
from refledge.voxels.grid import CORNERS, Shape, coarser, nodes_of

_OWN = [0, 4, 8, 1, 2, 5]
"""Entries of a block's upper triangle: xx, yy, zz, xy, xz, yz."""
_PLANES = 8  # coarse planes that are made at once from a slab of the grid between


class NextLevel(GpuLevel):
    """The first coarse grid. Its stencil, 63 B a voxel of the given grid in fp32, is never whole in
    memory: it is applied child by child, and made slab by slab for the grid below."""

    def __init__(self, given: FineLevel) -> None:
        super().__init__(given.xp, coarser(given.shape), given.spread)
        self.given = given
        xp = self.xp
        self.special = xp.empty(self.count, np.uint8)
        what = kernel("marked", given.constants)
        launch(
            what, self.count, 1, given.scale, given.free, self.special, *given.nodes, *self.nodes
        )
        weights = child_weights()
        values = np.einsum("eap,iajb,ebq->epqij", weights, given.element.K, weights, optimize=True)
        self._tables = tuple(
            xp.asarray(np.ascontiguousarray(each)) for each in (given.element.K, values, weights)
        )
        self.inverse = xp.empty((6, self.count), np.float32)
        self._below = self._made()
        self.free = inverses(xp, self.inverse)

    def run(self, mode: int, x: Array, b: Array, out: Array, *factors: float) -> None:
        march(self.given, self, mode, x, b, out, factors, C[x.dtype])

    def start(self, b: Array, step: float, before: Array, out: Array) -> None:
        _start(self, b, step, before, out)

    def coarse(self) -> "StencilLevel":
        """Galerkin's product; P interpolates ones as ones, so that sums of rows are restricted."""
        nodes = nodes_of(coarser(self.shape))
        below, self._below = self._below, None
        sums = self.xp.empty((3, 3, *nodes), self.given.kept)
        self.restrict(self._sums(), sums)
        below[0] = sums.reshape(9, -1)
        del sums
        pool().tidy()
        return StencilLevel(self.xp, coarser(self.shape), below, self.spread)

    def stored(self) -> "StencilLevel":
        """The same grid with its stencil kept, for small ones."""
        A = self._slab(0, self.nodes[0]).astype(self.given.kept)
        A[0] = self._sums().reshape(9, -1)
        return StencilLevel(self.xp, self.shape, A, self.spread)

    def _slab(self, low: int, high: int) -> Array:
        """(14, 9, nodes), fp64: blocks of planes ``low`` to ``high``, own ones first."""
        count = (high - low) * self.nodes[1] * self.nodes[2]
        A = self.xp.empty((14, 9, count), np.float64)
        given = self.given
        launch(
            kernel("first"), count, 14, given.scale, given.free, *self._tables, A, low, high - low,
            *given.nodes, *self.nodes,
        )  # fmt: skip
        return A

    def _made(self) -> Array:
        """(14, 9, nodes) of the grid below, its first place empty; own blocks go to ``inverse``."""
        nodes, plane = nodes_of(coarser(self.shape)), self.nodes[1] * self.nodes[2]
        below = self.xp.empty((14, 9, int(np.prod(nodes))), self.given.kept)
        for first in range(0, nodes[0], _PLANES):
            last = min(first + _PLANES, nodes[0])
            low, high = max(0, 2 * first - 1), min(self.nodes[0], 2 * last)
            A = self._slab(low, high)
            self.inverse[:, low * plane : high * plane] = A[0, _OWN]
            _product(A, A[0], low, self.nodes, below, (first, last), nodes)
            del A
        pool().tidy()
        return below

    def _sums(self) -> Array:
        """(3, 3, nodes): sums of rows; the stiffness times ones, component by component."""
        xp = self.xp
        found = xp.empty((3, 3, *self.nodes), self.given.kept)
        for component in range(3):
            ones = xp.zeros((1, 3, *self.nodes), np.float64)
            ones[0, component] = 1
            out = xp.empty_like(ones)
            self.apply(ones, out)
            found[:, component] = out[0]
        return found


class StencilLevel(GpuLevel):
    """A coarser grid; ``A`` (14, 9, nodes) has the sums of rows in its first place."""

    def __init__(self, xp: Any, shape: Shape, A: Array, spread: float) -> None:
        super().__init__(xp, shape, spread)
        self.A = A
        self.inverse = self._own()[_OWN].astype(np.float32)
        self.free = inverses(xp, self.inverse)

    def run(self, mode: int, x: Array, b: Array, out: Array, *factors: float) -> None:
        launch(
            kernel(f"stencil<{C[self.A.dtype]}, {C[x.dtype]}, {mode}>"), self.count, len(x), x, b,
            out, self.A, self.inverse, *factors, *self.nodes,
        )  # fmt: skip

    def start(self, b: Array, step: float, before: Array, out: Array) -> None:
        _start(self, b, step, before, out)

    def coarse(self) -> "StencilLevel":
        """Galerkin's product."""
        shape = coarser(self.shape)
        nodes = nodes_of(shape)
        A = self.xp.empty((14, 9, int(np.prod(nodes))), self.A.dtype)
        _product(self.A, self._own(), 0, self.nodes, A, (0, nodes[0]), nodes)
        sums = self.xp.empty((3, 3, *nodes), self.A.dtype)
        self.restrict(self.A[0].reshape(3, 3, *self.nodes), sums)
        A[0] = sums.reshape(9, -1)
        return StencilLevel(self.xp, shape, A, self.spread)

    def _own(self) -> Array:
        """(9, nodes), fp64: each node's own block, as it is applied."""
        found = self.xp.empty((9, self.count), np.float64)
        launch(kernel(f"own<{C[self.A.dtype]}>"), self.count, 9, self.A, found, *self.nodes)
        return found

    def dense(self) -> Floats:
        """(3 n, 3 n) over (component, node), NumPy's."""
        n = self.count
        blocks = self.xp.asnumpy(self.A).astype(float)
        blocks[0] = self.xp.asnumpy(self._own())
        M = np.zeros((3, n, 3, n))
        for h, block in enumerate(blocks):
            x, y, z = (h + 13) // 9 - 1, (h + 13) // 3 % 3 - 1, (h + 13) % 3 - 1
            offset = (x * self.nodes[1] + y) * self.nodes[2] + z
            here = np.arange(n - offset)
            for i in range(3):
                for j in range(3):
                    M[i, here, j, here + offset] += block[3 * i + j, here]
                    if h:
                        M[j, here + offset, i, here] += block[3 * i + j, here]
        return M.reshape(3 * n, 3 * n)


def child_weights() -> Floats:
    """(8, 8, 8): child of a coarse element, the child's corner, the coarse element's corner."""
    corners = np.array(CORNERS)
    at = (corners[:, None, :] + corners[None, :, :])[:, :, None, :]  # 0, 1, 2 along the parent
    return np.asarray(np.prod(1 - 0.5 * np.abs(at - 2 * corners), axis=-1))


def _product(
    B: Array, own: Array, low: int, nodes: Shape, out: Array, planes: tuple[int, int], below: Shape
) -> None:
    """Galerkin's product into ``planes`` of ``out``; ``B`` begins at plane ``low`` of its grid."""
    first, last = planes
    plane = nodes[1] * nodes[2]
    launch(
        kernel(f"following<{C[B.dtype]}, {C[out.dtype]}>"), (last - first) * below[1] * below[2],
        13, B, own, out, low, B.shape[2] // plane, first, last - first, *nodes, *below,
    )  # fmt: skip


def _start(level: GpuLevel, b: Array, step: float, before: Array, out: Array) -> None:
    launch(
        kernel("coarse_start"), level.count, len(b), b, float(step), before, out,
        level.inverse, np.int64(level.count),  # type: ignore[attr-defined]
    )  # fmt: skip
