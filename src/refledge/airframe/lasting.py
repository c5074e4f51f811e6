"""How many flights arms and plates last: cycles of full thrust, and the shaking of every turn."""

from dataclasses import dataclass
from functools import cache
from math import pi

import numpy as np

from refledge.airframe.assessment import Assessment
from refledge.airframe.stressing import material_of_bars
from refledge.airframe.task import Task
from refledge.analysis.fatigue import damage, life_line, same_damage
from refledge.inputs.fatigue import fatigue_laws, fatigue_tests
from refledge.model.fatigue import Endurance
from refledge.model.parts import FrameDesign

SAFE = 2.0
"""Standard deviations of log10 of life below the mean line: about 98 % survive."""
PARTS = ("arm", "plates")


@dataclass(frozen=True)
class Lasting:
    """One kind of part over all its flights."""

    part: str
    use: float
    """Of the stress that it could bear as often (1)."""
    flights: float
    """Until the damage is whole."""
    where: str
    """What gives way: plastic, or layer boundaries."""
    shaking: float
    """Share of the damage that shaking in hover does (1)."""
    line: Endurance
    own: bool
    """Whether the line is of this very plastic."""


@cache
def endurances() -> dict[str, Endurance]:
    """Line of life on the safe side, of every plastic in the tables."""
    tests = fatigue_tests()
    found = {each.material: each for each in fatigue_laws()}
    for name in dict.fromkeys(each.material for each in tests):
        broken = [each for each in tests if each.material == name and each.broke]
        line = life_line(
            np.array([each.share for each in broken]), np.array([each.cycles for each in broken])
        )
        life = 10.0 ** (line.log_life - SAFE * line.scatter)
        first = broken[0]
        found[name] = Endurance(
            name, life, line.slope, first.stress_ratio, first.source, given=False
        )
    return found


def lasting(task: Task, frame: FrameDesign, found: Assessment) -> tuple[Lasting, ...]:
    """Of printed arms and plates, each by the worse of plastic and layer boundaries."""
    made = []
    for part in PARTS:
        key = material_of_bars(frame, part)
        if any(each.part == part for each in found.swings) and part_is_printed(task, key):
            made.append(_worst(task, key, part, found))
    return tuple(made)


def part_is_printed(task: Task, material: str) -> bool:
    """Bought tube is not judged by lines of printed plastic."""
    return task.materials[material].kind == "printed"


def _worst(task: Task, key: str, part: str, found: Assessment) -> Lasting:
    lines, own = _lines(key)
    each = [
        _by_line(task, part, found, line, own, name)
        for line in lines
        for name in ("in_plane", "layers")
    ]
    return max(each, key=lambda lasts: lasts.use)


def _lines(key: str) -> tuple[tuple[Endurance, ...], bool]:
    """The plastic's own line; every line where nobody is known to have tested it."""
    known = endurances()
    return ((known[key],), True) if key in known else (tuple(known.values()), False)


def _by_line(
    task: Task, part: str, found: Assessment, line: Endurance, own: bool, name: str
) -> Lasting:
    limits, airborne = task.brief.limits, task.brief.mission.hover_time
    swing = next(getattr(each, name) for each in found.swings if each.part == part)
    uses = {
        result.case.key: next(getattr(each, name) for each in parts if each.part == part)
        for result, parts in zip(found.results, found.stresses, strict=True)
        if result.case.kind == "flight"
    }
    pull = max(uses.values())
    turns = max(task.speeds.hover_speeds) / (2 * pi) * airborne
    blocks = (
        (same_damage(pull, pull, line.stress_ratio), limits.pulls / 60.0 * airborne),
        (same_damage(uses["hover"] + swing, 2 * swing, line.stress_ratio), turns),
    )
    each = damage(blocks, line.life, line.slope)
    shaking = damage(blocks[1:], line.life, line.slope)
    return Lasting(
        part=part,
        use=(limits.flights * each) ** (1 / line.slope),
        flights=1.0 / each if each else float("inf"),
        where="plastic" if name == "in_plane" else "layer boundaries",
        shaking=shaking / each if each else 0.0,
        line=line,
        own=own,
    )
