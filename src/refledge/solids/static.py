"""Static load cases on one factorization; a free body is put in equilibrium with its inertia."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from refledge.errors import AnalysisError
from refledge.solids import faces
from refledge.solids.assembly import dofs, thermal_load
from refledge.solids.cases import FaceStress, Pressure, SolidCase
from refledge.solids.system import System
from refledge.typed import Floats

_RESIDUAL = 1e-6  # of the load; a sound Cholesky solve leaves about 1e-10


@dataclass(frozen=True, eq=False)
class Static:
    """Displacements under every load case."""

    system: System
    cases: tuple[SolidCase, ...]
    displacements: Floats
    """(k, n, 3), m; of a free body without its rigid motion."""
    reactions: Floats
    """(k, 6): force, N, and moment about the origin, N m, of all supports;
    what springs take to ground is not in it."""
    residual: float
    """Greatest out-of-balance force over load, 1."""

    def motion(self, face: str) -> Floats:
        """(k, 6): mean translation, m, and rotation, rad, of a named face."""
        found = faces.patch(self.system.mesh, face)
        moved = self.displacements.reshape(len(self.cases), -1)[:, dofs(found.nodes)]
        return np.asarray(moved @ found.mean.T)


def static(system: System, cases: Sequence[SolidCase]) -> Static:
    """Solve all cases. Raises AnalysisError where a solve leaves forces out of balance."""
    load = np.column_stack([case_load(system, case) for case in cases])
    if system.loose.size:
        load = load - _inertia_forces(system, load)
    u = system.solve(load)
    out = system.matrices.stiffness @ u - load
    free = system.T.T @ out
    weight = np.maximum(np.linalg.norm(load, axis=0), 1e-30)
    residual = float(np.max(np.linalg.norm(free, axis=0) / weight))
    if not residual < _RESIDUAL:
        raise AnalysisError(f"static solve left {residual:.1e} of the load out of balance")
    u = without_loose(system, u)
    R = faces.rigid_motion(system.mesh.nodes, np.zeros(3))
    return Static(
        system=system,
        cases=tuple(cases),
        displacements=u.T.reshape(len(cases), -1, 3),
        reactions=(R.T @ out).T,
        residual=residual,
    )


def case_load(system: System, case: SolidCase) -> Floats:
    """(3n,), N: all nodal forces of one case."""
    mesh = system.mesh
    force = (system.matrices.mass @ case.felt(mesh.nodes)).ravel()
    for load in case.loads:
        if isinstance(load, Pressure | FaceStress):
            stress = load.stress if isinstance(load, FaceStress) else -load.value * np.eye(3)
            nodes, each = faces.stress_load(mesh, load.face, stress)
            force[dofs(nodes)] += each.ravel()
            continue
        patch = faces.patch(mesh, load.face)
        resultant = faces.wrench(load.force, load.moment, load.point, patch.centre)
        force[dofs(patch.nodes)] += patch.mean.T @ resultant
    for rider in system.riders if case.riders_feel else ():
        weight = rider.what.mass * case.felt(rider.what.centre)
        spin = rider.what.inertia @ case.turn
        resultant = faces.wrench(weight, spin, rider.what.centre, rider.patch.centre)
        force[dofs(rider.patch.nodes)] += rider.patch.mean.T @ resultant
    if case.rise is not None:
        force += thermal_load(mesh, system.material, case.rise)
    return np.asarray(force)


def without_loose(system: System, u: Floats) -> Floats:
    """Displacements with the loose rigid motions taken out, in the mass norm."""
    R = system.loose
    if not R.size:
        return u
    MR = system.mass_times(R)
    return np.asarray(u - R @ np.linalg.solve(R.T @ MR, MR.T @ u))


def _inertia_forces(system: System, load: Floats) -> Floats:
    """Forces of the acceleration that ``load`` gives a free body (inertia relief)."""
    R = system.loose
    MR = system.mass_times(R)
    return np.asarray(MR @ np.linalg.solve(R.T @ MR, R.T @ load))
