"""The weak link that the brief chooses goes first by the ratio wanted, or the check says not."""

from dataclasses import replace
from types import SimpleNamespace

import pytest

from refledge.airframe import findings, weak_links
from refledge.airframe.blows.cases import crash_cases
from refledge.airframe.blows.energy import blow
from refledge.airframe.blows.struck import make_struck
from refledge.airframe.pooling import settings_of
from refledge.airframe.sizing import Sized, finish, rank
from refledge.airframe.strength_checks import WORDS, strength_checks
from refledge.airframe.task import Task
from refledge.airframe.use_titles import title_of
from refledge.airframe.weak_links import link_checks, link_margins, link_order, link_use
from refledge.errors import BriefError
from refledge.inputs.brief import parse_brief
from refledge.model.checks import Check, Verdict
from tests.airframe.conftest import BRIEFS


def linked(task: Task, link: str, ratio: float = 1.25) -> Task:
    wish = replace(task.brief.frame, weak_link=link, weak_link_ratio=ratio)
    return replace(task, brief=replace(task.brief, frame=wish))


def checks_of(task: Task, sized: Sized, link: str, ratio: float = 1.25) -> dict[str, Check]:
    found = link_checks(linked(task, link, ratio), sized.frame, sized.assessment)
    return {check.key: check for check in found}


def test_without_a_link_nothing_is_asked(task: Task, sized: Sized) -> None:
    assert link_checks(task, sized.frame, sized.assessment) == ()
    assert link_use(task, sized.frame, sized.assessment) == {}
    assert "weak-link" not in sized.uses


def test_the_ratio_is_that_of_the_speeds_at_which_they_break(task: Task, sized: Sized) -> None:
    """Force goes with speed, nearly: the ratio of breaking speeds, found by trying, is the same."""
    order = link_order(linked(task, "arm"), sized.frame, sized.assessment)
    ready = make_struck(task, sized.frame, sized.assessment)
    cases = {c.title: c for c in crash_cases(sized.assessment.structure, ready.points)}

    def breaking(kind: str) -> float:
        low, high = 0.0, 40.0
        for _ in range(40):
            middle = (low + high) / 2
            uses = blow(ready, cases[order.case], middle).uses
            worst = max(use for part, use in uses.items() if part.startswith(kind))
            low, high = (low, middle) if worst > 1 else (middle, high)
        return low

    assert breaking(order.nearest) / breaking("arm") == pytest.approx(order.ratio, rel=0.02)


def test_the_ratio_does_not_know_the_speed(
    task: Task, sized: Sized, monkeypatch: pytest.MonkeyPatch
) -> None:
    wanted = linked(task, "arm")
    before = link_order(wanted, sized.frame, sized.assessment)
    monkeypatch.setattr(weak_links, "SPEED", 1.5)
    after = link_order(wanted, sized.frame, sized.assessment)
    assert after.ratio == pytest.approx(before.ratio, rel=1e-9)
    assert after.nearest == before.nearest == "plates"


def test_an_arm_goes_before_the_plates_or_the_check_fails(task: Task, sized: Sized) -> None:
    order = link_order(linked(task, "arm"), sized.frame, sized.assessment)
    within = checks_of(task, sized, "arm", 0.8 * order.ratio)["weak-link-first"]
    beyond = checks_of(task, sized, "arm", 1.01 * order.ratio)["weak-link-first"]
    assert (within.verdict, within.note) == (Verdict.HOLDS, "next to go: centre plates")
    assert within.margin == pytest.approx(0.25)
    assert beyond.verdict is Verdict.FAILS
    assert "choose another frame.weak_link" in beyond.note
    assert within.load_case == "onto one arm's tip"


def test_a_leg_cannot_go_before_these_plates_and_it_is_said(task: Task, sized: Sized) -> None:
    found = checks_of(task, sized, "leg")
    assert found["weak-link-first"].verdict is Verdict.FAILS
    assert "landing leg cannot be made to go 1.25 times before" in found["weak-link-first"].note


def test_its_margins_in_flight_and_landing_are_those_of_the_strength_checks(
    task: Task, sized: Sized
) -> None:
    """The checks of every load case give the same least reserves, by another way."""
    every = strength_checks(task, sized.frame, sized.assessment)
    kinds = {r.case.title: r.case.kind == "flight" for r in sized.assessment.results}
    least = {True: float("inf"), False: float("inf")}
    for check in every:
        if check.part == WORDS["arm"] and check.key.split("-")[0] in ("strength", "layers"):
            flying = kinds[check.load_case]
            least[flying] = min(least[flying], check.margin)
    margins = link_margins(task, sized.frame, sized.assessment, "arm")
    assert margins == pytest.approx((least[True], least[False]), rel=1e-6)
    found = checks_of(task, sized, "arm")
    assert found["weak-link-flight"].margin == pytest.approx(margins[0])
    assert found["weak-link-landing"].margin == pytest.approx(margins[1])


def test_sizing_takes_thicker_plates_so_that_the_arm_goes_first(task: Task, sized: Sized) -> None:
    """Of the thicknesses that sizing tries for one arm, by its own order of preference."""
    own = link_order(linked(task, "arm"), sized.frame, sized.assessment).ratio
    wanted = linked(task, "arm", 1.1 * own)

    def best(what: Task) -> Sized:
        settings = settings_of(what, "box")
        tried = [
            finish(what, sized.pool, settings, plate, sized.learnt, sized.choice)
            for plate in (sized.frame.plate.thickness, 6e-3)
        ]
        return min(tried, key=rank)

    found = best(wanted)
    assert found.frame.plate.thickness > best(task).frame.plate.thickness
    assert found.uses["weak-link"] <= 1.0
    assert link_order(wanted, found.frame, found.assessment).ratio >= 1.1 * own


def test_the_checks_are_among_all_checks(
    task: Task, sized: Sized, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Parts that need solids aside."""
    for name in ("fit_checks", "access_checks"):
        monkeypatch.setattr(findings, name, lambda *_: ())
    solids = SimpleNamespace(specs=(), assembly=None)
    wanted = linked(task, "arm")
    found = findings.all_checks(wanted, sized, solids)  # type: ignore[arg-type]
    keys = [check.key for check in found if check.key.startswith("weak-link")]
    assert keys == ["weak-link-first", "weak-link-flight", "weak-link-landing"]
    assert title_of("weak-link") == "the weak link breaks first"


def test_an_unknown_link_is_refused() -> None:
    text = (BRIEFS / "lake-sampler" / "brief.toml").read_text(encoding="utf-8")
    text += '\n[frame]\nweak_link = "battery"\n'
    with pytest.raises(BriefError, match=r"frame\.weak_link"):
        parse_brief(text, "brief.toml", str(BRIEFS / "lake-sampler"))
