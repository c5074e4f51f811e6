"""Arms pressed at landing: their bars each for itself, and the whole tipping over sideways."""

from dataclasses import fields, replace

import numpy as np
import pytest

from refledge.airframe.arm_checks import arm_checks, buckling_uses, pressed
from refledge.airframe.arm_section import elastic, stiff_walls
from refledge.airframe.arm_uses import ArmDemand, arm_uses
from refledge.airframe.body import Body
from refledge.airframe.candidates import Candidates
from refledge.airframe.fillness import fill_of
from refledge.airframe.frame_uses import frame_uses
from refledge.airframe.pooling import build_pool, settings_of
from refledge.airframe.tip_push import tip_pushes
from refledge.airframe.tipping import (
    KEY,
    candidate_uses,
    looked_at,
    spread,
    tipping_checks,
    tipping_use,
    worst,
)
from refledge.analysis.arm_model import ArmClamp, ArmShape
from refledge.analysis.tipping import TippingLoad, tipping
from refledge.model.checks import Verdict

WALLS = {"side": 4.05e-3, "top": 2.4e-3, "bottom": 4.8e-3, "web": 2.7e-3}


@pytest.fixture(scope="module")
def truss(sized):
    """The box frame with trusses in place of its arms, so the loads are its."""
    arm = sized.frame.arm
    panels = np.ceil(arm.span / 0.04)
    other = replace(
        arm, family="truss", depth_root=0.03, depth_tip=0.0225, pitch=arm.span / panels, **WALLS
    )
    return replace(sized.frame, arm=other)


def other(frame, **changed):
    return replace(frame, arm=replace(frame.arm, **changed))


def test_a_tip_is_pushed_by_what_rides_on_it(sized):
    """Landing on all legs: motor, propeller and mount times what they feel; the plastic its own."""
    found = sized.assessment
    result = found.result("landing-all")
    pushes = tip_pushes(sized.frame, found, result)
    riders = sum(each.mass for each in found.lumps if each.arm == 0)
    felt = result.acceleration[2]
    assert felt > 30.0
    np.testing.assert_allclose(pushes[0].force, -riders * felt, rtol=0.02)
    line = sized.part_masses["arm"] / sized.frame.arm.length
    np.testing.assert_allclose(pushes[0].own, -line * felt, rtol=0.05)
    np.testing.assert_allclose(pushes[0].at_tip(0.2), pushes[0].force + 0.1 * pushes[0].own)


def test_slender_trusses_tip_and_boxes_do_not(task, sized, truss):
    found = sized.assessment
    (box,) = tipping_checks(task, sized.frame, found)
    assert box.verdict is Verdict.HOLDS
    assert box.demand < 0.25 * box.capacity
    (slender,) = tipping_checks(task, other(truss, side=1.8e-3), found)
    assert slender.verdict is Verdict.FAILS
    (stout,) = tipping_checks(task, other(truss, side=5.4e-3), found)
    assert stout.demand < 0.35 * slender.demand
    assert stout.load_case in {each.case.title for each in found.results}


def test_only_landings_tip(task, sized, truss):
    """None lifts the tips: the hardest is that whose tip goes down hardest."""
    found = sized.assessment
    flown = replace(found, results=tuple(r for r in found.results if r.case.kind != "landing"))
    hardest = worst(task, truss, found)
    soft = replace(flown, results=(*flown.results, found.result("landing-all")))
    assert worst(task, truss, soft).use < hardest.use
    with pytest.raises(ValueError, match="empty"):
        worst(task, truss, flown)


def test_sizing_and_the_check_see_one_figure(task, sized, truss):
    found = sized.assessment
    (check,) = tipping_checks(task, truss, found)
    use = tipping_use(task, truss, found)
    aim = 1.02 * max(0.1, check.spread)
    np.testing.assert_allclose(use, (1 + aim) * check.demand / check.capacity, rtol=1e-9)
    np.testing.assert_allclose(frame_uses(task, truss, sized.layout, found)[KEY], use, rtol=1e-9)


def test_tubes_and_grown_arms_are_not_looked_at(task, sized):
    tube = other(sized.frame, family="tube")
    assert not looked_at(tube)
    assert tipping_checks(task, tube, sized.assessment) == ()
    assert not looked_at(other(sized.frame, grown=object()))


def test_candidates_are_tried_as_their_like_tip(task, sized):
    """Of one width: near the arm's own figure, and slender sides turned down."""
    body: Body = sized.pool.locate(sized.choice.index)[0].candidates.body
    sides = np.array([1.8e-3, 2.7e-3, 4.05e-3, 5.4e-3])
    one = np.ones(len(sides))
    arms = Candidates(
        "truss", body, sized.frame.arm.length, 0.03 * one, 0.0225 * one, sides, 2.4e-3 * one,
        4.8e-3 * one, 0.038 * one, 2.7e-3 * one, 6e-3, sized.frame.arm.width,
    )  # fmt: skip
    material = task.materials["ASA"]
    clamp = ArmClamp(x=0.03, stiffness_x=400.0, stiffness_z=1000.0)
    load = TippingLoad(force=40.0, above=0.018)
    uses = candidate_uses(task.brief, arms, material, clamp, load)
    shape = stiff_walls("truss", arms.shape(), fill_of(task.brief))
    dimensions = {f.name: np.broadcast_to(getattr(shape, f.name), (4,)) for f in fields(shape)}
    exact = [
        tipping(
            "truss",
            ArmShape(**{name: float(each[row]) for name, each in dimensions.items()}),
            elastic(material), clamp, load,
        ).use
        for row in range(4)
    ]  # fmt: skip
    aimed = task.brief.limits.landing_factor * (1 + 1.02 * spread(material))
    np.testing.assert_allclose(uses, aimed * np.array(exact), rtol=0.01)
    assert (np.diff(uses) < 0.0).all()
    assert uses[0] > 3 * uses[2]


def test_the_search_presses_chords_in_landing_and_plates_when_carried(task, sized):
    """One chord, then one plate, half as thick: each tells in its own load alone."""
    body: Body = sized.pool.locate(sized.choice.index)[0].candidates.body
    one = np.ones(3)
    arms = Candidates(
        "truss", body, sized.frame.arm.length, 0.03 * one, 0.0225 * one, 4.05e-3 * one,
        np.array([2.4e-3, 2.4e-3, 1.2e-3]), np.array([3.2e-3, 1.6e-3, 3.2e-3]), 0.038 * one,
        2.7e-3 * one, 6e-3, sized.frame.arm.width,
    )  # fmt: skip
    asked = {
        "full_force": 1e-3, "full_torque": 0.0, "hover_force": 0.0, "tip_mass": 0.12,
        "tip_offset": 0.018, "tip_inertia": (1e-4, 1e-4, 1e-4), "excited": (), "clamp_y": 1e3,
        "clamp_z": 1e3, "clamp_x": 1e3,
    }  # fmt: skip
    landing, carried = (
        arm_uses(task.brief, arms, task.materials["ASA"], demand).uses["buckling-rough"]
        for demand in (
            ArmDemand(landing_force=40.0, carry_moment=0.0, **asked),
            ArmDemand(landing_force=0.0, carry_moment=10.0, **asked),
        )
    )
    assert landing[1] > 2 * landing[0]
    assert landing[2] < 1.5 * landing[0]
    assert carried[2] > 2 * carried[0]
    assert carried[1] < 1.5 * carried[0]


def test_landing_presses_the_chords_between_nodes(task, sized, truss):
    """Thin chords buckle up and down when the tip goes down; thin plates when it is carried."""
    found = sized.assessment
    base = pressed(task, truss, found, flight=False)
    chords = pressed(task, other(truss, bottom=0.8e-3), found, flight=False)
    assert chords.use > 2.0 * base.use
    assert "landing" in chords.case
    plate = pressed(task, other(truss, top=0.8e-3), found, flight=False)
    assert plate.use > 2.0 * base.use
    assert plate.case == found.result("carried").case.title


def test_flight_presses_the_plate_alone(task, sized, truss):
    found = sized.assessment
    base, chords, plate = (
        pressed(task, other(truss, **changed), found, flight=True).use
        for changed in ({}, {"bottom": 1.6e-3}, {"top": 0.8e-3})
    )
    assert plate > 3 * base
    assert chords < 1.5 * base


def test_the_checks_of_walls_show_the_hardest_case(task, sized, truss):
    found = sized.assessment
    checks = arm_checks(task, truss, found, {})
    uses = buckling_uses(task, truss, found)
    for check, factor in zip(
        checks, (task.brief.limits.flight_factor, task.brief.limits.landing_factor), strict=True
    ):
        np.testing.assert_allclose(check.capacity, 1 / factor)
        aim = 1 + 1.02 * max(0.1, check.spread)
        np.testing.assert_allclose(uses[check.key], aim * factor * check.demand, rtol=1e-9)
    tube = other(sized.frame, family="tube")
    assert buckling_uses(task, tube, found) == {}
    kept = arm_checks(task, tube, found, {"buckling-flight": 0.5, "buckling-rough": 0.7})
    assert [each.load_case for each in kept] == ["full thrust", "landing or carrying"]
    assert kept[1].demand > 0.0


def test_the_search_of_trusses_knows_both(task):
    """Of each width the slender ones are over a limit of these, the stout ones are not."""
    setting = settings_of(task, "truss")[:1]
    pool = build_pool(task, "truss", "ASA", setting, 5e-3)
    rows = {key: pool.uses[pool.keys.index(key)] for key in (KEY, "buckling-rough")}
    for row in rows.values():
        assert row.max() > 1.0 > row[row > 0.0].min()
