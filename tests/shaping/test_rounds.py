"""Rounds of growing: under whose loads, to what use and mass, and when they end. Nothing is solved:
what growing, solving and sizing find is given."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from refledge.errors import AnalysisError
from refledge.model.checks import Verdict
from refledge.shaping import rounds
from refledge.shaping.ground import greatest_use, ground_of, lacking, load_growth
from refledge.shaping.limits import SWING, Bound, Bounds
from refledge.shaping.loads import tip_loads
from refledge.shaping.result import Result
from refledge.shaping.rounds import AIM, HEAVIER, SLACK, SOUNDER, grown_to_hold
from refledge.shaping.shape import Wish
from refledge.study import Study
from tests.shaping.scripted import Script, check, framed

WISH = Wish(voxel=3e-3, iterations=5, use=0.4)


@pytest.fixture
def script(study: Study, monkeypatch: pytest.MonkeyPatch) -> Callable[..., tuple[Script, Result]]:
    monkeypatch.setattr(rounds, "kept_arm", lambda found: found)

    def played(
        frames: list[Study], voxels: list[float], most: int = 6, wish: Wish = WISH, **more: Any
    ) -> tuple[Script, Result]:
        made = Script(study, frames, voxels, **more)
        before: Any = None
        return made, grown_to_hold(study, study, wish, before, made.hands(), most)

    return played


def test_a_frame_that_holds_ends_it(study: Study, script: Callable[..., Any]) -> None:
    holds = framed(study, check("strength-a", 0.2), check("unseen", float("nan")), loads=1.5)
    made, found = script([holds], [0.4])
    assert len(made.wishes) == len(found.rounds) == 1
    assert found.framed is holds
    (only,) = found.rounds
    assert (only.loads, only.framed.loads) == (pytest.approx(1.0), pytest.approx(1.5))
    assert only.framed.use == pytest.approx(1 / 1.2)
    assert only.framed.lacking == ()
    assert found.study is study


def test_the_next_grows_under_the_loads_of_that_frame_to_what_came_out_more(
    study: Study, script: Callable[..., Any]
) -> None:
    """As printed over what voxels used, the brief's factor in; of full thrust by hover."""
    fails = framed(study, check("strength-a", -0.2), loads=1.5)
    made, found = script([fails, framed(study, check("strength-a", 0.1))], [0.4, 0.9])
    assert len(found.rounds) == 2
    assert found.rounds[0].framed.lacking == ("strength-a",)
    assert found.rounds[1].loads == pytest.approx(1.5)
    again, limits = made.wishes[1], study.brief.limits
    assert again.use == AIM
    assert again.mass is None
    shares = dict(again.printed)
    for load in tip_loads(study):
        factor = limits.flight_factor if load.kind == "flight" else limits.landing_factor
        if load.kind != "shake":
            printed = 0.8 if load.kind == "flight" else 0.9 * 0.8
            assert shares[load.name] == pytest.approx(factor * printed / 0.4)
    assert "shaken sideways" not in shares
    ground = made.grounds[1]
    assert ground.frame.arm is study.frame.arm
    assert load_growth(study, ground) == pytest.approx(1.5)


def test_a_growth_that_missed_its_use_is_taken_to_miss_it_again(
    study: Study, script: Callable[..., Any]
) -> None:
    fails = framed(study, check("strength-a", -0.2))
    made, _ = script([fails, framed(study, check("strength-a", 0.1))], [0.5, 0.9])
    full = next(each for each in tip_loads(study) if each.kind == "flight")
    wanted = study.brief.limits.flight_factor * 0.8 / WISH.use  # of what was asked, not of 0.5
    assert dict(made.wishes[1].printed)[full.name] == pytest.approx(wanted)


def test_what_voxels_say_will_not_hold_may_weigh_more_and_is_not_solved(
    study: Study, script: Callable[..., Any]
) -> None:
    fails, holds = framed(study, check("strength-a", -0.2)), framed(study, check("strength-a", 0.1))
    made, found = script([fails, holds], [0.4, 1.05, 1.5, 0.9])
    assert made.solved == 2
    assert [each.use is None for each in found.rounds] == [False, True, True, False]
    assert [wish.mass for wish in made.wishes[1:]] == [
        None, pytest.approx(0.075 * 1.05 / AIM), pytest.approx(0.075 * 1.05 / AIM * HEAVIER),
    ]  # fmt: skip
    assert [each.allowed for each in found.rounds[2:]] == [w.mass for w in made.wishes[2:]]
    assert found.rounds[1].framed is None
    assert found.framed is holds


def test_one_still_weak_though_grown_by_what_came_out_as_printed_may_weigh_more(
    study: Study, script: Callable[..., Any]
) -> None:
    """As much more as its strength lacks in its frame, a fifth at most; the first may not yet."""
    weak, weaker = (framed(study, check("strength-a", 1 / use - 1)) for use in (1.02, 1.3))
    holds = framed(study, check("strength-a", 0.1))
    made, _ = script([weak, weak, weaker, holds], [0.4, 0.9, 0.9, 0.9])
    assert [wish.mass for wish in made.wishes] == [
        None, None, pytest.approx(0.075 * 1.02 / AIM), pytest.approx(0.075 * 1.02 / AIM * HEAVIER),
    ]  # fmt: skip
    both = framed(study, check("buckling-x", -0.1), check("strength-a", -0.01))
    made, _ = script([weak, both, holds], [0.4, 0.9, 0.9])
    assert made.wishes[2].mass == pytest.approx(0.075 * max(SOUNDER, 1 / 0.99 / AIM))


def test_least_mass_has_no_mass_to_add(study: Study, script: Callable[..., Any]) -> None:
    fails = framed(study, check("strength-a", -0.2))
    made, _ = script([fails, fails], [0.5, 1.5], 2, replace(WISH, goal="mass"))
    assert made.solved == 2


def test_other_than_strength_asks_for_mass(study: Study, script: Callable[..., Any]) -> None:
    for odd in (check("first-mode", -0.1, "shaking", "airframe"), check("buckling-x", -0.1)):
        low = framed(study, odd, check("strength-a", 0.3))
        made, _ = script([low, framed(study, check("strength-a", 0.1))], [0.4, 0.4])
        assert made.wishes[1] == replace(WISH, mass=pytest.approx(0.075 * SOUNDER))
    both = framed(study, check("buckling-x", -0.1), check("strength-a", -0.1))
    made, _ = script([both, framed(study, check("strength-a", 0.1))], [0.4, 0.4])
    again = made.wishes[1]
    assert (again.use, again.mass) == (AIM, pytest.approx(0.075 * SOUNDER))
    assert again.printed


def test_least_mass_asks_for_what_came_out_more_and_for_less_use_where_it_buckles(
    study: Study, script: Callable[..., Any]
) -> None:
    """The first asks by what came out as printed, the next for a lower use too, again and again."""
    weak = framed(study, check("strength-a", -0.2))
    thin = framed(study, check("buckling-x", -0.1), check("strength-a", 0.3))
    holds = framed(study, check("strength-a", 0.1))
    made, found = script([weak, thin, thin, holds], [0.4] * 4, 6, replace(WISH, goal="mass"))
    uses = [wish.use for wish in made.wishes]
    assert uses == [0.4, AIM, pytest.approx(AIM / SOUNDER), pytest.approx(AIM / SOUNDER**2)]
    assert all(wish.printed and wish.mass is None for wish in made.wishes[1:])
    softer = dict(made.wishes[1].softer)
    assert softer.pop(SWING) == pytest.approx(1.2**2)
    assert set(softer) == {each.name for each in tip_loads(study) if each.kind != "shake"}
    assert list(softer.values()) == pytest.approx([1.4] * len(softer))
    assert [each.allowed for each in found.rounds] == [None] * 4
    assert found.framed is holds


def test_the_lightest_that_holds_with_much_to_spare_is_grown_lighter(
    study: Study, script: Callable[..., Any]
) -> None:
    """Of those that hold the lightest is kept; one that had to use less is left as it is."""
    spare = framed(study, check("strength-a", 1 / (SLACK - 0.1) - 1))
    full, weak = framed(study, check("strength-a", 0.05)), framed(study, check("strength-a", -0.1))
    mass = replace(WISH, goal="mass")
    for then, kept in ((full, full), (weak, spare)):
        made, found = script([spare, then], [0.4, 0.8], 2, mass, volumes=(1e-4, 0.8e-4))
        assert len(made.wishes) == 2
        assert found.framed is kept
        assert made.wishes[1].use == AIM
    _, heavier = script([spare, full], [0.4, 0.8], 2, mass, volumes=(1e-4, 1.2e-4))
    assert heavier.framed is spare
    made, _ = script([spare], [0.4], 2)
    assert len(made.wishes) == 1
    thin = framed(study, check("buckling-x", -0.1), check("strength-a", 0.3))
    made, _ = script([thin, spare], [0.4, 0.4], 6, mass)
    assert len(made.wishes) == 2


def test_limits_of_least_mass_tighten_by_what_moved_more_as_printed() -> None:
    bounds = Bounds((Bound("a", "tilt", 4, 0.02), Bound("b", "tilt", 4, 0.02)), 20.0)
    found = bounds.tighter({"a": 1.25, SWING: 1.44})
    assert [each.most for each in found.motions] == pytest.approx([0.016, 0.016])
    assert found.frequency == pytest.approx(24.0)
    assert bounds.tighter({}) == bounds.tighter({"a": 0.9, "b": 0.8, SWING: 0.7}) == bounds


def test_what_another_arm_cannot_mend_ends_it(study: Study, script: Callable[..., Any]) -> None:
    plates = framed(study, check("plates", -0.1, part="centre plates"), check("strength-a", 0.3))
    made, found = script([plates], [0.4])
    assert len(made.wishes) == 1
    assert found.rounds[0].framed.lacking == ("plates",)


def test_the_one_that_lacks_least_is_kept_and_the_last_is_always_solved(
    study: Study, script: Callable[..., Any]
) -> None:
    worse = framed(study, check("strength-a", -0.3), check("b", -0.1))
    better, again = (
        framed(study, check("strength-a", -0.2)),
        framed(study, check("strength-a", -0.4)),
    )
    made, found = script([worse, better, again], [0.4, 0.9, 1.4], 3)
    assert made.solved == 3
    assert found.framed is better
    assert len(found.rounds) == 3


def test_a_stop_ends_the_rounds_with_what_there_is(
    study: Study, script: Callable[..., Any]
) -> None:
    fails = framed(study, check("strength-a", -0.2))
    made, found = script([fails, fails], [0.4, 1.4, 1.4], stop_after=2)
    assert made.solved == 2
    assert len(found.rounds) == 2
    made, found = script([fails], [0.4, 0.9], stop_at=1)  # while solving: none is begun
    assert len(made.wishes) == 1
    assert found.framed is fails


def test_where_no_airframe_can_have_it_the_result_says_why(script: Callable[..., Any]) -> None:
    _, found = script([], [0.4], error=AnalysisError("beams cannot give that way"))
    assert found.grounded == "beams cannot give that way"
    assert found.framed is None
    assert found.rounds[0].framed is None
    assert found.rounds[0].use == 0.8


def test_one_that_cannot_be_solved_leaves_the_one_before(
    study: Study, script: Callable[..., Any]
) -> None:
    fails = framed(study, check("strength-a", -0.2))
    _, found = script([fails], [0.4, 0.9], unsolvable=2)
    assert found.framed is fails
    assert [each.use for each in found.rounds] == [0.8, None]
    with pytest.raises(AnalysisError, match="no mesh"):
        script([fails], [0.4], unsolvable=1)


def test_one_that_falls_to_pieces_leaves_the_one_before(
    study: Study, script: Callable[..., Any]
) -> None:
    fails = framed(study, check("strength-a", -0.2))
    _, found = script([fails], [0.4, 0.9], pieces=2)
    assert found.framed is fails
    assert len(found.rounds) == 1
    with pytest.raises(AnalysisError, match="in pieces"):
        script([fails], [0.4], pieces=1)


def test_what_fails_with_drawn_arms_too_is_not_the_grown_arms_doing(study: Study) -> None:
    before = framed(study, check("strength-a", -0.1), check("b", 0.1))
    now = framed(
        study, check("strength-a", -0.2), check("b", -0.1), check("c", float("nan")),
        check("buckling-x", -0.5),
    )  # fmt: skip
    assert [each.key for each in lacking(before, now)] == ["b", "buckling-x"]
    open_still = replace(check("d", 0.02), verdict=Verdict.UNKNOWN)
    assert lacking(before, framed(study, open_still)) == (open_still,)
    assert greatest_use(now) == pytest.approx(1 / 0.8)


def test_the_ground_is_the_new_frame_with_the_drawn_arm(study: Study) -> None:
    arm = replace(study.frame.arm, family="grown")
    plate = replace(study.frame.plate, thickness=2 * study.frame.plate.thickness)
    thick = replace(study.frame, arm=arm, plate=plate)
    parts = tuple(replace(spec, mass=9.0) for spec in study.parts)
    now = replace(study, frame=thick, parts=parts, solids={**study.solids, "arm": "mesh"})
    found = ground_of(study, now)
    assert found.frame == replace(study.frame, plate=plate)
    masses = {spec.key: spec.mass for spec in found.parts}
    assert masses["leg"] == 9.0
    assert masses["arm"] == next(spec.mass for spec in study.parts if spec.key == "arm")
    assert found.solids["arm"] is study.solids["arm"]
