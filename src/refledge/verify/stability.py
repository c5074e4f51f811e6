"""Whether a part buckles under its load cases: least factors on two meshes.

All cases are solved on the coarser mesh, and the one of each factor of safety that is nearest to
buckling on the finest one too. What the mesh changed there is taken to change the rest as much.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from refledge.errors import AnalysisError
from refledge.solids.assembly import dofs
from refledge.solids.buckling import CONVERGED, Buckled, buckled
from refledge.solids.cases import FaceLoad, PointMass, SolidCase, Support
from refledge.solids.faces import patch
from refledge.solids.figures import MeshRun, SolidResults
from refledge.solids.honesty import richardson
from refledge.solids.levers import Lever, lever, lever_of
from refledge.solids.static import case_load
from refledge.solids.system import System, build
from refledge.typed import Floats
from refledge.verify.setup import ByHand, Setup


@dataclass(frozen=True, eq=False)
class Stability:
    """Uses of the buckling load: load over the least that buckles the part (1), without factor."""

    uses: Floats
    """(cases,), as on the finest mesh; nan where ``why`` says."""
    errors: Floats
    """(cases,): mesh errors of them."""
    finer: Floats
    """(cases,): use on the finest mesh over that on the coarser one."""
    worst: int
    """Case nearest to buckling, factors of safety in."""
    shape: Floats
    """(n, 3): how it buckles there on the finest mesh, the greatest 1."""
    why: str = ""
    """Why nothing was found."""


def stability(setup: Setup, found: SolidResults, factor: Mapping[str, float]) -> Stability | None:
    """None for a part that is not looked at. factor: of safety, of each case by name."""
    if not setup.buckles:
        return None
    try:
        return _found(setup, found, factor)
    except AnalysisError as error:
        none = np.full(len(setup.cases), np.nan)
        return Stability(none, none, none, 0, np.zeros_like(found.finest.mesh.nodes), str(error))


def _found(setup: Setup, found: SolidResults, factor: Mapping[str, float]) -> Stability:
    wanted = np.array([factor[case.name] for case in setup.cases])
    coarse, finest = Solver(setup, found.coarse), Solver(setup, found.finest)
    uses = np.array([coarse.case(row)[0] for row in range(len(wanted))])
    errors, finer = np.zeros_like(uses), np.ones_like(uses)
    hardest, worst, shape = -1.0, 0, np.zeros_like(found.finest.mesh.nodes)
    for each in np.unique(wanted):
        mine = np.flatnonzero(wanted == each)
        row = int(mine[uses[mine].argmax()])
        fine, moved = finest.case(row)
        estimate = richardson((uses[row], fine), found.sizes[:2])
        ratio, share = (x / uses[row] if uses[row] else 1.0 for x in (fine, estimate.error))
        errors[mine] = share * uses[mine]
        uses[mine] *= ratio
        finer[mine] = ratio
        if each * fine > hardest:
            hardest, worst, shape = each * fine, row, moved
    return Stability(uses, errors, finer, worst, shape)


class Solver:
    """Finds how a part buckles on one mesh that was solved before."""

    def __init__(self, setup: Setup, run: MeshRun) -> None:
        self._setup, self._run = setup, run
        self._turned: dict[tuple[str, str], System] = {}

    def case(self, row: int) -> tuple[float, Floats]:
        """Use and shape (n, 3) of one of the load cases."""
        if self._run.static is None:
            raise AnalysisError("no load case to buckle under")
        case = self._run.static.cases[row]
        u = self._run.static.displacements[row]
        found = self.buckled(case, u, self._setup.by_hand.get(case.name))
        return found.use, found.shape

    def buckled(
        self,
        case: SolidCase,
        u: Floats,
        hand: ByHand | None,
        *,
        both: bool = False,
        converged: float = CONVERGED,
    ) -> Buckled:
        """Of any load case solved as u (n, 3), m, on this mesh."""
        if hand is not None:
            hung = self._hung(case, u, hand)
            held = self._held(hand)
            return buckled(held, u, case.rise, (hung,), both=both, converged=converged)
        pulls = [each for each in case.loads if isinstance(each, FaceLoad)]
        levers = [lever(self._run.mesh, each) for each in pulls]
        system = self._run.system
        return buckled(system, u, case.rise, levers, both=both, converged=converged)

    def _held(self, hand: ByHand) -> System:
        """The part held by its loaded face, what was held free but of one piece."""
        key = hand.held, hand.hung
        if key not in self._turned:
            run = self._run
            centre = patch(run.mesh, hand.hung).centre
            piece = PointMass(hand.hung, 0.0, centre, rigid=True)
            self._turned[key] = build(
                run.mesh, run.system.material, (Support((hand.held,)),), (piece,),
                matrices=run.system.matrices,
            )  # fmt: skip
        return self._turned[key]

    def _hung(self, case: SolidCase, u: Floats, hand: ByHand) -> Lever:
        """What the support's forces stand for: their sum in the middle of all that hangs there, and
        a couple that keeps its direction."""
        system, mesh = self._run.system, self._run.mesh
        face, point = patch(mesh, hand.hung), np.array(hand.centre)
        out = system.matrices.stiffness @ u.ravel() - case_load(system, case)
        nodal = out[dofs(face.nodes)].reshape(-1, 3)
        force = nodal.sum(axis=0)
        moment = np.cross(mesh.nodes[face.nodes] - face.centre, nodal).sum(axis=0)
        couple = moment - np.cross(point - face.centre, force)
        left = face.mean.T @ np.concatenate((np.zeros(3), couple))
        return lever_of(mesh, face, force, point, nodal - left.reshape(-1, 3))
