"""What a grown arm that is kept bears: unit loads alone, and the loads of every arm.

Both uses are sublinear in the stress: twice the stress uses twice as much, and two stresses
together use no more than each for itself (the quadratic and linear parts of Tsai and Wu's surface
bound a convex body round zero; so do tension and shear of the layer boundary). So a load's use is
at most the sum of its parts' uses, which ``airframe.grown_strength`` bounds any later load by. So
is the load over that which buckles the arm (``solids.buckling``), where forces act as far above the
seat as what rode there when it was grown.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

import numpy as np

from refledge.airframe.grown_strength import arm_loads, bounds
from refledge.airframe.statics import CaseResult
from refledge.errors import AnalysisError
from refledge.model.grown import LOADS, GrownCase
from refledge.solids.cases import FaceLoad, SolidCase
from refledge.solids.figures import MeshRun, SolidResults
from refledge.solids.part import PrintedBody, judge_stresses
from refledge.solids.static import static
from refledge.solids.stress import Stress, recover
from refledge.study import Study
from refledge.typed import Bools, Floats
from refledge.verify.beam_forces import worst_arm
from refledge.verify.results import PartVerified
from refledge.verify.setup import Setup
from refledge.verify.stability import Solver, Stability

HELD, SEAT = "clamp", "seat"
OVER = 1.03
"""Bound of an arm's use over the greatest that was solved in the same load case, from which that
arm's own load is solved too: our choice, less than mesh errors."""
LOOSE = 1e-2
"""Residual at which the search for a load's buckling ends where bounds are made of it, which take
the residual on top: our choice, half the time of a tenth of a thousandth."""
NEAR = 0.1
"""Share of the buckling load below which a bound that is far over does no harm: our choice."""


@dataclass(frozen=True, eq=False)
class Bears:
    """All that bounds of strength and buckling need."""

    cases: tuple[GrownCase, ...]
    unit_plastic: Floats
    """(12, 2): use of strength by each of LOADS, along its axis and against it (1)."""
    unit_layers: Floats
    unit_buckling: Floats
    """(12, 2): load over the least that buckles the arm (1)."""
    unit_by_hand: Floats
    """(12, 2): the same with the tip held by hand and the airframe on the clamp."""


@dataclass(frozen=True, eq=False)
class Solved:
    """An arm as a solid, with what was found of it before."""

    study: Study
    setup: Setup
    body: PrintedBody
    found: SolidResults
    verified: PartVerified
    stable: Stability


def bears(arm: Solved) -> Bears:
    """Unit loads on meshes solved before, and loads of arms other than the worst that bounds from
    there would judge too hardly. Raises AnalysisError where its buckling was not found."""
    if arm.stable.why:
        raise AnalysisError(f"whether the arm buckles was not found: {arm.stable.why}")
    judge = _Judge(arm.study, arm.body, arm.found.finest)
    sway, most = _Sway(arm), float(arm.stable.finer.max())
    plastic, layers = np.empty((len(LOADS), 2)), np.empty((len(LOADS), 2))
    buckling, by_hand = np.empty((len(LOADS), 2)), np.empty((len(LOADS), 2))
    for row, load in enumerate(np.eye(len(LOADS))):
        for column, (hard, torn) in enumerate(judge.both(load)):
            plastic[row, column], layers[row, column] = hard, torn
        buckling[row] = sway.both(load, most)
        by_hand[row] = sway.both(load, most, by_hand=True)
    results = arm.study.assessment.results
    cases = [
        GrownCase(
            title=spot.case, kind=spot.kind, load=_loads(arm, each)[worst_arm(arm.study, each)],
            plastic=spot.plastic, plastic_error=spot.plastic_error,
            layers=spot.layers, layers_error=spot.layers_error,
            buckling=float(use), buckling_error=float(error),
            by_hand=spot.case in arm.setup.by_hand,
        )
        for each, spot, use, error in zip(
            results, arm.verified.spots, arm.stable.uses, arm.stable.errors, strict=True
        )
    ]  # fmt: skip
    made = Bears(tuple(cases), plastic, layers, buckling, by_hand)
    for first, result, finer in zip(cases, results, arm.stable.finer, strict=True):
        loads = _loads(arm, result)
        held = np.arange(len(loads)) == result.case.held_arm
        made = _others(made, first, loads, held, judge, partial(sway.both, finer=float(finer)))
    return made


class _Judge:
    """Solves one load after another on one factored mesh."""

    def __init__(self, study: Study, body: PrintedBody, run: MeshRun) -> None:
        self._study, self._body, self._run = study, body, run

    def both(self, load: Floats) -> list[tuple[float, float]]:
        """Uses of plastic and layers by a load (12,), and by its opposite."""
        run = self._run
        moved = static(run.judged, [_case(self._study, load)]).displacements[0]
        stress = recover(run.mesh, run.judged.material, moved)
        pair = (stress, _against(stress))
        found = judge_stresses(run.judged, {"arm": self._body}, pair, (HELD,))
        return [(each.worst_plastic.use, each.worst_layers.use) for each in found]


class _Sway:
    """Finds how near one load after another is to buckling the arm, never too low: on the coarser
    mesh, times what a finer one found more."""

    def __init__(self, arm: Solved) -> None:
        self._arm, self._solver = arm, Solver(arm.setup, arm.found.coarse)
        self._hand = next(iter(arm.setup.by_hand.values()), None)
        self._at = arm.setup.masses[0].centre

    def both(self, load: Floats, finer: float, *, by_hand: bool = False) -> tuple[float, float]:
        """Uses of the buckling load by a load (12,), and by its opposite."""
        if by_hand and self._hand is None:
            raise AnalysisError("no load case has the airframe held by one arm")
        case = _case(self._arm.study, load, self._at)
        u = static(self._arm.found.coarse.system, [case]).displacements[0]
        hand = self._hand if by_hand else None
        found = self._solver.buckled(case, u, hand, both=True, converged=LOOSE)
        more = found.residual * max(found.use, found.against)
        return finer * (found.use + more), finer * (found.against + more)


def _others(
    known: Bears,
    first: GrownCase,
    loads: Floats,
    by_hand: Bools,
    judge: _Judge,
    sway: Callable[..., tuple[float, float]],
) -> Bears:
    """With the loads (n, 12) of one load case's arms, hardest first, that the bound is far over."""
    most = {"plastic": first.plastic, "layers": first.layers, "buckling": first.buckling}
    least = {"plastic": 0.0, "layers": 0.0, "buckling": NEAR}
    for _ in loads:
        borne = bounds(known, loads, by_hand)
        over = np.max([
            np.where(getattr(borne, use) > least[use], getattr(borne, use), 0.0) / max(was, 1e-30)
            for use, was in most.items()
        ], axis=0)  # fmt: skip
        worst = int(over.argmax())
        if over[worst] <= OVER:
            break
        held = bool(by_hand[worst])
        hard, torn = judge.both(loads[worst])[0]
        uses = (hard, torn, sway(loads[worst], by_hand=held)[0])
        found = dict(zip(most, uses, strict=True))
        known = replace(known, cases=(*known.cases, _like(first, loads[worst], found, held)))
        most = {use: max(was, found[use]) for use, was in most.items()}
    return known


def _like(first: GrownCase, load: Floats, found: dict[str, float], by_hand: bool) -> GrownCase:
    """Another arm's load in the same case, its mesh errors the same share."""
    shares = {
        use: getattr(first, f"{use}_error") / max(getattr(first, use), 1e-30) for use in found
    }
    errors = {f"{use}_error": shares[use] * found[use] for use in found}
    uses: dict[str, Any] = found | errors
    return replace(first, load=load, by_hand=by_hand, **uses)


def _loads(arm: Solved, result: CaseResult) -> Floats:
    return arm_loads(arm.study.assessment.structure, result)


def _case(study: Study, load: Floats, at: Floats | None = None) -> SolidCase:
    """at: (3,), m, where the force acts beside the seat, with the same moment about the tip."""
    frame = study.frame
    tip = np.array([frame.arm.axis, 0.0, 0.0])
    body = np.array([-frame.clamp.root_radius, 0.0, 0.0])
    point = tip if at is None else at
    pull = FaceLoad(SEAT, load[:3], point, load[3:6] + np.cross(tip - point, load[:3]))
    return SolidCase("load", (pull,), load[6:9], load[9:], body, riders_feel=False)


def _against(stress: Stress) -> Stress:
    return replace(stress, nodes=-stress.nodes, corners=-stress.corners)
