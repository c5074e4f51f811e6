"""A solid held, ridden and ready to solve: constraints, coupled masses, one factorization."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from scipy import sparse
from scipy.linalg import qr

from refledge.errors import AnalysisError
from refledge.solids import faces
from refledge.solids.assembly import Material, Matrices, assemble, dofs
from refledge.solids.cases import Bedding, FaceSpring, PointMass, Support
from refledge.solids.mesh import SolidMesh
from refledge.solids.port import Factor, factor
from refledge.typed import Floats, Ints

Factorizer = Callable[[sparse.csr_array], Factor]


@dataclass(frozen=True, eq=False)
class Rider:
    """A point mass on its face: mass matrix (6, 6) about the face's centre, and the face."""

    what: PointMass
    patch: faces.Patch
    inertia: Floats


@dataclass(frozen=True, eq=False)
class System:
    """u = T q over all displacements u (3n,); q are the free ones and rigid faces' motions."""

    mesh: SolidMesh
    material: Material
    matrices: Matrices
    K: sparse.csr_array
    """Stiffness of q, N/m."""
    T: sparse.csr_array
    """(3n, n_q)."""
    held: Ints
    """Displacements held by supports, and those that pin loose motions without force."""
    loose: Floats
    """(3n, k): rigid motions that nothing holds: six of a free body, none of a held part."""
    factor: Factor
    riders: tuple[Rider, ...]

    def solve(self, load: Floats) -> Floats:
        """Displacements (3n,) or (3n, k), m, under forces of the same shape, N."""
        return np.asarray(self.T @ self.factor.solve(self.T.T @ load))

    def mass_times(self, u: Floats) -> Floats:
        """M u with all masses; (3n,) or (3n, k)."""
        n = len(self.mesh.nodes)
        found = (self.matrices.mass @ u.reshape(n, -1)).reshape(u.shape)
        for rider in self.riders:
            at = dofs(rider.patch.nodes)
            found[at] += rider.patch.mean.T @ (rider.inertia @ (rider.patch.mean @ u[at]))
        return np.asarray(found)


def build(
    mesh: SolidMesh,
    material: Material,
    supports: Sequence[Support] = (),
    masses: Sequence[PointMass] = (),
    springs: Sequence[Bedding | FaceSpring] = (),
    *,
    may_slide: bool = False,
    matrices: Matrices | None = None,
    factorize: Factorizer = factor,
) -> System:
    """Assemble and factor once. With no support and no spring the body floats free.

    Raises AnalysisError where supports leave a rigid motion unheld, unless it ``may_slide``;
    springs are taken to hold the body. matrices: those of the same mesh and material, if known.
    """
    matrices = matrices or assemble(mesh, material)
    K = matrices.stiffness
    for spring in springs:
        K = K + (_bedded(mesh, spring) if isinstance(spring, Bedding) else _sprung(mesh, spring))
    riders = tuple(_rider(mesh, each) for each in masses)
    rigid = [rider.patch for rider in riders if rider.what.rigid]
    held = _held(mesh, supports)
    loose = np.zeros((mesh.dofs, 0)) if springs else _loose(mesh, held)
    if supports and loose.size and not may_slide:
        raise AnalysisError(
            f"no clamp: the supports leave {loose.shape[1]} rigid motions of the solid free; "
            "hold at least one face, or solve it as a free body with no support at all"
        )
    taken = np.concatenate([held, *(dofs(patch.nodes) for patch in rigid)])
    held = np.union1d(held, _pins(loose, taken)) if loose.size else held
    T = _constraint(mesh, held, rigid)
    reduced = _reduced(K, T)
    return System(
        mesh, material, Matrices(sparse.csr_array(K), matrices.mass), reduced, T, held, loose,
        factorize(reduced), riders,
    )  # fmt: skip


def _rider(mesh: SolidMesh, mass: PointMass) -> Rider:
    patch = faces.patch(mesh, mass.face)
    offset = np.asarray(mass.centre) - patch.centre
    return Rider(mass, patch, faces.point_inertia(mass.mass, mass.inertia, offset))


def _held(mesh: SolidMesh, supports: Sequence[Support]) -> Ints:
    found = []
    for support in supports:
        sets = [mesh.face_nodes(name) for name in support.faces]
        nodes = np.unique(np.concatenate(sets))
        if support.shared:
            for each in sets:
                nodes = np.intersect1d(nodes, each)
        if not nodes.size:
            raise AnalysisError(f"faces {', '.join(support.faces)} share no edge to hold")
        axes = np.flatnonzero([support.x, support.y, support.z])
        found.append((3 * nodes[:, None] + axes).ravel())
    return np.unique(np.concatenate(found)) if found else np.zeros(0, dtype=np.int64)


def _loose(mesh: SolidMesh, held: Ints) -> Floats:
    """(3n, k): rigid motions of the whole that no held displacement stops, k of 0..6."""
    R = faces.rigid_motion(mesh.nodes, mesh.nodes.mean(axis=0))
    R[:, 3:] /= float(np.max(np.ptp(mesh.nodes, axis=0)))
    _, values, turned = np.linalg.svd(R[held].T @ R[held])
    return np.asarray(R @ turned[values < 1e-12 * max(float(values[0]), 1e-30)].T)


def _pins(loose: Floats, taken: Ints) -> Ints:
    """(k,): displacements that hold ``loose`` (3n, k) without straining the body.

    Pivoted QR picks those at which the rigid motions are most unlike one another.
    """
    usable = loose.copy()
    usable[taken] = 0.0
    order = qr(usable.T, mode="r", pivoting=True)[1]
    return np.asarray(order[: loose.shape[1]], dtype=np.int64)


def _constraint(mesh: SolidMesh, held: Ints, rigid: Sequence[faces.Patch]) -> sparse.csr_array:
    """T of u = T q."""
    free = np.ones(mesh.dofs, dtype=np.bool_)
    free[held] = False
    for patch in rigid:
        at = dofs(patch.nodes)
        if not free[at].all():
            raise AnalysisError("a rigidly coupled face overlaps a support or another such face")
        free[at] = False
    kept = np.flatnonzero(free)
    rows, columns, values = [kept], [np.arange(kept.size)], [np.ones(kept.size)]
    for k, patch in enumerate(rigid):
        at = dofs(patch.nodes)
        rows.append(np.repeat(at, 6))
        columns.append(np.tile(kept.size + 6 * k + np.arange(6), at.size))
        values.append(patch.rigid.ravel())
    shape = (mesh.dofs, kept.size + 6 * len(rigid))
    entries = np.concatenate(values), (np.concatenate(rows), np.concatenate(columns))
    return sparse.csr_array(entries, shape=shape)


def _reduced(K: sparse.csr_array, T: sparse.csr_array) -> sparse.csr_array:
    if T.nnz == T.shape[1]:  # supports only: plain selection is much quicker than two products
        kept = np.asarray(T.tocsc().indices)
        return sparse.csr_array(K[kept][:, kept])
    return sparse.csr_array(T.T @ (K @ T))


def _bedded(mesh: SolidMesh, bedding: Bedding) -> sparse.csr_array:
    """Springs over the face; the face's mean normal is used, so it should be nearly flat."""
    found = faces.patch(mesh, bedding.face)
    normal = faces.mean_normal(mesh, bedding.face)
    across = np.outer(normal, normal)
    each = bedding.normal * across + bedding.tangential * (np.eye(3) - across)
    return _placed(mesh, dofs(found.nodes), sparse.kron(found.mass, each))


def _sprung(mesh: SolidMesh, spring: FaceSpring) -> sparse.csr_array:
    found = faces.patch(mesh, spring.face)
    block = sparse.coo_array(found.mean.T @ spring.stiffness @ found.mean)
    return _placed(mesh, dofs(found.nodes), block)


def _placed(
    mesh: SolidMesh, at: Ints, block: sparse.coo_array | sparse.bsr_array
) -> sparse.csr_array:
    found = sparse.coo_array(block)
    rows, columns = found.coords
    entries = found.data, (at[rows], at[columns])
    return sparse.csr_array(entries, shape=(mesh.dofs, mesh.dofs))
