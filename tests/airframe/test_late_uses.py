"""What only checks used to see counts in the search as they count it: washers, creep, heat."""

from dataclasses import replace

import pytest

from refledge.airframe.heat_checks import heat_checks
from refledge.airframe.joint_checks import joint_checks
from refledge.airframe.late_uses import LEAST, late_uses
from refledge.airframe.payload_line_checks import payload_line_checks
from refledge.airframe.sizing import Sized, rank, screen
from refledge.airframe.strength_checks import creep_strength
from refledge.airframe.task import Task
from refledge.airframe.use_titles import title_of, titles_of
from refledge.model.checks import Check, Verdict


def asked(task: Task, sized: Sized) -> dict[str, Check]:
    mount = {"motor mount": task.materials[sized.frame.mount.material]}
    checks = (
        *joint_checks(task, sized.frame, sized.assessment),
        creep_strength(task, sized.frame, sized.assessment),
        *payload_line_checks(task, sized.frame, sized.assessment),
        *heat_checks(task.brief, mount),
    )
    return {check.key: check for check in checks}


def with_limits(task: Task, **changes: float) -> Task:
    brief = replace(task.brief, limits=replace(task.brief.limits, **changes))
    return replace(task, brief=brief)


def test_uses_are_those_of_the_checks(task: Task, sized: Sized) -> None:
    checks, uses = asked(task, sized), late_uses(task, sized.frame, sized.assessment)
    line = {"payload-line", "payload-line-bosses"}
    assert set(uses) == {"clamp-washer", "clamp-preload", "creep-hover", "heat-ASA-mount"} | line
    for key, use in uses.items():
        assert use == pytest.approx(1.0 / (1.0 + checks[key].margin))
        assert sized.uses[key] == use
        assert title_of(key) == checks[key].title
        assert titles_of(checks[key], ()) == {checks[key].title}


@pytest.mark.parametrize(
    ("changes", "key"),
    [({"joint_factor": 4.5}, "clamp-washer"), ({"heat_reserve": 60.0}, "heat-ASA-mount")],
)
def test_what_a_check_fails_is_over_for_the_search(
    task: Task, sized: Sized, changes: dict[str, float], key: str
) -> None:
    strict = with_limits(task, **changes)
    assert asked(strict, sized)[key].verdict is Verdict.FAILS
    use = late_uses(strict, sized.frame, sized.assessment)[key]
    assert 1.0 < use <= 1.0 / LEAST
    worse = replace(sized, uses=sized.uses | {key: use})
    assert rank(worse) > rank(sized)


def test_the_search_itself_counts_them(task: Task, sized: Sized) -> None:
    """The same in all but the factor on joints, which no part of a clamped frame is sized by."""
    strict = screen(with_limits(task, joint_factor=4.5), "box", "ASA")
    assert strict.uses["clamp-washer"] > 1.0 > sized.uses["clamp-washer"]
    assert rank(strict) > rank(sized)
