"""What a grown arm that is kept bears: unit loads alone, and the loads of every arm.

Both uses are sublinear in the stress: twice the stress uses twice as much, and two stresses
together use no more than each for itself (the quadratic and linear parts of Tsai and Wu's surface
bound a convex body round zero; so do tension and shear of the layer boundary). So a load's use is
at most the sum of its parts' uses, which ``airframe.grown_strength`` bounds any later load by.
"""

from dataclasses import dataclass, replace

import numpy as np

from refledge.airframe.grown_strength import arm_loads, bounds
from refledge.airframe.statics import CaseResult
from refledge.model.grown import LOADS, GrownCase
from refledge.solids.cases import FaceLoad, SolidCase
from refledge.solids.figures import MeshRun
from refledge.solids.part import PrintedBody, judge_stresses
from refledge.solids.static import static
from refledge.solids.stress import Stress, recover
from refledge.study import Study
from refledge.typed import Floats
from refledge.verify.beam_forces import worst_arm
from refledge.verify.results import PartVerified

HELD, SEAT = "clamp", "seat"
OVER = 1.03
"""Bound of an arm's use over the greatest that was solved in the same load case, from which that
arm's own load is solved too: our choice, less than mesh errors."""


@dataclass(frozen=True, eq=False)
class Bears:
    """All that bounds of strength need."""

    cases: tuple[GrownCase, ...]
    unit_plastic: Floats
    """(12, 2): use of strength by each of LOADS, along its axis and against it (1)."""
    unit_layers: Floats


def bears(study: Study, body: PrintedBody, run: MeshRun, verified: PartVerified) -> Bears:
    """Unit loads on a mesh solved before, and loads of arms other than the worst that bounds from
    there would judge too hardly."""
    judge = _Judge(study, body, run)
    plastic, layers = np.empty((len(LOADS), 2)), np.empty((len(LOADS), 2))
    for row, load in enumerate(np.eye(len(LOADS))):
        for column, (hard, torn) in enumerate(judge.both(load)):
            plastic[row, column], layers[row, column] = hard, torn
    results = study.assessment.results
    cases = [
        GrownCase(
            title=spot.case, kind=spot.kind, load=_loads(study, each)[worst_arm(study, each)],
            plastic=spot.plastic, plastic_error=spot.plastic_error,
            layers=spot.layers, layers_error=spot.layers_error,
        )
        for each, spot in zip(results, verified.spots, strict=True)
    ]  # fmt: skip
    made = Bears(tuple(cases), plastic, layers)
    for first, result in zip(cases, results, strict=True):
        made = _others(made, first, _loads(study, result), judge)
    return made


class _Judge:
    """Solves one load after another on one factored mesh."""

    def __init__(self, study: Study, body: PrintedBody, run: MeshRun) -> None:
        self._study, self._body, self._run = study, body, run

    def both(self, load: Floats) -> list[tuple[float, float]]:
        """Uses of plastic and layers by a load (12,), and by its opposite."""
        run = self._run
        moved = static(run.system, [_case(self._study, load)]).displacements[0]
        stress = recover(run.mesh, run.system.material, moved)
        pair = (stress, _against(stress))
        found = judge_stresses(run.system, {"arm": self._body}, pair, (HELD,))
        return [(each.worst_plastic.use, each.worst_layers.use) for each in found]


def _others(known: Bears, first: GrownCase, loads: Floats, judge: _Judge) -> Bears:
    """With the loads (n, 12) of one load case's arms, hardest first, that the bound is far over."""
    plastic, layers = first.plastic, first.layers
    for _ in loads:
        borne = bounds(known, loads)
        over = np.maximum(borne.plastic / plastic, borne.layers / layers)
        worst = int(over.argmax())
        if over[worst] <= OVER:
            break
        hard, torn = judge.both(loads[worst])[0]
        share = first.plastic_error / first.plastic, first.layers_error / first.layers
        more = replace(
            first, load=loads[worst], plastic=hard, plastic_error=share[0] * hard,
            layers=torn, layers_error=share[1] * torn,
        )  # fmt: skip
        known = replace(known, cases=(*known.cases, more))
        plastic, layers = max(plastic, hard), max(layers, torn)
    return known


def _loads(study: Study, result: CaseResult) -> Floats:
    return arm_loads(study.assessment.structure, result)


def _case(study: Study, load: Floats) -> SolidCase:
    frame = study.frame
    tip = np.array([frame.arm.axis, 0.0, 0.0])
    body = np.array([-frame.clamp.root_radius, 0.0, 0.0])
    pull = FaceLoad(SEAT, load[:3], tip, load[3:6])
    return SolidCase("load", (pull,), load[6:9], load[9:], body, riders_feel=False)


def _against(stress: Stress) -> Stress:
    return replace(stress, nodes=-stress.nodes, corners=-stress.corners)
