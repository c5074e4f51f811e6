"""Where a grown arm may not be used: one message that says what, and what to do."""

import re
from dataclasses import replace

import pytest

from refledge.airframe.grown_interface import softened
from refledge.airframe.working import working
from refledge.errors import BriefError, GeometryError, InputError, Problem
from refledge.inputs.brief import parse_brief
from refledge.live.dimensions import dimensions
from refledge.live.drawn import drawn_of
from refledge.live.evaluate import evaluate
from refledge.model.brief import Brief
from refledge.model.grown import GrownArm
from refledge.shaping.space import space_of
from refledge.study import Study, design
from tests.grown.stored import EXAMPLE


def refused(brief: Brief) -> Problem:
    with pytest.raises(InputError) as said:
        design(brief)
    (problem,) = said.value.problems
    assert problem.field == "frame.grown_arm"
    return problem


def test_a_longer_arm_is_asked_for(brief: Brief) -> None:
    wider = replace(brief, layout=replace(brief.layout, motor_radius=0.320))
    problem = refused(wider)
    assert re.search(r"length \d+\.\d\d mm then, \d+\.\d\d mm now", problem.given)
    assert "grow it anew" in problem.next_step


def test_other_bolts_are_asked_for(brief: Brief) -> None:
    problem = refused(replace(brief, frame=replace(brief.frame, rod_screw="M4")))
    assert "clamp screw M3 then, M4 now" in problem.given


def test_it_would_be_printed_otherwise(brief: Brief) -> None:
    problem = refused(replace(brief, frame=replace(brief.frame, infill=0.2, walls=3)))
    assert "infill 40 % then, 20 % now" in problem.given
    assert "walls 4 then, 3 now" in problem.given


def test_another_plastic_is_asked_for_or_on_the_shelf(brief: Brief) -> None:
    other = replace(brief, frame=replace(brief.frame, material="PETG"))
    assert "frame.material is PETG" in refused(other).given
    shelf = replace(brief, printer=replace(brief.printer, filaments=("PETG",)))
    assert "not on the shelf" in refused(shelf).given


def test_its_moduli_changed_one_by_one(brief: Brief, study: Study, arm: GrownArm) -> None:
    card = study.cards["ASA"]
    stiffer = replace(card, E_z=replace(card.E_z, value=0.8 * card.E_z.value))
    with pytest.raises(InputError, match="ratios of moduli"):
        softened(brief, arm, working(stiffer, brief))


def test_clips_cannot_be_tied_to_it(brief: Brief) -> None:
    with pytest.raises(GeometryError, match="no level top"):
        design(replace(brief, frame=replace(brief.frame, wires="clips")))


def test_it_is_not_grown_again(study: Study) -> None:
    with pytest.raises(InputError, match="grown already"):
        space_of(study, 3e-3)


def brief_with(lines: str) -> BriefError:
    text = (EXAMPLE / "brief.toml").read_text()
    with pytest.raises(BriefError) as said:
        parse_brief(f"{text}\n[frame]\n{lines}\n", "brief.toml", str(EXAMPLE))
    return said.value


def test_a_family_and_a_grown_arm_contradict_each_other(brief: Brief) -> None:
    said = brief_with(f'grown_arm = "{brief.frame.grown_arm}"\narm_family = "box"')
    (problem,) = said.problems
    assert problem.field == "frame.arm_family"
    assert "one of the two" in problem.allowed


def test_arms_that_fold_are_not_the_ones_that_were_grown(brief: Brief) -> None:
    said = brief_with(f'grown_arm = "{brief.frame.grown_arm}"\narm_root = "folding"')
    (problem,) = said.problems
    assert problem.field == "frame.arm_root"
    assert "between clamps" in problem.allowed


def test_a_name_without_a_file_is_told_by_its_line() -> None:
    (problem,) = brief_with('grown_arm = "nowhere/arm.toml"').problems
    assert problem.field == "frame.grown_arm"
    assert problem.where.startswith("brief.toml:")
    assert "a file beside the brief" in problem.allowed


def test_a_file_that_is_no_arm_is_told_by_its_own_line() -> None:
    (problem,) = brief_with('grown_arm = "brief.toml"').problems
    assert (problem.where, problem.field) == ("brief.toml:1", "format")


def test_the_frame_at_hand_keeps_its_arms_or_is_sized_again(study: Study, brief: Brief) -> None:
    at_hand = drawn_of(study)
    drawn = replace(brief, frame=replace(brief.frame, grown_arm=""))
    with pytest.raises(GeometryError, match="size the frame again"):
        evaluate(study, at_hand, drawn, {})
    longer = replace(brief, layout=replace(brief.layout, motor_radius=0.320))
    with pytest.raises(InputError, match="no longer fits"):
        evaluate(study, at_hand, longer, {})


def test_other_numbers_move_the_airframe_and_leave_the_arm(study: Study, brief: Brief) -> None:
    heavy = replace(brief, battery=replace(brief.battery, mass=brief.battery.mass + 0.1))
    held = evaluate(study, drawn_of(study), heavy, {}).study
    assert held.frame.arm == study.frame.arm
    assert held.all_up_mass > study.all_up_mass + 0.09
    use = {each.key: each.demand for each in held.checks}["strength-hover-arm"]
    before = {each.key: each.demand for each in study.checks}["strength-hover-arm"]
    assert before < use < 1.1 * before
    assert not [each for each in dimensions(held.task, held.frame) if each.path == "arm.side"]
