"""Ways to hit the ground: an arm's tip is met first, however tall the legs."""

from dataclasses import replace

import numpy as np
import pytest

from refledge.airframe.blows.cases import BESIDE, CrashCase, crash_cases
from refledge.airframe.blows.places import Contact
from refledge.airframe.blows.struck import make_struck
from refledge.airframe.sizing import Sized
from refledge.airframe.task import Task
from refledge.errors import AnalysisError


def with_foot(points: tuple[Contact, ...], sized: Sized, out: float) -> list[Contact]:
    """A foot more, ``out`` (1) times as far out as the motor furthest to the right, 0.3 m below."""
    nodes = sized.assessment.structure.frame.nodes
    tip = min((nodes[each] for each in sized.assessment.structure.tips), key=lambda at: at[1])
    place = out * tip + np.array([0.0, 0.0, -0.3])
    return [*points, Contact(points[0].node, place, "leg 9", 0.01)]


def lowest(points: list[Contact], case: CrashCase) -> str:
    return min(points, key=lambda each: float(each.place @ case.up)).owner


@pytest.mark.parametrize(("out", "rolled"), [(0.4, False), (1.4, True)])
def test_an_arm_s_tip_meets_the_ground_first(
    task: Task, sized: Sized, out: float, rolled: bool
) -> None:
    """Legs that reach beyond the motors are lowest up to a right angle: it is rolled beyond."""
    structure = sized.assessment.structure
    points = with_foot(make_struck(task, sized.frame, sized.assessment).points, sized, out)
    cases = {case.key: case for case in crash_cases(structure, points)}
    tip, edge = cases["arm-tip"], cases["cartwheel"]
    assert all(lowest(points, case).split()[0] in ("arm", "mount") for case in (tip, edge))
    tilt = np.arccos(tip.up[2])
    assert (tilt > np.pi / 2 + BESIDE) == rolled
    assert edge.up[2] == pytest.approx(tip.up[2] if rolled else 0.0, abs=1e-12)


def test_an_arm_that_nothing_lets_touch_is_said(task: Task, sized: Sized) -> None:
    points = list(make_struck(task, sized.frame, sized.assessment).points)
    ball = [replace(points[0], place=2.0 * np.array([np.cos(a), s * np.sin(a), h]), owner="")
            for a in np.linspace(0, np.pi, 19) for s in (1, -1)
            for h in (-1.0, 0.0, 1.0)]  # fmt: skip
    with pytest.raises(AnalysisError, match="meet the ground first; next: shorter legs"):
        crash_cases(sized.assessment.structure, points + ball)
