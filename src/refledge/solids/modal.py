"""Natural modes of a solid, held or free, by block Lanczos on the factored stiffness."""

from dataclasses import dataclass

import numpy as np
from scipy.optimize import linear_sum_assignment

from refledge.errors import AnalysisError
from refledge.solids import faces
from refledge.solids.assembly import dofs
from refledge.solids.lanczos import lanczos
from refledge.solids.system import System
from refledge.typed import Floats, Ints

_BLOCK = 4
"""Width: modes that may share a frequency, plus one."""

_NEAR = 0.1


@dataclass(frozen=True, eq=False)
class Modes:
    """Elastic modes, lowest first."""

    system: System
    frequencies: Floats
    """(k,), Hz."""
    shapes: Floats
    """(k, n, 3), scaled to a modal mass of 1 kg."""
    residual: float
    """Greatest error of the eigenpairs in the mass norm, relative."""

    def motion(self, face: str) -> Floats:
        """(k, 6): mean translation and rotation of a named face in each mode."""
        found = faces.patch(self.system.mesh, face)
        moved = self.shapes.reshape(len(self.shapes), -1)[:, dofs(found.nodes)]
        return np.asarray(moved @ found.mean.T)

    def effective_mass(self) -> Floats:
        """(k, 3), kg: mass that each mode carries along x, y and z."""
        R = faces.rigid_motion(self.system.mesh.nodes, np.zeros(3))[:, :3]
        share = self.shapes.reshape(len(self.shapes), -1) @ self.system.mass_times(R)
        return np.asarray(share**2)


def modes(system: System, count: int, block: int = _BLOCK) -> Modes:
    """The ``count`` lowest elastic modes; rigid motions of a free body are taken out exactly."""
    size = system.K.shape[0]
    if count < 1 or 3 * count > size:
        raise AnalysisError(f"{count} modes wanted of a mesh with {size} freedoms")
    R = system.loose
    MR = system.mass_times(R)
    body = np.linalg.inv(R.T @ MR)

    def flexibility(load: Floats) -> Floats:
        """Displacements under inertia forces; a free body's without rigid motion."""
        if not R.size:
            return system.solve(load)
        u = system.solve(load - MR @ (body @ (R.T @ load)))
        return np.asarray(u - R @ (body @ (MR.T @ u)))

    start = np.random.default_rng(7).standard_normal((3 * len(system.mesh.nodes), block))
    values, vectors, residual = lanczos(
        lambda _, load: flexibility(load), system.mass_times, flexibility(start), (count, 0)
    )  # frequencies err with the square of the residual
    return Modes(
        system=system,
        frequencies=np.sqrt(1 / values) / (2 * np.pi),
        shapes=signed(vectors).T.reshape(count, -1, 3),
        residual=residual,
    )


def signed(vectors: Floats) -> Floats:
    """The largest entry of each mode made positive, so that results repeat."""
    lead = np.take_along_axis(vectors, np.argmax(np.abs(vectors), axis=0)[None], axis=0)
    return np.asarray(vectors * np.sign(lead))


def mac(one: Floats, other: Floats, weight: Floats | float = 1.0) -> Floats:
    """Modal assurance criterion (a, b) of two sets of shapes (a, ...) and (b, ...), 0..1.

    Allemang and Brown, A correlation coefficient for modal vector analysis (1982). ``weight``
    broadcasts against a shape: masses, or areas of the places where shapes were read.
    """
    a = one.reshape(len(one), -1)
    b = other.reshape(len(other), -1)
    w = np.broadcast_to(np.asarray(weight), one.shape[1:]).ravel()
    cross = (a * w) @ b.T
    own = np.outer(np.sum(a * a * w, axis=1), np.sum(b * b * w, axis=1))
    return np.asarray(cross**2 / own)


def alike(
    one: Floats,
    other: Floats,
    weight: Floats | float = 1.0,
    frequencies: tuple[Floats, Floats] | None = None,
) -> tuple[Ints, Floats]:
    """For each of the shapes ``one`` (a, ...) its like among ``other`` (b, ...), b at least a.

    Row in ``other`` and assurance, (a,) each: the pairing of greatest total assurance, in which no
    shape is taken twice. Order by frequency would cross modes that swap places. Shapes read at few
    places may be alike in several modes: of those the nearer of ``frequencies`` (a,), (b,), Hz, is
    taken, a factor e counting as ``_NEAR`` of assurance.
    """
    found = mac(one, other, weight)
    if len(found) > found.shape[1]:
        raise AnalysisError(f"{len(found)} modes cannot be paired with {found.shape[1]}")
    cost = -found
    if frequencies is not None:
        cost = cost + _NEAR * np.abs(np.log(frequencies[0][:, None] / frequencies[1]))
    rows, columns = linear_sum_assignment(cost)
    return np.asarray(columns, np.int64), np.asarray(found[rows, columns])


def in_span(shape: Floats, group: Floats, weight: Floats | float = 1.0) -> float:
    """Share of ``shape`` (...) that the shapes ``group`` (g, ...) make up together, 0..1.

    Modes of one frequency mix at will, so that none need be like another model's mode:
    least squares on all of them is the modal assurance criterion of their span; for one shape it is
    ``mac``. ``weight`` broadcasts to a shape.
    """
    root = np.sqrt(np.broadcast_to(weight, shape.shape)).ravel()
    wanted, basis = shape.ravel() * root, group.reshape(len(group), -1) * root
    basis = basis / np.linalg.norm(basis, axis=1, keepdims=True)
    fit = np.linalg.lstsq(basis.T, wanted, rcond=1e-8)[0]
    return float(np.sum((fit @ basis) ** 2) / np.sum(wanted**2))
