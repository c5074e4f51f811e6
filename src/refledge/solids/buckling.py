"""Linear buckling of a held solid: the factors of a load case at which its shape gives way.

The stress of the load case, unchanged but for a factor, works on the squares of displacement
gradients: (K + factor K_s) v = 0 with K_s = sum over elements of integral of grad N_a . s grad N_b,
the same for each direction (Cook, Malkus, Plesha and Witt, Concepts and Applications of Finite
Element Analysis, stress stiffness; Bathe, Finite Element Procedures, linearized buckling). Loads
keep their direction; how the part moves before it buckles is left out. A force that acts beside its
face, as on what is bolted there, moves with the face as on a rigid lever (``levers.py``).

With use = 1 / factor it reads -K_s v = use K v, whose Rayleigh quotient is linear in the load. So
the greatest use is a sublinear function of the load, and loads that do not buckle form a convex set
(Papkovich's theorem; Papkovich, Structural Mechanics of Ships, 1941, from memory): a sum of loads
uses no more than its parts do each for itself.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy import sparse

from refledge.errors import AnalysisError
from refledge.solids import element
from refledge.solids.assembly import Material, matrix_of
from refledge.solids.lanczos import lanczos
from refledge.solids.levers import Lever
from refledge.solids.mesh import SolidMesh
from refledge.solids.modal import signed
from refledge.solids.stress import strains
from refledge.solids.system import System
from refledge.typed import Floats

_BLOCK = 2
"""Width: parts alike left and right have two factors that are nearly one."""
CONVERGED = 1e-4
"""Residual over the greater of both uses; the greater errs by its square over the distance to the
next, the less by as much as that at most."""


@dataclass(frozen=True, eq=False)
class Buckled:
    """How one load case buckles a part."""

    use: float
    """Load over the least that buckles it, 1 / factor; 0 where none does."""
    against: float
    """The same of the opposite load; nan where that was not asked for."""
    shape: Floats
    """(n, 3): displacements, the greatest 1, of the load's own direction."""
    residual: float
    """Greatest of both, relative."""

    @property
    def factor(self) -> float:
        """Least positive load factor."""
        return 1.0 / self.use if self.use > 0.0 else np.inf


def buckled(
    system: System,
    displacement: Floats,
    rise: Floats | None = None,
    levers: Sequence[Lever] = (),
    *,
    both: bool = False,
    converged: float = CONVERGED,
) -> Buckled:
    """Of a static solution (n, 3), m, on the same mesh; ``rise`` (n,), K, as in its case.

    The system may be held otherwise than where the solution was found, by forces in balance with
    it. both: whether the opposite load is asked for too. converged: residual over the greater of
    both uses at which to end; Ritz values come from below, and neither use is further above than
    that (Parlett, The Symmetric Eigenvalue Problem, residual bounds). Raises AnalysisError for a
    body that floats, and where the search does not converge.
    """
    if system.loose.size:
        raise AnalysisError("buckling is found of held parts only; this one floats or slides")
    K, T = system.K, system.T
    noise = np.random.default_rng(11).standard_normal((K.shape[0], _BLOCK))
    stress = point_stress(system.mesh, system.material, displacement, rise)
    S = geometric_stiffness(system.mesh, stress)

    def eased(q: Floats) -> Floats:
        """Displacements under what the stress does to displacements q."""
        u = np.asarray(T @ q)
        push = (S @ u.reshape(S.shape[0], -1)).reshape(u.shape)
        for lever in levers:
            push[lever.at] += lever.turned(u[lever.at])
        return np.asarray(system.factor.solve(-(T.T @ push)))

    values, vectors, residual = lanczos(
        lambda q, _: eased(q), lambda q: np.asarray(K @ q), system.factor.solve(noise),
        (1, 1 if both else 0), what="buckling", converged=converged, floor=1.0,
    )  # fmt: skip
    shape = signed(T @ vectors[:, :1]).reshape(-1, 3)
    uses = [max(float(each), 0.0) for each in values * [1.0, -1.0][: len(values)]]
    return Buckled(uses[0], uses[1] if both else np.nan, shape / np.abs(shape).max(), residual)


def point_stress(
    mesh: SolidMesh, material: Material, displacement: Floats, rise: Floats | None = None
) -> Floats:
    """(m, 4, 6), Pa: what each element carries at its quadrature points, infill by its share."""
    found = np.empty((len(mesh.tets), 4, 6))
    law = material.stiffness[mesh.body]
    for point, barycentric in enumerate(element.POINTS):
        strain = strains(mesh, material, displacement, barycentric, rise)
        stress = np.einsum("mij,mj->mi", law, strain)
        found[:, point] = material.share[:, point, None] * stress
    return found


def geometric_stiffness(mesh: SolidMesh, stress: Floats) -> sparse.csr_array:
    """(n, n), N/m: of one displacement component. stress: (m, 4, 6), Pa, at element.POINTS."""
    flat, volume = element.barycentric_gradients(mesh.nodes, mesh.tets)
    each = np.zeros((len(mesh.tets), 10, 10))
    for point, barycentric in enumerate(element.POINTS):
        grad = element.gradients(flat, barycentric[None])[:, 0]
        pulled = np.einsum("mij,maj->mai", _tensor(stress[:, point]), grad)
        each += (volume / 4)[:, None, None] * (grad @ np.swapaxes(pulled, 1, 2))
    return matrix_of(mesh, each)


def _tensor(stress: Floats) -> Floats:
    """(m, 3, 3) from Voigt (m, 6)."""
    return np.asarray(stress[:, [[0, 5, 4], [5, 1, 3], [4, 3, 2]]])
