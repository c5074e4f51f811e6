"""Whether arms and plates last: by the brief's wishes, the balance, and the plastic."""

from dataclasses import replace
from functools import partial
from math import pi

import numpy as np
import pytest

from refledge.airframe import hover_shake
from refledge.airframe.assessment import Assessment, all_stresses
from refledge.airframe.fatigue_checks import fatigue_checks
from refledge.airframe.felt import rotor_force
from refledge.airframe.hover_shake import Swing, hover_swings
from refledge.airframe.lasting import Lasting, endurances, lasting
from refledge.airframe.sizing import Sized, screen
from refledge.airframe.task import Task
from refledge.airframe.use_titles import title_of, titles_of
from refledge.analysis.beam import BeamFrame
from refledge.analysis.fatigue import life_line
from refledge.analysis.shaken import steady
from refledge.inputs.fatigue import fatigue_tests
from refledge.model.checks import Verdict
from refledge.typed import Complexes


def wanting(task: Task, **limits: float) -> Task:
    brief = task.brief
    return replace(task, brief=replace(brief, limits=replace(brief.limits, **limits)))


def of(task: Task, sized: Sized, found: Assessment | None = None) -> dict[str, Lasting]:
    made = lasting(task, sized.frame, found or sized.assessment)
    return {each.part: each for each in made}


def still(found: Assessment) -> Assessment:
    return replace(found, swings=tuple(replace(s, in_plane=0.0, layers=0.0) for s in found.swings))


def test_without_shaking_it_is_the_pulls_alone_by_hand(task: Task, sized: Sized) -> None:
    """n pulls of share s / sqrt(0.95) on the line of ASA, whose bars were pulled at R 0.05."""
    line, found = endurances()["ASA"], still(sized.assessment)
    worst = max(
        each.in_plane
        for result, parts in zip(found.results, found.stresses, strict=True)
        for each in parts
        if each.part == "arm" and result.case.kind == "flight"
    )
    pulls = 300 * 6 * task.brief.mission.hover_time / 60
    wanted = worst / 0.95**0.5 * (pulls / line.life) ** (1 / line.slope)
    arm = of(task, sized, found)["arm"]
    assert (arm.where, arm.own, arm.shaking) == ("plastic", True, 0.0)
    assert arm.use == pytest.approx(wanted)
    assert arm.flights == pytest.approx(300 * arm.use**-line.slope)


def test_shaking_counts_every_turn_of_the_rotors(task: Task, sized: Sized) -> None:
    """A swing so wide that it is all that counts, by hand."""
    line, found = endurances()["ASA"], sized.assessment
    wide = replace(found, swings=(Swing("arm", 0.5, 0.0), Swing("plates", 0.0, 0.0)))
    hover = next(
        each.in_plane
        for result, parts in zip(found.results, found.stresses, strict=True)
        for each in parts
        if each.part == "arm" and result.case.key == "hover"
    )
    turns = max(task.speeds.hover_speeds) / (2 * pi) * task.brief.mission.hover_time * 300
    equal = ((hover + 0.5) * 1.0 / 0.95) ** 0.5
    wanted = equal * (turns / line.life) ** (1 / line.slope)
    arm = of(task, sized, wide)["arm"]
    assert arm.use == pytest.approx(wanted, rel=1e-3)
    assert arm.shaking > 0.999


def test_swings_go_with_the_balance(task: Task, sized: Sized) -> None:
    found = sized.assessment
    wanted = wanting(task, balance_grade=2 * task.brief.limits.balance_grade)
    material = task.materials[sized.frame.arm.material]
    judge = partial(all_stresses, found.structure)
    hover = found.result("hover")
    rough = hover_swings(wanted, found.structure, hover, material.damping, judge)
    for one, other in zip(found.swings, rough, strict=True):
        assert one.part == other.part
        assert other.in_plane == pytest.approx(2 * one.in_plane, rel=1e-9)
    assert {each.part for each in sized.assessment.swings} == {"arm", "plates", "leg"}
    assert all(each.in_plane > 0 for each in sized.assessment.swings)


def test_each_rotor_pulls_round_and_round(
    task: Task, sized: Sized, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One motor at a time, by the force of its unbalance, a quarter turn between x and y."""
    found, seen = sized.assessment, []

    def spy(frame: BeamFrame, loads: Complexes, omega: float, loss: float) -> Complexes:
        seen.append(loads)
        return steady(frame, loads, omega, loss)

    monkeypatch.setattr(hover_shake, "steady", spy)
    judge = partial(all_stresses, found.structure)
    hover_swings(task, found.structure, found.result("hover"), 0.02, judge)
    force = rotor_force(task, max(task.speeds.hover_speeds))
    for row, tip in enumerate(found.structure.tips):
        assert seen[0][row, tip] == pytest.approx([force, -1j * force, 0, 0, 0, 0])
        assert np.count_nonzero(seen[0][row]) == 2


def test_lines_are_two_deviations_on_the_safe_side() -> None:
    broken = [each for each in fatigue_tests() if each.material == "ASA" and each.broke]
    line = life_line(
        np.array([each.share for each in broken]), np.array([each.cycles for each in broken])
    )
    assert endurances()["ASA"].life == pytest.approx(10 ** (line.log_life - 2 * line.scatter))
    assert endurances()["PLA"].life == pytest.approx(2e6 * 0.1**5.5)


def test_more_flights_and_pulls_ask_more(task: Task, sized: Sized) -> None:
    once = of(task, sized)
    more = of(wanting(task, flights=3000.0, pulls=60.0), sized)
    assert all(more[part].use > once[part].use for part in once)


def test_the_check_fails_where_it_asks_too_much(task: Task, sized: Sized) -> None:
    good = fatigue_checks(task, sized.frame, sized.assessment)
    assert [each.key for each in good] == ["fatigue-arm", "fatigue-plates"]
    assert {each.verdict for each in good} == {Verdict.HOLDS}
    assert "300 flights wanted" in good[0].note
    worn = wanting(task, flights=1e6, pulls=120.0)
    arm, _ = fatigue_checks(worn, sized.frame, sized.assessment)
    assert arm.verdict is Verdict.FAILS
    assert "1 000 000 flights wanted, about" in arm.note


def test_sizing_sees_it(task: Task) -> None:
    """Arms that must last a million flights come out stronger."""
    plain = screen(task, "box", "ASA")
    worn = screen(wanting(task, flights=1e6, pulls=120.0), "box", "ASA")
    assert worn.uses["strength-flight"] > plain.uses["strength-flight"]


def test_a_plastic_nobody_tested_is_judged_by_the_line_that_asks_most(task: Task) -> None:
    petg = screen(task, "box", "PETG")
    arm = {each.part: each for each in lasting(task, petg.frame, petg.assessment)}["arm"]
    assert not arm.own
    assert arm.line.material == "PC"
    check = fatigue_checks(task, petg.frame, petg.assessment)[0]
    assert "for PETG nothing was found: the line that asks most, of PC" in check.source


def test_bought_tube_is_not_judged_by_printed_plastic(task: Task) -> None:
    tube = screen(task, "tube", "ASA")
    assert [each.part for each in lasting(task, tube.frame, tube.assessment)] == ["plates"]


def test_what_holds_a_dimension_is_named_as_sizing_names_it(task: Task, sized: Sized) -> None:
    loads = tuple(each.case for each in sized.assessment.results)
    arm, plates = fatigue_checks(task, sized.frame, sized.assessment)
    assert title_of("strength-flight") in titles_of(arm, loads)
    assert title_of("strength-flight-plates") in titles_of(plates, loads)
