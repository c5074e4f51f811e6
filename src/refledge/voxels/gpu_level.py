"""The grids of the GPU backend that are applied through the given one's elements."""

from abc import ABC, abstractmethod
from typing import Any

import numpy as np

from refledge.voxels import gpu_element, gpu_fine
from refledge.voxels.backend import Array
from refledge.voxels.dense import DEAD
from refledge.voxels.gpu_launch import APPLY, RESIDUAL, SMOOTH, C, in_c, kernel, launch
from refledge.voxels.grid import Shape, coarser, nodes_of
from refledge.voxels.hexahedron import Element

_FEW = 1000  # blocks of threads below which marches are cut shorter: fewer leave the GPU idle


class GpuLevel(ABC):
    """What the given grid and the coarser ones share."""

    shape: Shape
    spread: float
    free: Array
    """(nodes,): a bit for each free motion."""

    def __init__(self, xp: Any, shape: Shape, spread: float) -> None:
        self.xp, self.shape, self.spread = xp, shape, spread
        self.nodes = nodes_of(shape)
        self.count = int(np.prod(self.nodes))

    @abstractmethod
    def run(self, mode: int, x: Array, b: Array, out: Array, *factors: float) -> None:
        """One pass over the grid: what ``mode`` of gpu_launch names, into ``out``."""

    def apply(self, x: Array, out: Array) -> None:
        self.run(APPLY, x, x, out, 0.0, 0.0)

    def residual(self, b: Array, x: Array, out: Array) -> None:
        self.run(RESIDUAL, x, b, out, 0.0, 0.0)

    def smooth(self, b: Array, x: Array, keep: float, step: float, out: Array) -> None:
        self.run(SMOOTH, x, b, out, float(keep), float(step))

    def restrict(self, r: Array, out: Array) -> None:
        nodes = nodes_of(coarser(self.shape))
        rows = 3 * len(r)
        what = kernel(f"restricted<{C[r.dtype]}>")
        launch(what, int(np.prod(nodes)), rows, r, out, *self.nodes, *nodes)

    def prolong(self, coarse: Array, x: Array) -> None:
        nodes = nodes_of(coarser(self.shape))
        rows = 3 * len(x)
        launch(kernel("prolonged"), self.count, rows, coarse, x, self.free, *self.nodes, *nodes)


class FineLevel(GpuLevel):
    """The given grid: the caller's ``scale`` and 1 B a node; everything else is recomputed."""

    def __init__(self, xp: Any, element: Element, scale: Array, held: Array, kept: Any) -> None:
        super().__init__(xp, scale.shape, element.spread)
        self.element, self.scale = element, scale
        self.constants = gpu_element.constants(element)
        self.kept = kept
        """What stencils of coarse grids are kept in."""
        self.free = xp.empty(self.count, np.uint8)
        launch(self._kernel("loose"), self.count, 1, scale, held, self.free, *self.nodes)

    def _kernel(self, name: str) -> Any:
        return kernel(name, self.constants)

    def apply(self, x: Array, out: Array) -> None:
        """fp32 motions are multiplied in fp64: conjugate gradients live by what cancels here."""
        march(self, self, APPLY, x, x, out, (0.0, 0.0), "double")

    def run(self, mode: int, x: Array, b: Array, out: Array, *factors: float) -> None:
        march(self, self, mode, x, b, out, factors, C[x.dtype])

    def start(self, b: Array, step: float, before: Array, out: Array) -> None:
        launch(
            self._kernel("fine_start"), self.count, len(b), b, float(step), before, out, self.scale,
            self.free, *self.nodes,
        )  # fmt: skip


def march(
    given: FineLevel, level: GpuLevel, mode: int, x: Array, b: Array, out: Array,
    factors: tuple[float, ...], calculated: str,
) -> None:  # fmt: skip
    """Launch the kernel that applies ``level``, the given grid or the next coarser, by ``mode``."""
    tall = gpu_fine.TALL[calculated]
    NX, NY, NZ = level.nodes
    tiles = -(-NZ // (gpu_fine.WIDE - 1)), -(-NY // (tall - 1))
    slab = gpu_fine.SLAB
    while slab > 4 and tiles[0] * tiles[1] * -(-NX // slab) * len(x) < _FEW:
        slab //= 2
    slabs = -(-NX // slab)
    coarse = level is not given
    name = f"{C[x.dtype]}, {calculated}, {C[out.dtype]}, {tall}, {mode}, {str(coarse).lower()}"
    what = kernel(f"fine<{name}>", given.constants)
    special, inverse = (level.special, level.inverse) if coarse else (given.free, given.scale)  # type: ignore[attr-defined]
    arguments = (
        x, b, out, given.scale, level.free, given.free, special, inverse, *factors, NX, NY, NZ,
        *given.nodes, slab, slabs,
    )  # fmt: skip
    what((*tiles, slabs * len(x)), (gpu_fine.WIDE, tall), in_c(arguments))


def inverses(xp: Any, blocks: Array) -> Array:
    """(nodes,): free bits from each node's block (6, nodes), fp32, which its inverse replaces."""
    count = blocks.shape[1]
    free = xp.empty(count, np.uint8)
    dead = (blocks[:3].max() * DEAD).astype(np.float64).reshape(1)
    launch(kernel("blocks"), count, 1, dead, free, blocks, np.int64(count))
    return free
