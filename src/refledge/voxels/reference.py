"""The backend's plain fake: NumPy on the elements, assembled sparse matrices on coarse grids."""

import numpy as np
from scipy import ndimage, sparse

from refledge.typed import Bools, Floats
from refledge.voxels.backend import Array, Level
from refledge.voxels.dense import DEAD, inverse_of
from refledge.voxels.grid import CORNERS, Shape, at_corner, coarser, nodes_of, touched
from refledge.voxels.hexahedron import Element
from refledge.voxels.host import HostArrays


class ReferenceLevel:
    """A level whose stiffness is a sparse matrix over (component, x, y, z)."""

    def __init__(self, shape: Shape, matrix: sparse.csr_array, free: Bools, spread: float) -> None:
        self.shape, self.matrix, self.free, self.spread = shape, matrix, free, spread
        self._inverse = _block_inverse(matrix, free)
        self._prolongation = trilinear(shape)

    def apply(self, x: Array, out: Array) -> None:
        out[...] = (self.matrix @ x.reshape(len(x), -1).T).T.reshape(x.shape)

    def residual(self, b: Array, x: Array, out: Array) -> None:
        self.apply(x, out)
        out[...] = (b - out) * self.free

    def start(self, b: Array, step: float, before: Array, out: Array) -> None:
        before[...] = 0
        out[...] = step * np.einsum("ijxyz,kjxyz->kixyz", self._inverse, b)

    def smooth(self, b: Array, x: Array, keep: float, step: float, out: Array) -> None:
        r = np.empty_like(out)
        self.residual(b, x, r)
        found = x + keep * (x - out) + step * np.einsum("ijxyz,kjxyz->kixyz", self._inverse, r)
        out[...] = found

    def restrict(self, r: Array, out: Array) -> None:
        out[...] = (self._prolongation.T @ r.reshape(len(r), -1).T).T.reshape(out.shape)

    def prolong(self, coarse: Array, x: Array) -> None:
        fine = (self._prolongation @ coarse.reshape(len(coarse), -1).T).T
        x += fine.reshape(x.shape) * self.free

    def coarse(self) -> "ReferenceLevel":
        """Galerkin's product."""
        held = sparse.diags_array(self.free.ravel().astype(float))
        P = sparse.csr_array(held @ self._prolongation)
        matrix = sparse.csr_array(P.T @ self.matrix @ P)
        shape = coarser(self.shape)
        diagonal = matrix.diagonal()
        free = (diagonal > DEAD * diagonal.max()).reshape(3, *nodes_of(shape))
        return ReferenceLevel(shape, matrix, free, self.spread)


class ReferenceBackend(HostArrays):
    """For tests and for reading; slow."""

    name = "reference"

    def require(self, shape: Shape, cases: int) -> None:
        """Nobody runs a large grid here."""

    def tidy(self) -> None:
        """NumPy does so itself."""

    def fine(self, element: Element, scale: Array, held: Array) -> Level:
        loose = np.stack([(held >> c) & 1 == 0 for c in range(3)])
        free = loose & touched(scale > 0)
        matrix = assembled(element, np.asarray(scale, float))
        keep = sparse.diags_array(free.ravel().astype(float))
        matrix = sparse.csr_array(keep @ matrix @ keep)
        return ReferenceLevel(scale.shape, matrix, free, element.spread)

    def coarsen(self, level: Level) -> Level:
        assert isinstance(level, ReferenceLevel)
        return level.coarse()

    def inverse(self, level: Level) -> Array:
        assert isinstance(level, ReferenceLevel)
        return inverse_of(level.matrix.toarray())

    def dense(self, inverse: Array, b: Array, out: Array) -> None:
        out[...] = (b.reshape(len(b), -1) @ inverse).reshape(b.shape)

    def accelerate(self, z: Array, keep: float, step: float, d: Array, x: Array) -> None:
        d[...] = keep * d + step * z
        x += d

    def dots(self, a: Array, b: Array) -> Array:
        return np.einsum(
            "kn,kn->k", *(each.reshape(len(each), -1).astype(float) for each in (a, b))
        )

    def turn(self, z: Array, beta: Array, p: Array) -> None:
        p[...] = z + beta[:, None, None, None, None] * p

    def advance(
        self, alpha: Array, p: Array, q: Array, x: Array, low: Array | None, r: Array
    ) -> Array:
        assert low is None
        x += alpha[:, None, None, None, None] * p
        r -= alpha[:, None, None, None, None] * q
        return self.dots(r, r)

    def convolve(self, field: Array, weights: Floats) -> Array:
        return ndimage.correlate(field, weights, mode="constant")

    def energies(self, element: Element, u: Array, v: Array) -> Array:
        shape = tuple(n - 1 for n in u.shape[2:])
        corners = [at_corner(shape, corner) for corner in CORNERS]
        a, b = (np.stack([field[:, :, *corner] for corner in corners], axis=2) for field in (u, v))
        return np.einsum("kiaxyz,iajb,kjbxyz->kxyz", a, element.K, b, optimize=True)


def assembled(element: Element, scale: Floats) -> sparse.csr_array:
    """(3 n, 3 n), N/m, over (component, x, y, z), nothing held; ``scale`` (nx, ny, nz)."""
    shape: Shape = scale.shape
    n = int(np.prod(nodes_of(shape)))
    index = np.arange(n).reshape(nodes_of(shape))
    corners = np.stack([index[at_corner(shape, corner)].ravel() for corner in CORNERS], axis=1)
    places = (corners[:, None, :] + n * np.arange(3)[:, None]).reshape(-1, 24)
    values = scale.reshape(-1, 1) * element.K.reshape(1, -1)
    rows, columns = np.repeat(places, 24, axis=1), np.tile(places, (1, 24))
    matrix = sparse.coo_array((values.ravel(), (rows.ravel(), columns.ravel())), (3 * n, 3 * n))
    return sparse.csr_array(matrix)


def trilinear(shape: Shape) -> sparse.csr_array:
    """Interpolation of vector fields from the coarser grid's nodes to those of ``shape``."""
    P: sparse.csr_array = sparse.csr_array(sparse.eye_array(3))
    for n in shape:
        fine = np.arange(n + 1)
        rows = np.concatenate((fine, fine[1::2]))
        columns = np.concatenate((fine // 2, fine[1::2] // 2 + 1))
        weights = np.concatenate((np.where(fine % 2, 0.5, 1.0), np.full(len(fine[1::2]), 0.5)))
        one = sparse.coo_array((weights, (rows, columns)), (n + 1, (n + 1) // 2 + 1))
        P = sparse.csr_array(sparse.kron(P, one, format="csr"))
    return sparse.csr_array(P)


def _block_inverse(matrix: sparse.csr_array, free: Bools) -> Floats:
    """(3, 3, x, y, z): inverse of each node's block over its free motions."""
    n = free[0].size
    nodes = np.arange(n)
    blocks = np.zeros((n, 3, 3))
    for i in range(3):
        for j in range(3):
            blocks[:, i, j] = matrix[nodes + i * n, nodes + j * n]
    loose = free.reshape(3, n).T
    both = loose[:, :, None] & loose[:, None, :]
    blocks = np.where(both, blocks, 0.0) + np.einsum("ni,ij->nij", ~loose, np.eye(3))
    inverse = np.where(both, np.linalg.inv(blocks), 0.0)
    return inverse.transpose(1, 2, 0).reshape(3, 3, *free.shape[1:])
