"""Flight, stiffness, strength, shaking, heat, fit, shopping: each check at and beyond its limit."""

import re
from dataclasses import replace
from math import inf, radians

import numpy as np
import pytest

from refledge.airframe.fit_checks import fit_checks
from refledge.airframe.flight_checks import flight_checks
from refledge.airframe.heat_checks import heat_checks
from refledge.airframe.shopping import shopping_list
from refledge.airframe.sizing import Sized
from refledge.airframe.stiffness_checks import stiffness_checks
from refledge.airframe.strength_checks import strength_checks
from refledge.airframe.task import Task
from refledge.airframe.working import MOTOR_RISE
from refledge.model.checks import Check, Verdict
from refledge.model.items import Condition
from refledge.model.results import Assembly, PartSpec, ShoppingLine


def keyed(checks: tuple[Check, ...]) -> dict[str, Check]:
    assert len({check.key for check in checks}) == len(checks)
    return {check.key: check for check in checks}


def test_heat_fails_where_the_reserve_is_eaten(task: Task) -> None:
    """In the sun at 28 degC parts reach 53 degC; 10 K of reserve; 15 K more at the motors."""
    material = task.materials["ASA"]
    edge = material.temperature + task.brief.limits.heat_reserve
    at, under, hot = (
        replace(material, softening=edge + extra) for extra in (0.001, -0.001, MOTOR_RISE - 0.001)
    )
    assert keyed(heat_checks(task.brief, {"arm": at}))["heat-ASA"].verdict is Verdict.NARROWLY
    assert keyed(heat_checks(task.brief, {"arm": under}))["heat-ASA"].verdict is Verdict.FAILS
    both = keyed(heat_checks(task.brief, {"arm": hot, "motor mount": hot}))
    assert both["heat-ASA"].verdict is not Verdict.FAILS
    assert both["heat-ASA-mount"].verdict is Verdict.FAILS
    assert both["heat-ASA"].demand == pytest.approx(301.15 + 25.0 + 10.0)


def test_every_printed_part_is_named_in_a_heat_check(task: Task) -> None:
    parts = {"arm": task.materials["ASA"], "landing leg": task.materials["PETG"],
             "battery tray": task.materials["ASA"]}  # fmt: skip
    said = " ".join(check.part for check in heat_checks(task.brief, parts))
    assert all(part in said for part in parts)


def spec(size: tuple[float, float, float], *, printed: bool = True) -> PartSpec:
    return PartSpec("arm", "arm", 6, "ASA", printed, 1e-5, 0.01, size, np.eye(3), "", True)


def fitted(task: Task, sized: Sized, part: PartSpec, gap: float = 0.02) -> dict[str, Check]:
    assembly = Assembly({}, (), (), gap)
    return keyed(fit_checks(task.brief, sized.layout, (part,), assembly))


@pytest.mark.parametrize(
    ("size", "holds"),
    [((0.25, 0.22, 0.25), True), ((0.22, 0.25, 0.25), True), ((0.251, 0.1, 0.1), False),
     ((0.1, 0.1, 0.251), False), ((0.24, 0.23, 0.1), False)],
)  # fmt: skip
def test_bed_of_250_by_220(
    task: Task, sized: Sized, size: tuple[float, float, float], holds: bool
) -> None:
    check = fitted(task, sized, spec(size))["bed-arm"]
    assert (check.verdict is Verdict.HOLDS) is holds
    assert (check.verdict is Verdict.FAILS) is not holds


def test_bought_tubes_need_no_bed(task: Task, sized: Sized) -> None:
    assert "bed-arm" not in fitted(task, sized, spec((1.0, 0.02, 0.02), printed=False))


def test_gaps_and_overlaps(task: Task, sized: Sized) -> None:
    good = fitted(task, sized, spec((0.1, 0.1, 0.1)))
    assert good["propeller-part-gap"].verdict is Verdict.HOLDS
    assert good["propeller-tip-gap"].verdict is Verdict.HOLDS
    assert good["parts-overlap"].verdict is Verdict.HOLDS
    assert (good["parts-overlap"].demand, good["parts-overlap"].capacity) == (0, 0)
    assert good["parts-overlap"].margin == inf
    bad = fitted(task, sized, spec((0.1, 0.1, 0.1)), gap=4e-3)
    assert bad["propeller-part-gap"].verdict is Verdict.FAILS
    close = replace(sized.layout, tip_gap=task.brief.layout.tip_gap - 1e-4)
    overlap = Assembly({}, (), ("arm 1 and tray share 9 mm³",), 0.02)
    found = keyed(fit_checks(task.brief, close, (), overlap))
    assert found["propeller-tip-gap"].verdict is Verdict.FAILS
    assert found["parts-overlap"].verdict is Verdict.FAILS
    assert found["parts-overlap"].margin == -1
    assert "arm 1 and tray" in found["parts-overlap"].note


def test_tips_that_overlap_fail_even_where_no_gap_is_asked(task: Task, sized: Sized) -> None:
    brief = replace(task.brief, layout=replace(task.brief.layout, tip_gap=0.0))
    over = replace(sized.layout, tip_gap=-0.02)
    found = keyed(fit_checks(brief, over, (), Assembly({}, (), (), 0.02)))
    assert found["propeller-tip-gap"].verdict is Verdict.FAILS


def test_flight_limits(task: Task, sized: Sized) -> None:
    found = keyed(flight_checks(task, sized.layout, sized.assessment.lumps))
    mass = sum(lump.mass for lump in sized.assessment.lumps)
    assert found["all-up-mass"].demand == pytest.approx(mass)
    assert found["endurance"].demand == task.hover.endurance
    margin = sum(state.thrust for state in task.full.rotors) / (mass * 9.80665)
    assert found["thrust-margin"].demand == pytest.approx(margin)
    light = replace(task.brief, mission=replace(task.brief.mission, all_up_limit=mass / 1.01))
    tight = keyed(flight_checks(replace(task, brief=light), sized.layout, sized.assessment.lumps))
    assert tight["all-up-mass"].verdict is Verdict.FAILS


def test_moving_the_battery_as_told_balances_it(task: Task, sized: Sized) -> None:
    """The note's shift, applied to the battery's lump, brings the centre of mass to the middle."""
    heavy = tuple(
        replace(lump, centre=lump.centre + np.array([0.03, -0.02, 0.0]))
        if lump.name == task.brief.flight_controller.name else lump
        for lump in sized.assessment.lumps
    )  # fmt: skip
    note = keyed(flight_checks(task, sized.layout, heavy))["centre-of-mass"].note
    steps = dict(reversed(each) for each in re.findall(r"(\d+) mm (?:to the )?(\w+)", note))
    ways = {way: float(step) for way, step in steps.items()}
    forward = ways.get("forward", 0.0) - ways.get("back", 0.0)
    left = ways.get("left", 0.0) - ways.get("right", 0.0)
    moved = tuple(
        replace(lump, centre=lump.centre + np.array([forward, left, 0.0]) / 1e3)
        if lump.name == task.brief.battery.name else lump
        for lump in heavy
    )  # fmt: skip
    before, after = (
        keyed(flight_checks(task, sized.layout, each))["centre-of-mass"].demand
        for each in (heavy, moved)
    )
    assert after < 2e-4 < before


def test_stiffness_checks_read_the_frame(task: Task, sized: Sized) -> None:
    found = keyed(stiffness_checks(task, sized.frame, sized.layout, sized.assessment))
    full = sized.assessment.result("full-thrust")
    hover = sized.assessment.result("hover")
    assert found["motor-tilt"].demand == full.motor_tilt.max()
    assert found["motor-tilt"].capacity == pytest.approx(radians(1.0))
    reach = sized.layout.motor_radius - sized.frame.clamp.root_radius
    assert found["tip-deflection"].capacity == pytest.approx(0.02 * reach)
    material = task.materials["ASA"]
    grown = material.creep_factor ** (np.log(task.brief.mission.hover_time) / np.log(600.0))
    assert found["hover-tilt"].demand == pytest.approx(hover.motor_tilt.max() / grown)


def test_every_load_case_is_held_against_strength(task: Task, sized: Sized) -> None:
    found = keyed(strength_checks(task, sized.frame, sized.assessment))
    limits = task.brief.limits
    for result in sized.assessment.results:
        check = found[f"strength-{result.case.key}-arm"]
        factor = limits.flight_factor if result.case.kind == "flight" else limits.landing_factor
        assert check.capacity == pytest.approx(task.materials["ASA"].strength_xy / factor)
        assert f"layers-{result.case.key}-plates" in found
    landings = [key for key in found if key.startswith("strength") and key.endswith("leg")]
    assert len(landings) == 4
    order = [result.case.key for result in sized.assessment.results]
    hover = sized.assessment.stresses[order.index("hover")]
    worst = max(stress.in_plane for stress in hover)
    assert found["creep-hover"].demand == pytest.approx(worst)


def test_a_hundredfold_factor_fails(task: Task, sized: Sized) -> None:
    """In landing and carrying alone: flight keeps its own factor."""
    limits = replace(task.brief.limits, landing_factor=130.0)
    strict = replace(task, brief=replace(task.brief, limits=limits))
    found = keyed(strength_checks(strict, sized.frame, sized.assessment))
    before = keyed(strength_checks(task, sized.frame, sized.assessment))
    for key in ("strength-landing-all-leg", "layers-landing-all-plates", "strength-carried-arm"):
        assert before[key].verdict is not Verdict.FAILS
        assert found[key].verdict is Verdict.FAILS
    assert found["strength-full-thrust-arm"] == before["strength-full-thrust-arm"]


def bought(task: Task, sized: Sized, condition: Condition) -> ShoppingLine:
    motor = replace(task.brief.motor, condition=condition)
    lines = shopping_list(replace(task.brief, motor=motor), sized.layout, sized.frame, ())
    return next(line for line in lines if line.name == motor.name)


@pytest.mark.parametrize(
    ("condition", "expected"),
    [
        (Condition(sound=4, suspect=1, scrap=1), (6, 4, 1, 1)),
        (Condition(sound=9), (6, 6, 0, 0)),
        (Condition(sound=4, suspect=9), (6, 4, 2, 0)),
        (Condition(scrap=6), (6, 0, 0, 6)),
        (Condition(to_buy=6), (6, 0, 0, 6)),
    ],
)
def test_shopping_counts(
    task: Task, sized: Sized, condition: Condition, expected: tuple[int, ...]
) -> None:
    line = bought(task, sized, condition)
    assert (line.needed, line.sound, line.inspect, line.buy) == expected
    assert line.sound + line.inspect + line.buy == line.needed


def test_shopping_names_every_item_and_fastener(task: Task, sized: Sized) -> None:
    bolts = sized.assessment.fasteners
    lines = shopping_list(task.brief, sized.layout, sized.frame, bolts)
    named = {line.name for line in lines}
    b = task.brief
    items = (b.motor, b.propeller, b.speed_controller, b.battery, b.flight_controller, b.payload)
    assert {item.name for item in (*items, *b.others)} <= named
    assert {bolt.name for bolt in bolts} <= named
    assert sum(line.buy for line in lines if line.why.startswith("fasteners")) == sum(
        bolt.quantity for bolt in bolts
    )
