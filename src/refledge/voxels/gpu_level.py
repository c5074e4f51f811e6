"""The grids of the GPU backend: arrays on the device and the launch of their kernels."""

from functools import cache
from typing import Any

import numpy as np

from refledge.typed import Floats
from refledge.voxels import gpu_coarse, gpu_fine, gpu_vector
from refledge.voxels.backend import Array
from refledge.voxels.grid import CORNERS, Shape, coarser, nodes_of
from refledge.voxels.hexahedron import Element

APPLY, RESIDUAL, SMOOTH = range(3)
_DEAD = 1e-13  # stiffness, relative to the greatest, below which a motion counts as having none
_FEW = 1000  # blocks of threads below which marches are cut shorter: fewer leave the GPU idle
_THREADS = 128
_C = {np.dtype(np.float32): "float", np.dtype(np.float64): "double"}
_KINDS = tuple(_C.values())
_FINE = tuple(
    f"fine<{s}, {t}, {o}, {gpu_fine.TALL[t]}, {mode}>"
    for s, t, o, modes in (
        ("float", "float", "float", (APPLY, RESIDUAL, SMOOTH)),
        ("double", "double", "double", (APPLY, RESIDUAL)),
        ("float", "double", "float", (APPLY,)),
        ("double", "double", "float", (RESIDUAL,)),
    )
    for mode in modes
)
_COARSE = (
    *(f"stencil<{m}, float, {m}, {mode}>" for m in _KINDS for mode in range(3)),
    *(f"stencil<{m}, double, double, {mode}>" for m in _KINDS for mode in range(2)),
    *(f"{name}<{m}>" for m in _KINDS for name in ("blocks", "first", "turn")),
    *(
        f"{name}<{m}, {n}>"
        for m in _KINDS
        for n in _KINDS
        for name in ("following", "dots", "advance")
    ),
)


@cache
def _module(source: str, names: tuple[str, ...]) -> Any:
    import cupy  # noqa: PLC0415 - only where there is a GPU

    return cupy.RawModule(code=source, options=("-std=c++17",), name_expressions=names)


@cache
def kernel(name: str, constants: str = "") -> Any:
    """A compiled kernel: of the given grid with its element's ``constants``, else of the rest."""
    if constants:
        names = (*_FINE, "energies<float>", "energies<double>")
        return _module(constants + gpu_fine.SOURCE, names).get_function(name)
    source = gpu_fine.HEADER + gpu_coarse.SOURCE + gpu_vector.SOURCE
    return _module(source, _COARSE).get_function(name)


def launch(what: Any, count: int, rows: int, *arguments: Any) -> None:
    """One thread for each of ``count`` places in each of ``rows``; Python's ints become C's."""
    what((-(-count // _THREADS), rows), (_THREADS,), _in_c(arguments))


def _in_c(arguments: tuple[Any, ...]) -> tuple[Any, ...]:
    kinds = {int: np.int32, float: np.float32}
    return tuple(kinds.get(type(each), lambda same: same)(each) for each in arguments)


class _GpuLevel:
    """What the given grid and the coarser ones share."""

    shape: Shape
    spread: float
    free: Array

    def __init__(self, shape: Shape, spread: float) -> None:
        self.shape, self.spread = shape, spread
        self.nodes = nodes_of(shape)
        self.count = int(np.prod(self.nodes))

    def run(self, mode: int, x: Array, b: Array, d: Array, out: Array, *factors: float) -> None:
        raise NotImplementedError

    def apply(self, x: Array, out: Array) -> None:
        self.run(APPLY, x, x, x, out, 0.0, 0.0)

    def residual(self, b: Array, x: Array, out: Array) -> None:
        self.run(RESIDUAL, x, b, x, out, 0.0, 0.0)

    def smooth(self, b: Array, x: Array, keep: float, step: float, d: Array, out: Array) -> None:
        self.run(SMOOTH, x, b, d, out, float(keep), float(step))

    def restrict(self, r: Array, out: Array) -> None:
        nodes = nodes_of(coarser(self.shape))
        rows = 3 * len(r)
        launch(kernel("restricted"), int(np.prod(nodes)), rows, r, out, *self.nodes, *nodes)

    def prolong(self, coarse: Array, x: Array) -> None:
        nodes = nodes_of(coarser(self.shape))
        rows = 3 * len(x)
        launch(kernel("prolonged"), self.count, rows, coarse, x, self.free, *self.nodes, *nodes)


class FineLevel(_GpuLevel):
    """The given grid: 4 B a voxel for the scale and 1 B a node; everything else is recomputed."""

    def __init__(self, xp: Any, element: Element, scale: Array, held: Array) -> None:
        super().__init__(scale.shape, element.spread)
        self.xp, self.element = xp, element
        self._constants = gpu_fine.constants(element)
        self.scale = xp.zeros(self.nodes, np.float32)
        self.scale[:-1, :-1, :-1] = scale
        self.free = xp.empty(self.count, np.uint8)
        launch(self._kernel("loose"), self.count, 1, self.scale, held, self.free, *self.nodes)

    def _kernel(self, name: str) -> Any:
        return kernel(name, self._constants)

    def apply(self, x: Array, out: Array) -> None:
        """fp32 motions are multiplied in fp64: conjugate gradients live by what cancels here."""
        self.run(APPLY, x, x, x, out, 0.0, 0.0, calculated="double")

    def run(
        self, mode: int, x: Array, b: Array, d: Array, out: Array, *factors: float,
        calculated: str = "",
    ) -> None:  # fmt: skip
        stored = _C[x.dtype]
        t = calculated or stored
        tall = gpu_fine.TALL[t]
        NX, NY, NZ = self.nodes
        tiles = -(-NZ // (gpu_fine.WIDE - 1)), -(-NY // (tall - 1))
        slab = gpu_fine.SLAB
        while slab > 4 and tiles[0] * tiles[1] * -(-NX // slab) * len(x) < _FEW:
            slab //= 2
        slabs = -(-NX // slab)
        name = f"fine<{stored}, {t}, {_C[out.dtype]}, {tall}, {mode}>"
        arguments = (x, b, d, out, self.scale, self.free, *factors, NX, NY, NZ, slab, slabs)
        self._kernel(name)((*tiles, slabs * len(x)), (gpu_fine.WIDE, tall), _in_c(arguments))

    def start(self, b: Array, step: float, d: Array, out: Array) -> None:
        launch(
            self._kernel("fine_start"), self.count, len(b), b, float(step), d, out, self.scale,
            self.free, *self.nodes,
        )  # fmt: skip

    def coarse(self, dtype: Any) -> "StencilLevel":
        """Galerkin's product, stored as ``dtype``."""
        shape = coarser(self.shape)
        nodes = nodes_of(shape)
        A = self.xp.empty((14, 9, int(np.prod(nodes))), dtype)
        weights = child_weights()
        values = np.einsum("eap,iajb,ebq->epqij", weights, self.element.K, weights, optimize=True)
        tables = (
            self.xp.asarray(np.ascontiguousarray(each))
            for each in (self.element.K, values, weights)
        )
        launch(
            kernel(f"first<{_C[A.dtype]}>"), A.shape[2], 14, self.scale, self.free, *tables, A,
            *self.nodes, *nodes,
        )  # fmt: skip
        return StencilLevel(self.xp, shape, A, self.spread)


class StencilLevel(_GpuLevel):
    """A coarser grid."""

    def __init__(self, xp: Any, shape: Shape, A: Array, spread: float) -> None:
        super().__init__(shape, spread)
        self.xp, self.A = xp, A
        self.free = xp.empty(self.count, np.uint8)
        self.inverse = xp.empty((6, self.count), np.float32)
        greatest = xp.stack([A[0, row].max() for row in (0, 4, 8)]).max()
        dead = (greatest * _DEAD).astype(np.float64)
        name = f"blocks<{_C[A.dtype]}>"
        launch(kernel(name), self.count, 1, A, dead, self.free, self.inverse, np.int64(self.count))

    def run(self, mode: int, x: Array, b: Array, d: Array, out: Array, *factors: float) -> None:
        stored, kept = _C[x.dtype], _C[self.A.dtype]
        t = "double" if "double" in (stored, kept) else "float"
        launch(
            kernel(f"stencil<{kept}, {stored}, {t}, {mode}>"), self.count, len(x), x, b, d, out,
            self.A, self.inverse, *factors, *self.nodes,
        )  # fmt: skip

    def start(self, b: Array, step: float, d: Array, out: Array) -> None:
        launch(
            kernel("coarse_start"), self.count, len(b), b, float(step), d, out, self.inverse,
            np.int64(self.count),
        )  # fmt: skip

    def coarse(self, dtype: Any) -> "StencilLevel":
        """Galerkin's product, stored as ``dtype``."""
        shape = coarser(self.shape)
        nodes = nodes_of(shape)
        A = self.xp.empty((14, 9, int(np.prod(nodes))), dtype)
        name = f"following<{_C[self.A.dtype]}, {_C[A.dtype]}>"
        launch(kernel(name), A.shape[2], 14, self.A, A, *self.nodes, *nodes)
        return StencilLevel(self.xp, shape, A, self.spread)

    def dense(self) -> Floats:
        """(3 n, 3 n) over (component, node), NumPy's."""
        A, n = self.A.get().astype(float), self.count
        M = np.zeros((3, n, 3, n))
        for h, block in enumerate(A):
            x, y, z = (h + 13) // 9 - 1, (h + 13) // 3 % 3 - 1, (h + 13) % 3 - 1
            offset = (x * self.nodes[1] + y) * self.nodes[2] + z
            here = np.arange(n - offset) if offset >= 0 else np.arange(n)
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
