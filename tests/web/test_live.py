"""The frame held under other numbers: the same as the design where nothing changed, and physics."""

from dataclasses import replace

import numpy as np
import pytest

from refledge.airframe.assessment import all_stresses
from refledge.airframe.stressing import part_stresses
from refledge.errors import GeometryError, InputError
from refledge.live.dimensions import RULES, dimensions, value_at
from refledge.live.drawn import Drawn, drawn_of, made_for, ratios_of
from refledge.live.evaluate import BY_HAND, evaluate, renoted, study_of
from refledge.live.follow import follow, mesh_names
from refledge.live.portable import study_bytes, unpacked
from refledge.live.refit import refit
from refledge.model.brief import Brief
from refledge.study import Study


@pytest.fixture(scope="module")
def drawn(small: Study) -> Drawn:
    return drawn_of(small)


def with_motor(study: Study, **changes: float) -> Brief:
    return replace(study.brief, motor=replace(study.brief.motor, **changes))


def test_an_unchanged_brief_gives_the_very_same_frame(small: Study) -> None:
    fitted = refit(small.task, small.frame, {})
    assert fitted.frame == small.frame
    assert np.array_equal(fitted.layout.positions, small.layout.positions)


def test_an_unchanged_task_gives_the_very_same_results(small: Study, drawn: Drawn) -> None:
    """To the last digit: the same beams, masses and loads by another way in."""
    fitted = refit(small.task, small.frame, {})
    made = made_for(small.task, fitted.frame, fitted.layout, drawn)
    again = study_of(small.task, fitted, made, small, drawn)
    assert again.checks == small.checks
    assert again.masses == small.masses
    assert again.frame_mass == small.frame_mass
    assert np.array_equal(again.airframe_modes.frequencies, small.airframe_modes.frequencies)


def test_stresses_of_all_results_at_once_are_those_one_by_one(small: Study) -> None:
    found = small.assessment
    once = tuple(part_stresses(found.structure, result) for result in found.results)
    assert all_stresses(found.structure, found.results) == once


def test_an_edit_does_not_look_for_tools_on_the_solids(
    small: Study, drawn: Drawn, monkeypatch: pytest.MonkeyPatch
) -> None:
    """That takes longer than a whole edit may; the answer for the solids at hand is kept."""

    def refuse(*_asked: object) -> None:
        raise AssertionError("looked for tools during an edit")

    monkeypatch.setattr("refledge.airframe.access_checks.covered", refuse)
    heavier = evaluate(small, drawn, with_motor(small, mass=0.094), {})
    told = [each for each in heavier.study.checks if each.key == "tool-access"]
    assert told == [each for each in small.checks if each.key == "tool-access"]
    assert len(told) == 1


def test_followed_solids_answer_access_as_the_design_does(small: Study, drawn: Drawn) -> None:
    again = follow(small.task, small.frame, small.layout)
    assert again.access == drawn.access


def test_heavier_motors_add_their_mass_and_nothing_else(small: Study, drawn: Drawn) -> None:
    heavier = evaluate(small, drawn, with_motor(small, mass=0.094), {})
    assert not heavier.sized
    assert heavier.drawn, "a motor's mass moves no solid"
    added = heavier.study.all_up_mass - small.all_up_mass
    assert added == pytest.approx(6 * 0.010, rel=1e-9)
    assert heavier.study.hover.power > small.hover.power
    first = heavier.study.airframe_modes.frequencies[0]
    assert first < small.airframe_modes.frequencies[0]


def test_the_mass_closure_of_a_held_frame_is_exact(small: Study, drawn: Drawn) -> None:
    held = evaluate(small, drawn, with_motor(small, mass=0.1), {}).study
    assert abs(held.closure[-1].change) < 1e-12
    assert held.task.all_up_mass == pytest.approx(held.all_up_mass, rel=1e-12)


def test_the_design_itself_comes_back_for_its_own_brief(small: Study, drawn: Drawn) -> None:
    held = evaluate(small, drawn, small.brief, {})
    assert held.sized
    assert held.study is small


def test_larger_propellers_make_longer_arms(small: Study, drawn: Drawn) -> None:
    longer = replace(small.brief, propeller=replace(small.brief.propeller, diameter=0.3048))
    held = evaluate(small, drawn, longer, {})
    assert held.study.frame.arm.length > small.frame.arm.length
    assert held.study.frame.arm.depth_root == small.frame.arm.depth_root
    assert not held.drawn, "these solids have still to be made"


def test_another_material_changes_the_same_frame(small: Study, drawn: Drawn) -> None:
    wish = replace(small.brief.frame, material="PETG")
    held = evaluate(small, drawn, replace(small.brief, frame=wish), {}).study
    assert held.frame.arm.material == held.frame.leg.material == "PETG"
    ratio = small.task.materials["PETG"].rho / small.task.materials["ASA"].rho
    arms = {line.name: line.each for line in held.masses}["arm"]
    assert arms == pytest.approx(
        ratio * {line.name: line.each for line in small.masses}["arm"], rel=1e-9
    )


def test_another_family_cannot_be_held(small: Study, drawn: Drawn) -> None:
    wish = replace(small.brief.frame, arm_family="truss")
    with pytest.raises(GeometryError, match="size the frame again"):
        evaluate(small, drawn, replace(small.brief, frame=wish), {})


def test_deeper_arms_tilt_less_and_weigh_more(small: Study, drawn: Drawn) -> None:
    deeper = {"arm.depth_root": small.frame.arm.depth_root + 4e-3}
    held = evaluate(small, drawn, small.brief, deeper).study
    assert tilt(held) < tilt(small)
    assert held.frame_mass > small.frame_mass
    assert held.notes[0].startswith(BY_HAND)


def tilt(study: Study) -> float:
    return next(check.demand for check in study.checks if check.key == "motor-tilt")


def test_skids_are_as_stout_as_the_edited_brief_asks(small: Study, drawn: Drawn) -> None:
    """A bar for a gentle landing, a stouter one for a hard one, and the lighter one again."""

    def landing(speed: float, last: Study) -> Study:
        wish = replace(small.brief.frame, gear="skids")
        mission = replace(small.brief.mission, landing_speed=speed)
        return evaluate(last, drawn, replace(small.brief, frame=wish, mission=mission), {}).study

    gentle = landing(0.3, small)
    hard = landing(2.5, gentle)
    again = landing(0.3, hard)
    assert gentle.frame.skid is not None
    assert hard.frame.skid is not None
    bars = [each.width * each.height for each in (gentle.frame.skid, hard.frame.skid)]
    assert bars[1] > bars[0]
    assert again.frame.skid == gentle.frame.skid
    own = [each for each in gentle.checks if each.key in ("skid-middle", "skid-tip", "skid-sleeve")]
    assert len(own) == 3
    assert all(each.margin > 0.0 for each in own)
    assert hard.all_up_mass == pytest.approx(hard.task.all_up_mass, rel=1e-9)


def test_every_dimension_can_be_moved_a_step_both_ways(small: Study, drawn: Drawn) -> None:
    for each in dimensions(small.task, small.frame):
        for value in (each.value - each.step, each.value + each.step):
            if each.low <= value <= each.high:
                held = evaluate(small, drawn, small.brief, {each.path: value}).study
                assert value_at(held.frame, each.path) == pytest.approx(value, abs=1e-12)


def test_dimensions_lie_within_their_own_bounds(small: Study) -> None:
    found = list(dimensions(small.task, small.frame))
    assert {each.path for each in found} == set(RULES) - {"arm.web"}  # box arms have no ribs
    assert all(each.low - 1e-9 <= each.value <= each.high + 1e-9 for each in found)


def test_a_dimension_out_of_bounds_is_refused_by_name(small: Study, drawn: Drawn) -> None:
    with pytest.raises(InputError) as caught:
        evaluate(small, drawn, small.brief, {"arm.depth_root": 5e-3, "plate.thickness": 0.1})
    assert [p.field for p in caught.value.problems] == ["arm.depth_root", "plate.thickness"]


def test_solids_that_follow_weigh_what_a_design_says(full: Study) -> None:
    """Same frame, same solids: masses and meshes equal those of the design."""
    again = follow(full.task, full.frame, full.layout)
    assert again.made.masses == pytest.approx({p.key: p.mass for p in full.parts}, rel=1e-12)
    assert mesh_names(again.assembly) == mesh_names(full.assembly)
    assert again.shows(full.frame, full.brief)


def test_only_the_plates_change_with_their_thickness(small: Study, drawn: Drawn) -> None:
    thicker = {"plate.thickness": small.frame.plate.thickness + 1e-3}
    held = evaluate(small, drawn, small.brief, thicker).study
    after = mesh_names(follow(held.task, held.frame, held.layout).assembly)
    before = mesh_names(drawn.assembly)
    assert {key for key in after if after[key] != before[key]} == {"upper_plate", "lower_plate"}


def test_ratios_reproduce_the_masses_of_the_solids(small: Study, drawn: Drawn) -> None:
    assert all(0.5 < ratio < 2.0 for ratio in ratios_of(drawn).values())
    assert set(ratios_of(drawn)) == {spec.key for spec in small.parts}


def test_a_study_comes_through_bytes_unchanged(full: Study) -> None:
    again = unpacked(study_bytes(full))
    assert again.checks == full.checks
    assert again.brief == full.brief
    assert again.solids == {}
    assert dict(again.cards) == dict(full.cards)


def test_notes_written_anew_are_those_of_the_design(small: Study) -> None:
    assert renoted(replace(small, notes=())).notes == small.notes
