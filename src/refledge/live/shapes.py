"""How the assembly's bodies move with the beam frame, and what pulls at it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from refledge.airframe.grown_interface import softened
from refledge.airframe.grown_strength import arm_loads, bounds
from refledge.airframe.statics import CaseResult
from refledge.airframe.stressing import bar_stress
from refledge.airframe.structure import LOWER, NODES_PER_ARM, PLATE_NODES, UPPER, Structure
from refledge.analysis.strength import in_plane_use, interlayer_use
from refledge.flight.air import GRAVITY
from refledge.model.results import Placement
from refledge.study import Study
from refledge.typed import Floats

LEAST_FORCE = 1e-3
"""N; weaker forces are not drawn."""


@dataclass(frozen=True)
class Ride:
    """Which nodes carry a body. how: rigid, line or sheet (docs/workbench-api.md)."""

    how: str
    nodes: tuple[int, ...]


@dataclass(frozen=True, eq=False)
class Arrow:
    """One force on the frame."""

    at: Floats
    """(3,), m, body axes."""
    vector: Floats
    """(3,), N."""
    label: str


def rides(study: Study) -> dict[str, Ride]:
    """Name of each placed body to what carries it."""
    structure = study.assessment.structure
    return {each.name: _ride(each, study, structure) for each in study.assembly.placements}


def _ride(body: Placement, study: Study, structure: Structure) -> Ride:
    number = _number(body.name)
    if body.key in ("arm", "arm_inner", "arm_outer", "tube", "root_block"):
        return Ride("line", _arm_nodes(number))
    if body.key in ("mount", "cap"):
        return Ride("rigid", (structure.tips[number],))
    if body.key in ("motor", "disc"):
        return Ride("rigid", (structure.tips[study.layout.arm_of_rotor[number]],))
    if body.key in ("leg", "leg_upper", "leg_lower"):
        return Ride("line", _leg_nodes(structure, number))
    if body.key in ("upper_plate", "lower_plate"):
        return Ride("sheet", _plate_nodes(study, body.key == "upper_plate"))
    above = float(body.translation[2]) > 0.0
    return Ride("rigid", (UPPER if above else LOWER,))


def _number(name: str) -> int:
    """Number at the end of a body's name, from 0; 0 where there is none."""
    last = name.rsplit(" ", 1)[-1]
    return int(last) - 1 if last.isdigit() else 0


def _first(arm: int) -> int:
    return 2 + arm * NODES_PER_ARM


def _arm_nodes(arm: int) -> tuple[int, ...]:
    return tuple(range(_first(arm) + PLATE_NODES, _first(arm) + NODES_PER_ARM))


def _plate_nodes(study: Study, upper: bool) -> tuple[int, ...]:
    """Middle of the plate, and its clamp bolts at every arm."""
    own = (0, 1) if upper else (2, 3)
    rim = [_first(arm) + bolt for arm in range(study.layout.n_arms) for bolt in own]
    return (UPPER if upper else LOWER, *rim)


def _leg_nodes(structure: Structure, leg: int) -> tuple[int, ...]:
    """The leg's own beams from under its flange to the foot."""
    bars = [structure.bars[row] for row in structure.beams_of("leg", leg)]
    return (bars[0].a, *(bar.b for bar in bars))


def body_uses(study: Study, result: CaseResult) -> dict[str, float]:
    """Worst use of strength in one load case by body name (1: at the limit, factor included)."""
    structure, limits = study.assessment.structure, study.brief.limits
    factor = limits.flight_factor if result.case.kind == "flight" else limits.landing_factor
    worst: dict[tuple[str, int], float] = {}
    for row, bar in enumerate(structure.bars):
        sigma, tau = bar_stress(bar, result.forces[row])
        material = bar.material
        use = float(in_plane_use(sigma, tau, material.strength_xy).max())
        if material.kind != "tube":
            across = float(tau.max())
            strengths = material.strength_z, material.shear_z
            use = max(use, float(interlayer_use(0.0, across, *strengths)))
        place = (bar.part, bar.index)
        worst[place] = max(worst.get(place, 0.0), factor * use)
    worst |= {("arm", arm): factor * use for arm, use in enumerate(_grown_uses(study, result))}
    named = {each.name: _use_of(each, worst) for each in study.assembly.placements}
    return {name: use for name, use in named.items() if use is not None}


def _grown_uses(study: Study, result: CaseResult) -> list[float]:
    """Of each grown arm, without factor; none where arms are drawn."""
    grown = study.frame.arm.grown
    if grown is None:
        return []
    _, weaker = softened(study.brief, grown, study.task.materials[grown.plastic.key])
    borne = bounds(grown, arm_loads(study.assessment.structure, result))
    return [float(use) for use in weaker * np.maximum(borne.plastic, borne.layers)]


def _use_of(body: Placement, worst: Mapping[tuple[str, int], float]) -> float | None:
    number = _number(body.name)
    if body.key in ("arm", "arm_inner", "arm_outer"):
        return worst.get(("arm", number))
    if body.key in ("leg", "leg_upper", "leg_lower"):
        return worst.get(("leg", number))
    if body.key == "tube":
        return worst.get((body.key, number))
    if body.key in ("upper_plate", "lower_plate"):
        return max((use for (part, _), use in worst.items() if part == "plates"), default=None)
    return None


def arrows(study: Study, result: CaseResult) -> tuple[Arrow, ...]:
    """Forces of one load case: thrust of each rotor, each foot, a slung payload, the hand."""
    return (*_thrusts(study, result), *_grounds(study, result), *_pulls(study, result))


def _thrusts(study: Study, result: CaseResult) -> Iterator[Arrow]:
    for rotor, thrust in enumerate(result.case.rotor_thrust.tolist()):
        if abs(thrust) > LEAST_FORCE:
            at = np.asarray(study.layout.positions[rotor])
            yield Arrow(at, np.array([0.0, 0.0, thrust]), f"rotor {rotor + 1}, {thrust:.1f} N")


def _grounds(study: Study, result: CaseResult) -> Iterator[Arrow]:
    structure = study.assessment.structure
    feet = zip(structure.feet, result.case.foot_force, strict=True)
    for number, (node, force) in enumerate(feet, start=1):
        size = float(np.linalg.norm(force))
        if size > LEAST_FORCE:
            at = structure.frame.nodes[node]
            yield Arrow(at, np.asarray(force), f"leg {number}, {size:.0f} N")


def _pulls(study: Study, result: CaseResult) -> Iterator[Arrow]:
    structure, case = study.assessment.structure, result.case
    if case.slung_force > LEAST_FORCE:
        at = structure.frame.nodes[structure.belly]
        down = np.array([0.0, 0.0, -case.slung_force])
        yield Arrow(at, down, f"slung payload, {case.slung_force:.1f} N")
    if case.held_arm >= 0:
        weight = study.all_up_mass * GRAVITY
        at = structure.frame.nodes[structure.tips[case.held_arm]]
        yield Arrow(at, np.array([0.0, 0.0, weight]), f"held here, {weight:.1f} N")
