"""Forces beside a face, in buckling: they act on a rigid lever that turns with the face.

Where the face turns by t, a force F at the distance d from its centre goes further by F . t x (t x
d) / 2 than the first order says: a weight that stands above its seat tips over sooner than one that
hangs below. The forces on the face's nodes that stand for it would do the same each with its own
distance, so the difference of both is what K_s gains (load stiffness of forces on rigid levers;
Argyris, Hilpert, Malejannakis and Scharpf, On the geometrical stiffness of a beam in space, 1979,
from memory).
"""

from dataclasses import dataclass

import numpy as np

from refledge.solids.assembly import dofs
from refledge.solids.cases import FaceLoad
from refledge.solids.faces import Patch, patch, wrench
from refledge.solids.mesh import SolidMesh
from refledge.typed import Floats, Ints


@dataclass(frozen=True, eq=False)
class Lever:
    """What one force adds to K_s."""

    at: Ints
    """(3k,): displacements of the face."""
    turn: Floats
    """(3, 3k): mean rotation of the face from them, rad."""
    stiffness: Floats
    """(3, 3), N m: of that rotation, symmetric."""

    def turned(self, u: Floats) -> Floats:
        """Forces (3k, b), N, of displacements (3k, b), m, of the face."""
        return np.asarray(self.turn.T @ (self.stiffness @ (self.turn @ u)))


def lever(mesh: SolidMesh, load: FaceLoad) -> Lever:
    """Of a force at its point; the load's own moment stays a traction that keeps its direction."""
    face = patch(mesh, load.face)
    spread = face.mean.T @ wrench(load.force, np.zeros(3), load.point, face.centre)
    return lever_of(mesh, face, load.force, np.asarray(load.point), spread.reshape(-1, 3))


def lever_of(mesh: SolidMesh, face: Patch, force: Floats, point: Floats, nodal: Floats) -> Lever:
    """Of a force (3,), N, at ``point`` (3,), m, for which ``nodal`` (k, 3), N, stand there."""
    arms = mesh.nodes[face.nodes] - face.centre
    spread = _second(np.einsum("ki,kj->ij", arms, nodal))
    one = _second(np.outer(point - face.centre, force))
    return Lever(dofs(face.nodes), face.mean[3:], spread - one)


def _second(virial: Floats) -> Floats:
    """(3, 3) A with F . t x (t x d) = t A t, from the sum of d F^T (3, 3), N m."""
    return np.asarray((virial + virial.T) / 2 - np.trace(virial) * np.eye(3))
