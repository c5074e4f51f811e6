"""Compiling the GPU's kernels on first use, and launching them."""

from functools import cache
from typing import Any

import numpy as np

from refledge.voxels import gpu_coarse, gpu_element, gpu_fine, gpu_nodes, gpu_through, gpu_vector

APPLY, RESIDUAL, SMOOTH = range(3)
C = {np.dtype(np.float32): "float", np.dtype(np.float64): "double"}
_THREADS = 128
_KINDS = tuple(C.values())
_FINE = tuple(
    f"fine<{s}, {t}, {o}, {gpu_fine.TALL[t]}, {mode}, {coarse}>"
    for s, t, o, modes, grids in (
        ("float", "float", "float", (APPLY, RESIDUAL, SMOOTH), ("false", "true")),
        ("double", "double", "double", (APPLY, RESIDUAL), ("false", "true")),
        ("float", "double", "float", (APPLY,), ("false",)),
        ("double", "double", "float", (APPLY,), ("false",)),
    )
    for mode in modes
    for coarse in grids
)
_REST = (
    *(f"stencil<{m}, float, {mode}>" for m in _KINDS for mode in range(3)),
    *(f"stencil<{m}, double, {mode}>" for m in _KINDS for mode in range(2)),
    *(f"following<{m}>" for m in ("float, float", "double, float", "double, double")),
    *(f"{name}<{m}>" for m in _KINDS for name in ("own", "turn", "restricted")),
    *(f"{name}<{m}, {n}>" for m in _KINDS for n in _KINDS for name in ("dots", "advance")),
)


class Pool:
    """What CuPy has taken from the device, of which it keeps what is freed."""

    def __init__(self) -> None:
        import cupy  # noqa: PLC0415 - only where there is a GPU

        self._cupy = cupy
        self.peak = 0
        """Most bytes taken, as seen whenever some are given back."""

    def tidy(self) -> None:
        """Give back the pieces that nothing lies in, so that others of another size fit."""
        self.peak = max(self.peak, self.taken())
        self._cupy.get_default_memory_pool().free_all_blocks()

    def taken(self) -> int:
        """Bytes, those freed but kept included."""
        return int(self._cupy.get_default_memory_pool().total_bytes())

    def room(self) -> int:
        """Bytes that can still be had."""
        free, _ = self._cupy.cuda.runtime.memGetInfo()
        return int(free) + int(self._cupy.get_default_memory_pool().free_bytes())


@cache
def pool() -> Pool:
    """The one of this process."""
    return Pool()


@cache
def _module(source: str, names: tuple[str, ...]) -> Any:
    import cupy  # noqa: PLC0415 - only where there is a GPU

    return cupy.RawModule(code=source, options=("-std=c++17",), name_expressions=names)


@cache
def kernel(name: str, constants: str = "") -> Any:
    """A compiled kernel: of the given grid with its element's ``constants``, else of the rest."""
    if constants:
        names = (*_FINE, "energies<float>", "energies<double>")
        return _module(_given(constants), names).get_function(name)
    source = gpu_element.HEADER + gpu_coarse.SOURCE + gpu_vector.SOURCE
    return _module(source, _REST).get_function(name)


def _given(constants: str) -> str:
    parts = (gpu_element, gpu_through, gpu_nodes, gpu_fine)
    return "\n".join((constants, gpu_element.HEADER, *(part.SOURCE for part in parts)))


def launch(what: Any, count: int, rows: int, *arguments: Any) -> None:
    """One thread for each of ``count`` places in each of ``rows``; Python's ints become C's."""
    what((-(-count // _THREADS), rows), (_THREADS,), in_c(arguments))


def in_c(arguments: tuple[Any, ...]) -> tuple[Any, ...]:
    """Python's numbers as C's int and float."""
    kinds = {int: np.int32, float: np.float32}
    return tuple(kinds.get(type(each), lambda same: same)(each) for each in arguments)
