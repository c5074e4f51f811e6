"""The port to mesher and sparse solver, which run in a process of their own (``worker.py``).

``blocks.py`` meshes plain shapes and ``factor_plain`` solves without them.
"""

import pickle
import subprocess
import sys
import threading
import weakref
from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Protocol

import numpy as np
from scipy import sparse
from scipy.sparse.linalg import splu

from refledge.errors import AnalysisError
from refledge.geometry import kernel
from refledge.geometry.kernel import Solid
from refledge.solids.mesh import SolidMesh, quadratic
from refledge.solids.regions import Rectangle, Region, Ring, parts_of, pick
from refledge.solids.surface import outer_triangles
from refledge.typed import Floats, Ints

_MM = 1e3
_ON_FACE = 1e-6  # m
Regions = Mapping[str, Region | tuple[Region, ...]]


class Factor(Protocol):
    """A factored stiffness."""

    def solve(self, right: Floats) -> Floats:
        """x of K x = ``right``; (n,) or (n, k)."""


@dataclass(frozen=True)
class MeshSize:
    """Greatest edge length, and finer ones near named faces, m."""

    size: float
    near: Mapping[str, float] = field(default_factory=dict)
    grading: float = 0.5
    """How fast elements grow away from fine places: 0.1 slowly, 1 at once."""
    round_elements: float = 1.5
    """Elements over one radius of curvature: at 1.5 an arm with bores keeps 0.7 % too much volume,
    at 1 it keeps 1.5 %."""
    spots: tuple[tuple[float, float, float, float], ...] = ()
    """x, y, z and the edge length wanted there, m."""

    def finer(self, ratio: float) -> "MeshSize":
        """All lengths divided by ``ratio``."""
        near = {name: size / ratio for name, size in self.near.items()}
        spots = tuple((x, y, z, size / ratio) for x, y, z, size in self.spots)
        return MeshSize(self.size / ratio, near, self.grading, self.round_elements * ratio, spots)


MORE_ON_CURVES = (1.0, 1.4, 2.0)
"""Elements over a radius of curvature against those asked for, try after try."""


def mesh_solids(bodies: Mapping[str, Solid], regions: Regions, size: MeshSize) -> SolidMesh:
    """Quadratic tetrahedra of one or more bodies; bodies that touch share the nodes there.

    Raises AnalysisError where meshing fails or a named face is not found.
    """
    unknown = sorted(set(size.near) - set(regions))
    if unknown:
        raise AnalysisError(f"finer mesh asked for near unknown faces: {', '.join(unknown)}")
    what = f"{', '.join(bodies)}: no mesh of {size.size * _MM:.2f} mm could be made"
    with TemporaryDirectory() as folder:
        paths = [str(Path(folder) / f"{index}.step") for index in range(len(bodies))]
        for path, (name, solid) in zip(paths, bodies.items(), strict=True):
            kernel.write_step({name: solid}, Path(path))
        edges = _WORKER.ask(what, "load", paths, _patches(regions))
    corners, tets, body, surface = _filled(what, size, _finer_faces(edges, regions, size))
    corners = corners / _MM
    triangles = outer_triangles(corners, tets)
    faces = pick(regions, corners, triangles, _modelled_face(triangles, surface))
    return quadratic(corners, tets, triangles, faces, body, tuple(bodies), size.size)


def _filled(what: str, size: MeshSize, faces: Any) -> Any:
    """What the mesher makes of the loaded bodies. Coarse meshes of short round bosses can fail
    where curves get too few elements, so that it is asked again with more of them there."""
    spots = [tuple(each * _MM for each in spot) for spot in size.spots]
    failed: AnalysisError | None = None
    for more in MORE_ON_CURVES:
        rounds = more * size.round_elements
        try:
            return _WORKER.ask(what, "mesh", size.size * _MM, size.grading, rounds, faces, spots)
        except AnalysisError as error:
            failed = failed or error
    assert failed is not None
    raise failed


def fill(
    what: str, points: Floats, triangles: Ints, size: float, grading: float
) -> tuple[Floats, Ints]:
    """Corners (n, 3), m, and tetrahedra (m, 4) inside a closed surface, whose corners come first.

    AnalysisError that begins with ``what`` where the mesher cannot fill it.
    """
    corners, tets = _WORKER.ask(what, "fill", points * _MM, triangles, size * _MM, grading)
    return corners / _MM, tets


def factor(matrix: sparse.csr_array) -> Factor:
    """Sparse Cholesky factor of a symmetric positive definite matrix, on all cores."""
    return _Cholesky(matrix)


def factor_plain(matrix: sparse.csr_array) -> Factor:
    """The fallback: scipy's SuperLU, several times slower on large meshes."""
    found: Factor = splu(
        sparse.csc_matrix(matrix), options={"SymmetricMode": True}, diag_pivot_thresh=0.0
    )
    return found


def worker_id() -> int:
    """Process id of the worker, 0 where none runs."""
    return _WORKER.process_id


class _Worker:
    """The other process: started when first needed and again after a crash."""

    def __init__(self) -> None:
        self._process: subprocess.Popen[bytes] | None = None
        self._lock = threading.RLock()

    def ask(self, what: str, name: str, *arguments: Any) -> Any:
        """The answer; AnalysisError that begins with ``what`` where there is none."""
        with self._lock:
            if self._process is None or self._process.poll() is not None:
                command = [sys.executable, "-m", "refledge.solids.worker"]
                self._process = subprocess.Popen(
                    command, stdin=subprocess.PIPE, stdout=subprocess.PIPE,
                    stderr=subprocess.DEVNULL,
                )  # fmt: skip
            try:
                good, answer = self._exchange(self._process, (name, arguments))
            except (EOFError, BrokenPipeError, pickle.UnpicklingError) as ended:
                self._process.kill()
                self._process = None
                raise AnalysisError(f"{what}: the solver's process died ({ended!r})") from ended
        if not good:
            raise AnalysisError(f"{what} ({answer})")
        return answer

    @property
    def process_id(self) -> int:
        """0 where none runs."""
        return 0 if self._process is None or self._process.poll() is not None else self._process.pid

    def forget(self, key: int) -> None:
        """Drop a factor if the process still runs."""
        if self._process is not None and self._process.poll() is None:
            self.ask("drop", "drop", key)

    @staticmethod
    def _exchange(process: "subprocess.Popen[bytes]", request: Any) -> Any:
        assert process.stdin is not None
        assert process.stdout is not None
        pickle.dump(request, process.stdin, protocol=pickle.HIGHEST_PROTOCOL)
        process.stdin.flush()
        return pickle.load(process.stdout)


_WORKER = _Worker()
_KEYS = count()


class _Cholesky:
    """A factor kept by the worker for as long as this object lives."""

    def __init__(self, matrix: sparse.csr_array) -> None:
        lower = sparse.tril(matrix).tocoo()  # the factor reads no more
        rows, columns = (each.astype(np.int32) for each in lower.coords)
        self._key = next(_KEYS)
        what = "the stiffness could not be factored"
        _WORKER.ask(what, "factor", self._key, rows, columns, lower.data, matrix.shape[0])
        weakref.finalize(self, _WORKER.forget, self._key).atexit = False

    def solve(self, right: Floats) -> Floats:
        found: Floats = _WORKER.ask("the solve failed", "solve", self._key, right)
        return found


def _patches(regions: Regions) -> list[Any]:
    found = []
    for region in (part for each in regions.values() for part in parts_of(each)):
        if isinstance(region, Rectangle | Ring):
            centre = tuple(float(each) * _MM for each in region.centre)
            normal = tuple(map(float, region.normal))
            if isinstance(region, Rectangle):
                along = tuple(map(float, region.along))
                sizes = region.length * _MM, region.width * _MM
                found.append(("rectangle", centre, normal, along, *sizes))
            else:
                found.append(("ring", centre, normal, (), region.inner * _MM, region.outer * _MM))
    return found


def _finer_faces(edges: list[Floats], regions: Regions, size: MeshSize) -> dict[int, float]:
    """Edge length, mm, of every modelled face whose edges lie on a region to be refined."""
    found: dict[int, float] = {}
    for name, near in size.near.items():
        for index, points in enumerate(edges):
            on = [part.holds(points / _MM, _ON_FACE).all() for part in parts_of(regions[name])]
            if any(on):
                found[index] = min(near * _MM, found.get(index, np.inf))
    return found


def _modelled_face(triangles: Ints, surface: Ints) -> Ints:
    """(t,): number of the modelled face of each outer triangle."""
    size = int(surface[:, :3].max()) + 1
    keys = triangle_keys(surface[:, :3], size)
    order = np.argsort(keys)
    wanted = triangle_keys(triangles, size)
    at = np.minimum(np.searchsorted(keys[order], wanted), len(order) - 1)
    rows = order[at]
    if np.any(keys[rows] != wanted):
        raise AnalysisError("the mesh's surface and volume do not fit together")
    return np.asarray(surface[rows, 3])


def triangle_keys(triangles: Ints, size: int) -> Ints:
    """(t,): one number for each set of three corners below ``size``."""
    ordered = np.sort(triangles, axis=1)
    return np.asarray((ordered[:, 0] * size + ordered[:, 1]) * size + ordered[:, 2])
