"""The port to whatever does the arithmetic: kernels behind two protocols, chosen by name.

Multigrid, conjugate gradients, modes and optimiser are written once on these two protocols and on
``xp``, the backend's array module (NumPy or one that speaks like it). Vector fields have shape
(k, 3, nx + 1, ny + 1, nz + 1): k load cases, components, nodes. Held motions are zero in every
field that a kernel returns.
"""

from typing import Any, Protocol

from refledge.errors import AnalysisError
from refledge.typed import Floats
from refledge.voxels.grid import Shape
from refledge.voxels.hexahedron import Element

Array = Any
"""An array of the backend: NumPy's, or one of a device."""


class Level(Protocol):
    """One grid of the hierarchy with the stiffness A on it. ``out`` never aliases an input."""

    shape: Shape
    """Elements along each axis."""
    spread: float
    """Upper bound or estimate of the greatest eigenvalue of D A, D the inverse of the 3 x 3
    diagonal blocks of A (zero where motion is held or nothing is stiff)."""

    def apply(self, x: Array, out: Array) -> None:
        """out = A x, in the precision of ``x``."""

    def residual(self, b: Array, x: Array, out: Array) -> None:
        """out = b - A x, in the precision of ``x``."""

    def start(self, b: Array, step: float, before: Array, out: Array) -> None:
        """before = 0; out = step D b: the first smoothing step from rest. fp32."""

    def smooth(self, b: Array, x: Array, keep: float, step: float, out: Array) -> None:
        """out = x + keep (x - out) + step D (b - A x): ``out`` holds the iterate before ``x`` and
        then the one after. fp32."""

    def restrict(self, r: Array, out: Array) -> None:
        """out = P' r on the next coarser grid, P trilinear. fp32."""

    def prolong(self, coarse: Array, x: Array) -> None:
        """x += P coarse, held motions left out. fp32."""


class Backend(Protocol):
    """Kernels and array module of one kind of machine."""

    name: str
    xp: Any

    def put(self, values: Any, dtype: Any) -> Array:
        """A contiguous array of the backend."""

    def get(self, values: Array) -> Array:
        """The same as a NumPy array."""

    def require(self, shape: Shape, cases: int) -> None:
        """Raise AnalysisError where a solve will not fit, with the grid that would."""

    def tidy(self) -> None:
        """Give memory that is free back, so that pieces of other sizes fit."""

    def fine(self, element: Element, scale: Array, held: Array) -> Level:
        """The given grid: stiffness of each element is ``scale`` (nx, ny, nz) times the element's.

        ``held``: uint8 (nx + 1, ny + 1, nz + 1), bit c for component c. Nodes of no stiff element
        are held as well. Both arrays may be kept.
        """

    def coarsen(self, level: Level) -> Level:
        """The Galerkin stiffness P' A P on the grid of twice the spacing."""

    def inverse(self, level: Level) -> Array:
        """fp32 (3 n, 3 n): inverse of the level's stiffness, zero for motions without any."""

    def dense(self, inverse: Array, b: Array, out: Array) -> None:
        """out = inverse b over all motions of the coarsest grid. fp32."""

    def noise(self, shape: tuple[int, ...]) -> Array:
        """fp32 normal deviates, the same every time."""

    def motion(self, shape: Shape) -> Any:
        """What the motions of a grid of ``shape`` are kept in: fp64, or fp32 to save memory."""

    def search(self, dtype: Any) -> Any:
        """What residual and search motion are kept in where motions are ``dtype``."""

    def low(self, x: Array) -> Array | None:
        """Zeros for the digits of ``x`` beyond its precision while it is solved for, if needed."""

    def rest(self, x: Array, low: Array, out: Array) -> None:
        """out = what ``low`` adds to ``x``. fp32."""

    def accelerate(self, z: Array, keep: float, step: float, d: Array, x: Array) -> None:
        """d = keep d + step z; x += d. fp32."""

    def dots(self, a: Array, b: Array) -> Array:
        """(k,) fp64: inner products over all but the first axis, summed in fp64."""

    def turn(self, z: Array, beta: Array, p: Array) -> None:
        """p = z + beta p in the precision of ``p``; ``z`` is fp32, ``beta`` (k,) fp64."""

    def advance(
        self, alpha: Array, p: Array, q: Array, x: Array, low: Array | None, r: Array
    ) -> Array:
        """x, with its ``low`` digits, += alpha p; r -= alpha q; the (k,) fp64 inner products of the
        new r with itself."""

    def convolve(self, field: Array, weights: Floats) -> Array:
        """fp32 (nx, ny, nz): sum of ``field`` over a window of odd sides, nothing outside."""

    def energies(self, element: Element, u: Array, v: Array) -> Array:
        """(k, nx, ny, nz) fp64 or fp32, J: u' K v of each element at scale 1."""


NAMES = ("auto", "cpu", "gpu", "reference")


def backend(name: str = "auto") -> Backend:
    """``cpu``, ``gpu``, ``reference`` or ``auto``: the GPU where there is one, else the CPU."""
    if name not in NAMES:
        raise AnalysisError(f"backend {name!r}; allowed: {', '.join(NAMES)}")
    if name == "reference":
        from refledge.voxels.reference import ReferenceBackend  # noqa: PLC0415

        return ReferenceBackend()
    from refledge.voxels.gpu import GpuBackend, gpu_here  # noqa: PLC0415

    if name == "gpu" or (name == "auto" and gpu_here()):
        return GpuBackend()
    from refledge.voxels.cpu import CpuBackend  # noqa: PLC0415

    return CpuBackend()
