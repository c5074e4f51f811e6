"""Natural modes of a beam frame, held or free."""

from collections.abc import Callable

import numpy as np
from scipy import linalg, sparse

from refledge.analysis.assembly import matrices, rigid_shapes
from refledge.analysis.frame import BeamFrame
from refledge.analysis.solve import factor, free_dofs, free_factor
from refledge.errors import AnalysisError
from refledge.typed import Floats, Ints

# Below this many degrees of freedom the full eigenproblem is as quick as Lanczos.
_DENSE = 100
# Block width: more than the number of modes that may share a frequency, at most about one for each
# arm of a frame. Frequencies err with the square of the residual, shapes with the residual.
_BLOCK, _CONVERGED, _MOST_STEPS = 16, 1e-7, 60
# Strain energy of a rigid motion, relative to the energy of its terms: rounding only.
_RIGID_ENERGY = 1e-10

Apply = Callable[[Floats], Floats]


def modes(
    frame: BeamFrame, count: int, fixed: Ints | tuple[int, ...] = ()
) -> tuple[Floats, Floats]:
    """The ``count`` lowest elastic modes: frequencies (k,), Hz, and shapes (k, n, 6), m and rad.

    Solves K v = w^2 M v through the flexibility, so massless degrees of freedom do no harm. With
    nothing ``fixed`` and no spring to ground the frame is free: the flexibility is then that of
    inertia relief, in which the six rigid motions have none, so they never appear; their strain
    energy is checked to be zero. Shapes have a largest translation of 1 (a largest rotation of
    1 rad over the frame's size where a mode is pure twist).
    """
    K, M = matrices(frame)
    held = np.asarray(fixed, dtype=np.int64)
    size = 6 * len(frame.nodes)
    grounded = any(spring.node_b == -1 for spring in frame.springs)
    is_free = held.size == 0 and not grounded
    support = np.arange(6) if is_free else held
    free = free_dofs(frame, support)
    solve = (free_factor(frame) if is_free else factor(K[free][:, free], free)).solve
    remove = _rigid_remover(frame, K, M) if is_free else _nothing

    def flexibility(vector: Floats) -> Floats:
        u = np.zeros_like(vector)
        u[free] = solve(remove(vector, True)[free])
        return remove(u, False) if is_free else u

    most = free.size
    if count < 1 or count > most:
        raise AnalysisError(f"{count} modes wanted, the frame has {most} elastic freedoms")
    if size <= _DENSE or 3 * count > most:
        squares, shapes = _dense(flexibility, M, size, count)
    else:
        squares, shapes = _block_lanczos(flexibility, M, size, count)
    return np.sqrt(squares) / (2 * np.pi), _scaled(frame, shapes)


def _nothing(vector: Floats, _: bool) -> Floats:
    return vector


def _rigid_remover(
    frame: BeamFrame, K: sparse.csc_array, M: sparse.csc_array
) -> Callable[[Floats, bool], Floats]:
    """Takes rigid motion out of displacements, or the inertia it needs out of loads."""
    R = rigid_shapes(frame.nodes, frame.nodes.mean(axis=0))
    energy = np.abs(np.sum(R * (K @ R), axis=0))
    terms = np.sum(np.abs(R) * (abs(K) @ np.abs(R)), axis=0)
    if np.any(energy > _RIGID_ENERGY * terms):
        raise AnalysisError("moving the whole frame costs strain energy: a spring holds it")
    MR = np.asarray(M @ R)
    body = linalg.cho_factor(R.T @ MR)

    def remove(vector: Floats, load: bool) -> Floats:
        left, right = (MR, R) if load else (R, MR)
        return np.asarray(vector - left @ linalg.cho_solve(body, right.T @ vector))

    return remove


def _dense(flexibility: Apply, M: sparse.csc_array, size: int, count: int) -> tuple[Floats, Floats]:
    """Eigenpairs from the whole flexibility F: M^(1/2) F M^(1/2) is symmetric and as small."""
    values, vectors = np.linalg.eigh(M.toarray())
    if values[0] < -1e-9 * values[-1]:
        raise AnalysisError("the mass matrix is not positive: a mass or an inertia is negative")
    root = vectors * np.sqrt(np.maximum(values, 0.0))
    F = flexibility(np.eye(size))
    compliance, mixed = np.linalg.eigh(root.T @ ((F + F.T) / 2) @ root)
    best = compliance[::-1][:count]
    if best[-1] <= 1e-14 * best[0]:
        raise AnalysisError(f"{count} modes wanted, but too few degrees of freedom carry mass")
    return 1 / best, (F @ root @ mixed[:, ::-1][:, :count] / best).T


def _block_lanczos(
    flexibility: Apply, M: sparse.csc_array, size: int, count: int
) -> tuple[Floats, Floats]:
    """Eigenpairs from a block Krylov space of the flexibility, kept orthogonal in the mass norm.

    Arms that are alike give modes that come several times; a block wider than that finds all of
    them, where one vector would find one (Golub and Van Loan, Matrix Computations, block Lanczos).
    """
    block = np.random.default_rng(1).standard_normal((size, _BLOCK))
    basis, image, weighed = (np.empty((size, 0)) for _ in range(3))
    block = flexibility(M @ block)
    for _ in range(_MOST_STEPS):
        block = _orthonormal(block, basis, M)
        basis = np.hstack([basis, block])
        block = flexibility(M @ block)
        image, weighed = np.hstack([image, block]), np.hstack([weighed, M @ block])
        projected = basis.T @ weighed
        values, mixed = np.linalg.eigh((projected + projected.T) / 2)
        values, mixed = values[::-1][:count], mixed[:, ::-1][:, :count]
        if len(values) == count and _residual(basis, image, values, mixed, M) < _CONVERGED:
            return 1 / values, (image @ mixed / values).T
    raise AnalysisError(f"{count} modes did not converge in {_MOST_STEPS} steps")


def _orthonormal(block: Floats, basis: Floats, M: sparse.csc_array) -> Floats:
    """Columns of unit mass, orthogonal to each other and to the basis; done thrice, for rounding.

    Columns that hang together to rounding are dropped.
    """
    block = block / np.sqrt(np.sum(block * (M @ block), axis=0))
    for _ in range(3):
        block = block - basis @ (basis.T @ (M @ block))
        norms = np.sqrt(np.sum(block * (M @ block), axis=0))
        block = block[:, norms > 1e-12] / norms[norms > 1e-12]
        if block.shape[1] == 0:
            raise AnalysisError("fewer modes exist than wanted: too few freedoms carry mass")
        squares, vectors = np.linalg.eigh(block.T @ (M @ block))
        kept = squares > 1e-13
        block = block @ (vectors[:, kept] / np.sqrt(squares[kept]))
    return block


def _residual(
    basis: Floats, image: Floats, values: Floats, mixed: Floats, M: sparse.csc_array
) -> float:
    """Greatest residual of the Ritz pairs over their value, in the mass norm."""
    rest = image @ mixed - basis @ (mixed * values)
    return float(np.max(np.sqrt(np.abs(np.sum(rest * (M @ rest), axis=0))) / np.abs(values)))


def _scaled(frame: BeamFrame, vectors: Floats) -> Floats:
    shapes = vectors.reshape(len(vectors), -1, 6)
    size = float(np.max(np.ptp(frame.nodes, axis=0)))
    shift = np.max(np.linalg.norm(shapes[:, :, :3], axis=2), axis=1)
    turn = size * np.max(np.linalg.norm(shapes[:, :, 3:], axis=2), axis=1)
    scale = np.where(shift > 1e-6 * turn, shift, turn)
    flat = shapes.reshape(len(shapes), -1)
    lead = np.take_along_axis(flat, np.argmax(np.abs(flat), axis=1)[:, None], axis=1)
    return np.asarray(shapes * (np.sign(lead) / scale[:, None])[:, :, None])
