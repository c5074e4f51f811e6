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
    """(k,): norm of K x - lambda M x over that of lambda M x."""
    iterations: int
    trial: Array
    """All motions iterated, a good guess for a body nearly the same."""


class Mass:
    """Lumped mass of voxels at densities ``density`` (nx, ny, nz), 0 to 1, and lumps on grips."""

    def __init__(self, stiffness: Stiffness, density: Array, lumps: tuple[Lump, ...] = ()) -> None:
        body = stiffness.body
        self._backend = body.backend
        xp = self._backend.xp
        self.nodal = xp.zeros(body.grid.nodes, np.float64)
        share = body.element.mass / len(CORNERS)
        for corner in CORNERS:
            self.nodal[at_corner(body.grid.shape, corner)] += share * density
        put = self._backend.put
        self._lumps = [
            (put(lump.grip.places, np.int64), put(lump.grip.weights, np.float64),
             put(lump.matrix(), np.float64)) for lump in lumps
        ]  # fmt: skip

    def apply(self, x: Array) -> Array:
        """M x of fields (k, 3, nodes), fp64."""
        out = x * self.nodal
        flat, source = out.reshape(*x.shape[:2], -1), x.reshape(*x.shape[:2], -1)
        for places, weights, matrix in self._lumps:
            motion = self._backend.xp.einsum("kcm,mcj->kj", source[:, :, places], weights)
            force = self._backend.xp.einsum("kj,mcj->kcm", motion @ matrix, weights)
            flat[:, :, places] += force
        return out


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
    def __init__(self, stiffness: Stiffness, mass: Mass, count: int) -> None:
        self.stiffness, self.mass, self.count = stiffness, mass, count
        self.backend = stiffness.body.backend
        self.xp = self.backend.xp
        self.level = stiffness.multigrid.levels[0]

    def run(self, guess: Array | None, tolerance: float, limit: int) -> Modes:
        X = self._start() if guess is None else guess.astype(np.float64)
        S, AS, MS = self._all(X)
        values, X, AX, MX, _ = self._ritz(S, AS, MS)
        P = None
        for iteration in range(limit + 1):
            R = AX - values[:, None, None, None, None] * MX
            scale = values * self._norms(MX)
            errors = self._host(self._norms(R) / scale)
            if (errors[: self.count] < tolerance).all():
                found = self._host(values[: self.count])
                return Modes(
                    np.sqrt(found) / (2 * np.pi),
                    X[: self.count],
                    errors[: self.count],
                    iteration,
                    X,
                )
            W = self._all(self._precondition(R / scale[:, None, None, None, None]))
            parts = [(X, AX, MX), W] if P is None else [(X, AX, MX), W, P]
            S, AS, MS = (self.xp.concatenate(each) for each in zip(*parts, strict=True))
            values, X, AX, MX, P = self._ritz(S, AS, MS)
        raise AnalysisError(
            f"modes: residual {errors[: self.count].max():.2g} after {limit} iterations, "
            f"{tolerance:.2g} asked for; ask for more modes at once or hold the body better"
        )

    def _start(self) -> Array:
        shape = (trial_motions(self.count), *self.stiffness.body.grid.field)
        b = self.backend.put(np.random.default_rng(0).standard_normal(shape), np.float64)
        return self._precondition(self.mass.apply(b))

    def _precondition(self, R: Array) -> Array:
        self.stiffness.multigrid.right[...] = R * self._free()
        return self.stiffness.multigrid.cycle().astype(np.float64)

    def _free(self) -> Array:
        return ~self.stiffness.body._held

    def _all(self, S: Array) -> tuple[Array, Array, Array]:
        AS = self.xp.empty_like(S)
        self.level.apply(S, AS)
        return S, AS, self.mass.apply(S) * self._free()

    def _ritz(self, S: Array, AS: Array, MS: Array) -> tuple[Array, ...]:
        """Best motions in the span of S, and the part of them outside the first block."""
        n = trial_motions(self.count)
        flat = [each.reshape(len(each), -1) for each in (S, AS, MS)]
        A, M = self._host(flat[0] @ flat[1].T), self._host(flat[0] @ flat[2].T)
        values, V = _lowest(A, M, n)
        xp = self.xp
        C = xp.asarray(V)
        X, AX, MX = ((C.T @ each).reshape(n, *S.shape[1:]) for each in flat)
        P = None
        if len(S) > n:
            D = C[n:]
            P = tuple((D.T @ each[n:]).reshape(n, *S.shape[1:]) for each in flat)
        return xp.asarray(values), X, AX, MX, P

    def _norms(self, X: Array) -> Array:
        return self.xp.sqrt(self.backend.dots(X, X))

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
