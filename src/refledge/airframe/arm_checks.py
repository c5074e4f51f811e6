"""Walls and bars of an arm that buckle, each for itself."""

from collections.abc import Mapping
from dataclasses import dataclass

from refledge.airframe.arm_section import elastic, shape_of, stiff_walls
from refledge.airframe.assessment import Assessment
from refledge.airframe.fillness import fill_of
from refledge.airframe.judge import judge, reserve
from refledge.airframe.task import Task
from refledge.airframe.tip_push import tip_pushes
from refledge.airframe.working import Working
from refledge.analysis.arm_model import ArmClamp, ArmLoads
from refledge.analysis.arms import evaluate_arms
from refledge.model.checks import Check
from refledge.model.parts import FrameDesign

METHOD = (
    "arm as a cantilever, vectorised sections; walls by plate theory, bars of trusses by Euler, "
    "plate and chords between nodes by Newmark"
)
UP, DOWN = 1.0, -1.0
TITLES = {"flight": "full thrust", "rough": "landing or carrying"}
"""Load cases of tubes, which are looked at alone."""


@dataclass(frozen=True)
class Pressed:
    """The load case that presses a wall or a bar nearest to buckling."""

    use: float  # 1, load over the one that buckles
    case: str


def pressed(task: Task, frame: FrameDesign, found: Assessment, *, flight: bool) -> Pressed:
    """Of flight, or of landing and carrying: the arm pushed hardest, either way."""
    arm = frame.arm
    plastic = elastic(task.materials[arm.material])
    shape = stiff_walls(arm.family, shape_of(arm), fill_of(task.brief))
    reach = frame.clamp.first + frame.clamp.pitch_x
    one = {}
    for way in (UP, DOWN):
        each = evaluate_arms(arm.family, shape, plastic, ArmLoads(force_z=way), ArmClamp(x=reach))
        one[way] = float(max(each.wall_use[0], each.diagonal_use[0]))
    worst = Pressed(0.0, "")
    for result in found.results:
        if (result.case.kind == "flight") != flight:
            continue
        for push in tip_pushes(frame, found, result):
            force = push.at_tip(arm.axis - reach)
            use = abs(force) * one[UP if force > 0.0 else DOWN]
            worst = max(worst, Pressed(use, result.case.title), key=lambda each: each.use)
    return worst


def buckling_uses(task: Task, frame: FrameDesign, found: Assessment) -> dict[str, float]:
    """Demand over capacity, with the reserve aimed at, in the keys of the arm's search.

    Of printed arms; tubes keep what the search found of them.
    """
    if frame.arm.family == "tube":
        return {}
    aim = _aim(task.materials[frame.arm.material])
    return {
        f"buckling-{name}": aim * factor * pressed(task, frame, found, flight=name == "flight").use
        for name, factor in _factors(task).items()
    }


def arm_checks(
    task: Task, frame: FrameDesign, found: Assessment, uses: Mapping[str, float]
) -> tuple[Check, ...]:
    """Local buckling in flight and in landing or handling. uses: of the sized frame, by key."""
    material = task.materials[frame.arm.material]
    made = []
    for name, factor in _factors(task).items():
        key = f"buckling-{name}"
        if frame.arm.family == "tube":
            hardest = Pressed(uses[key] / _aim(material) / factor, TITLES[name])
        else:
            hardest = pressed(task, frame, found, flight=name == "flight")
        made.append(
            judge(
                key=key, title="local buckling of thin walls and diagonals",
                group="strength", part="arms", load_case=hardest.case, demand=hardest.use,
                capacity=1.0 / factor, unit="1", shown="%", method=METHOD,
                source="Timoshenko and Gere, Theory of Elastic Stability; Newmark, A Simple "
                "Approximate Formula for Effective End-Fixity of Columns; factor from the brief",
                spread=material.stiffness_spread,
            )
        )  # fmt: skip
    return tuple(made)


def _aim(material: Working) -> float:
    return 1.0 + reserve(material.stiffness_spread)


def _factors(task: Task) -> dict[str, float]:
    limits = task.brief.limits
    return {"flight": limits.flight_factor, "rough": limits.landing_factor}
