"""Natural modes of a held body of voxels, with lumps of mass on grips.

Knyazev, Toward the optimal preconditioned eigensolver: locally optimal block preconditioned
conjugate gradient method, 2001; the preconditioner is one multigrid cycle, so that no shift and no
factor is needed. Voxel mass is lumped at the corners.
"""

from dataclasses import dataclass

import numpy as np
from scipy import linalg

from refledge.errors import AnalysisError
from refledge.typed import Floats
from refledge.voxels.backend import Array
from refledge.voxels.elasticity import Stiffness
from refledge.voxels.grid import CORNERS, at_corner
from refledge.voxels.grips import Grip

_GUARD = 2  # trial motions beyond those asked for: the last converge slowly
_KEEP = 1e-12  # least eigenvalue, relative, of trial motions that still differ
_PIECE = 1 << 21  # nodes worked on at once


@dataclass(frozen=True, eq=False)
class Lump:
    """A rigid body on a grip: mass (kg) and inertia (3, 3) about the grip's centre (kg m2)."""

    grip: Grip
    mass: float
    inertia: Floats
    offset: tuple[float, float, float] = (0.0, 0.0, 0.0)
    """Centre of mass from the grip's centre, m; ``inertia`` is about the centre of mass."""

    def matrix(self) -> Floats:
        """(6, 6), kg, kg m, kg m2: generalised mass for the grip's motion."""
        x, y, z = self.offset
        turn = np.array([[0.0, z, -y], [-z, 0.0, x], [y, -x, 0.0]])  # motion of the mass by turns
        M = np.zeros((6, 6))
        M[:3, :3] = self.mass * np.eye(3)
        M[:3, 3:] = self.mass * turn
        M[3:, :3] = M[:3, 3:].T
        M[3:, 3:] = np.asarray(self.inertia, float) + self.mass * turn.T @ turn
        return M


@dataclass(frozen=True, eq=False)
class Modes:
    """Lowest modes; shapes have unit modal mass."""

    frequencies: Floats
    """(k,), Hz, rising."""
    shapes: Array
    """(k, 3, nodes), m / sqrt(kg m2) as is usual; the backend's."""
    residuals: Floats
    """(k,): energy of the error, sqrt(r' B r / lambda), r = K x - lambda M x and B one cycle."""
    iterations: int
    trial: Array
    """All motions iterated, a good guess for a body nearly the same."""


class Mass:
    """Lumped mass of voxels at densities ``density`` (nx, ny, nz), 0 to 1, and lumps on grips."""

    def __init__(self, stiffness: Stiffness, density: Array, lumps: tuple[Lump, ...] = ()) -> None:
        body = stiffness.body
        self._backend = body.backend
        xp = self._backend.xp
        nodal = xp.zeros(body.grid.nodes, np.float64)
        share = body.element.mass / len(CORNERS)
        for corner in CORNERS:
            nodal[at_corner(body.grid.shape, corner)] += share * density
        self.nodal = nodal.ravel()
        put, free = self._backend.put, ~body.held.reshape(3, -1)
        self._lumps = [
            (put(lump.grip.places, np.int64),
             put(lump.grip.weights * free.T[lump.grip.places, :, None], np.float64),
             put(lump.matrix(), np.float64)) for lump in lumps
        ]  # fmt: skip

    def take(self, factors: Floats, x: Array, out: Array) -> None:
        """out -= factors M x of fields (k, 3, nodes); both are zero where motion is held."""
        rows, result = x.reshape(len(x), 3, -1), out.reshape(len(x), 3, -1)
        for row, to, factor in zip(rows, result, factors, strict=True):
            for c in range(3):
                to[c] -= (float(factor) * self.nodal * row[c]).astype(out.dtype, copy=False)
            for places, weights, matrix in self._lumps:
                force = weights @ (matrix @ self._motion(row, places, weights))
                to[:, places] -= float(factor) * force.T.astype(out.dtype)

    def products(self, S: Array) -> Floats:
        """(m, m): inner products of fields (m, 3, nodes) through the mass."""
        rows = S.reshape(len(S), 3, -1)
        total = np.zeros((len(S), len(S)))
        for part in pieces(rows.shape[2]):
            block = rows[:, :, part].astype(np.float64)
            weighted = (block * self.nodal[part]).reshape(len(S), -1)
            total += self._host(weighted @ block.reshape(len(S), -1).T)
        for places, weights, matrix in self._lumps:
            Q = self._host(
                self._backend.xp.stack([self._motion(row, places, weights) for row in rows])
            )
            total += Q @ self._host(matrix) @ Q.T
        return total

    def _motion(self, row: Array, places: Array, weights: Array) -> Array:
        """(6,) of a grip in one field (3, nodes)."""
        return self._backend.xp.einsum("cm,mcj->j", row[:, places].astype(np.float64), weights)

    def _host(self, values: Array) -> Floats:
        return np.asarray(self._backend.get(values))


def pieces(count: int) -> list[slice]:
    """Parts of so many nodes that work on them needs little memory."""
    return [slice(at, at + _PIECE) for at in range(0, count, _PIECE)]


def natural_modes(
    stiffness: Stiffness,
    mass: Mass,
    count: int,
    guess: Array | None = None,
    tolerance: float = 1e-4,
    limit: int = 200,
) -> Modes:
    """The ``count`` lowest modes; ``stiffness`` must be made for ``trial_motions(count)`` cases.

    Raises AnalysisError where residuals stay above ``tolerance``: a frequency's own error is about
    the square of it. Seeded: the same call gives the same modes.
    """
    if stiffness.cases != trial_motions(count):
        raise AnalysisError(f"modes: make the stiffness for {trial_motions(count)} cases")
    return _Lobpcg(stiffness, mass, count).run(guess, tolerance, limit)


def trial_motions(count: int) -> int:
    """Motions iterated together for ``count`` modes."""
    return count + _GUARD


class _Lobpcg:
    """``S`` holds the motions iterated, the preconditioned residuals and the directions before;
    their products with the stiffness are made anew when needed, a third at a time."""

    def __init__(self, stiffness: Stiffness, mass: Mass, count: int) -> None:
        self.stiffness, self.mass, self.count = stiffness, mass, count
        self.backend, self.multigrid = stiffness.body.backend, stiffness.multigrid
        self.xp, self.level = self.backend.xp, stiffness.multigrid.levels[0]
        self.n = trial_motions(count)
        grid = stiffness.body.grid
        dtype = self.backend.motion(grid.shape)
        self.S = self.xp.zeros((3 * self.n, *grid.field), dtype)
        shared = dtype == np.float32  # then a field of the cycle serves, free between cycles
        self.Y = self.multigrid.spare[1] if shared else self.xp.zeros_like(self.S[: self.n])

    def run(self, guess: Array | None, tolerance: float, limit: int) -> Modes:
        n, S = self.n, self.S
        S[:n] = self._start() if guess is None else guess
        values = self._ritz(n)
        for iteration in range(limit + 1):
            errors = self._follow(values)[: self.count]
            if (errors < tolerance).all():
                X = S[:n].copy()
                found = np.sqrt(values[: self.count]) / (2 * np.pi)
                return Modes(found, X[: self.count], errors, iteration, X)
            values = self._ritz(3 * n if iteration else 2 * n)
        raise AnalysisError(
            f"modes: residual {errors.max():.2g} after {limit} iterations, {tolerance:.2g} asked "
            "for; ask for more modes at once or hold the body better"
        )

    def _start(self) -> Array:
        b = self.xp.zeros_like(self.S[: self.n])
        self.mass.take(np.full(self.n, -1.0), self._free(self.backend.noise(b.shape)), b)
        return self.multigrid.cycle(b)

    def _free(self, x: Array) -> Array:
        for c in range(3):
            x[:, c] *= (self.stiffness.body._held >> c) & 1 == 0
        return x

    def _follow(self, values: Floats) -> Floats:
        """Preconditioned residuals into the second third of S; their sizes, as Modes tells."""
        X, R = self.S[: self.n], self.S[self.n : 2 * self.n]
        self.level.apply(X, self.Y)
        R[...] = self.Y
        self.mass.take(values, X, R)
        sizes = np.sqrt(self._host(self.backend.dots(R, R)))
        for k, size in enumerate(sizes):
            R[k] *= 1 / max(float(size), 1e-300)  # fp32 has no room for small forces
        z = self.multigrid.cycle(R)
        energies = self._host(self.backend.dots(z, R))
        R[...] = z
        return np.asarray(sizes * np.sqrt(np.maximum(energies, 0) / values))

    def _ritz(self, m: int) -> Floats:
        """Best motions in the span of the first ``m`` of S, and what is new in them as directions;
        the lowest values."""
        n = self.n
        values, V = _lowest(self._products(m), self.mass.products(self.S[:m]), n)
        C = np.zeros((3 * n, m))
        C[:n], C[2 * n :, n:] = V.T, V[n:].T
        keep = np.r_[0:n, 2 * n : 3 * n]
        C = self.xp.asarray(C[keep])
        rows = self.S.reshape(3 * n, -1)
        for part in pieces(rows.shape[1]):
            found = C @ rows[:m, part].astype(np.float64)
            rows[:n, part], rows[2 * n :, part] = found[:n], found[n:]
        return values

    def _products(self, m: int) -> Floats:
        """(m, m): inner products of the first ``m`` of S through the stiffness."""
        n, rows, images = self.n, self.S.reshape(3 * self.n, -1), self.Y.reshape(self.n, -1)
        total = np.zeros((m, m))
        for at in range(0, m, n):
            self.level.apply(self.S[at : at + n], self.Y)
            for part in pieces(rows.shape[1]):
                block = rows[:m, part].astype(np.float64)
                image = images[:, part].astype(np.float64)
                total[:, at : at + n] += self._host(block @ image.T)
        return total

    def _host(self, values: Array) -> Floats:
        return np.asarray(self.backend.get(values))


def _lowest(A: Floats, M: Floats, n: int) -> tuple[Floats, Floats]:
    """Lowest eigenpairs of (A, M), motions that M cannot tell apart left out."""
    scale = 1 / np.sqrt(np.maximum(np.diag(M), 1e-300))
    weights, U = np.linalg.eigh(scale[:, None] * (M + M.T) / 2 * scale)
    good = weights > _KEEP * weights[-1]
    if good.sum() < n:
        raise AnalysisError("modes: trial motions fell together; ask for fewer modes")
    T = scale[:, None] * U[:, good] / np.sqrt(weights[good])
    values, V = linalg.eigh(T.T @ (A + A.T) / 2 @ T)
    return values[:n], T @ V[:, :n]
