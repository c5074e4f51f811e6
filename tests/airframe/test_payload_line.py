"""What a slung payload's line hangs from: the tray's slots, its bosses, the hardest pull."""

from dataclasses import replace
from math import radians, tan

import numpy as np
import pytest

from refledge.airframe.body import body_for
from refledge.airframe.bosses import Hung, boss_stress
from refledge.airframe.framing import sized_tray
from refledge.airframe.judge import reserve
from refledge.airframe.payload_line import boss_pull, line_stress, webbing_for
from refledge.airframe.payload_line_checks import payload_line_checks
from refledge.airframe.sizing import Sized
from refledge.airframe.task import Task
from refledge.airframe.tray import SLOT_PEAK
from refledge.flight.air import GRAVITY
from refledge.inputs.fasteners import hardware
from refledge.model.brief import Brief
from refledge.model.checks import Verdict

GENTLE = (1.0, 1.0)
"""Acceleration that asks nothing of a tray, m/s2."""


def with_payload(brief: Brief, **changes: object) -> Brief:
    return replace(brief, payload=replace(brief.payload, **changes))


def test_only_a_slung_payload_without_rails_hangs_from_the_tray(brief: Brief) -> None:
    railed = replace(brief, frame=replace(brief.frame, payload_rail="rails"))
    wide = [webbing_for(each) for each in (brief, railed, with_payload(brief, slung=False))]
    assert wide == [10e-3, 0.0, 0.0]
    angles = tuple(np.pi / 6 + np.pi / 3 * k for k in range(6))
    assert body_for(brief, angles, False, 0.024, hardware()).tray.line == 10e-3


def test_stress_of_a_cantilever_from_the_screws_to_one_slot(sized: Sized) -> None:
    tray = sized.frame.tray
    reach = tray.width / 2 - 1e-3 - tray.pitch_y / 2
    bent = 6 * 50.0 * reach / ((11e-3 + 2 * reach) * tray.thickness**2)
    assert line_stress(tray, 50.0) == pytest.approx(SLOT_PEAK * bent)
    assert line_stress(replace(tray, line=0.0), 50.0) == 0.0


def test_the_nearer_bosses_take_what_the_lever_rule_gives(sized: Sized) -> None:
    """Pull at the slot about the far row of bosses: half of it on each of the near two."""
    tray, hole = sized.frame.tray, 3.6e-3
    assert tray.stand > 0.0
    near = 50.0 * (tray.pitch_y / 2 + tray.width / 2 - 1e-3) / tray.pitch_y / 2
    side = 50.0 * tan(radians(30.0))
    hung = Hung(up=4 * near, side=side, below=tray.hang, at=tray.pitch_x / 2)
    assert boss_pull(tray, hole, 50.0) == pytest.approx(boss_stress(tray, hole, hung))


def test_checks_take_the_hardest_pull_with_its_factor(task: Task, sized: Sized) -> None:
    """A caught line: full thrust less the weight of all but the payload, as statics have it."""
    checks = {c.key: c for c in payload_line_checks(task, sized.frame, sized.assessment)}
    assert set(checks) == {"payload-line", "payload-line-bosses"}
    rest = (task.all_up_mass - task.brief.payload.mass) * GRAVITY
    pull = task.full.total_thrust - rest
    found = checks["payload-line"]
    assert found.load_case == "line caught in full climb"
    assert found.demand == pytest.approx(line_stress(sized.frame.tray, pull))
    factor = task.brief.limits.landing_factor
    assert found.capacity == pytest.approx(task.materials["ASA"].strength_xy / factor)
    plain = replace(sized.frame, tray=replace(sized.frame.tray, line=0.0))
    assert payload_line_checks(task, plain, sized.assessment) == ()


def test_a_caught_line_holds_the_airframe_still(task: Task, sized: Sized) -> None:
    """All that thrust gives beyond weight goes into the line: it feels what hangs still does."""
    held = sized.assessment.result("caught").felt[0]
    still = sized.assessment.result("hover")
    mass = (still.case.rotor_thrust.sum() - still.case.slung_force) / still.felt[0]
    rest = task.all_up_mass - task.brief.payload.mass
    assert held == pytest.approx(GRAVITY * rest / mass, rel=1e-6)


def test_a_hard_pull_makes_the_tray_thicker_until_it_holds(task: Task, sized: Sized) -> None:
    body = sized.pool.locate(sized.choice.index)[0].candidates.body
    thin = replace(body, tray=replace(body.tray, thickness=3.2e-3))
    plain = sized_tray(task, thin, "ASA", GENTLE).tray
    strong = replace(task, full=replace(task.full, total_thrust=3 * task.full.total_thrust))
    found = sized_tray(strong, thin, "ASA", GENTLE).tray
    assert found.thickness > plain.thickness
    limits, material = task.brief.limits, task.materials["ASA"]
    pull = strong.full.total_thrust - (task.all_up_mass - 0.6) * GRAVITY
    aim = limits.landing_factor * (1 + reserve(material.strength_spread))
    assert aim * line_stress(found, pull) <= material.strength_xy
    thinner = replace(found, thickness=found.thickness - 0.4e-3)
    assert aim * line_stress(thinner, pull) > material.strength_xy


def test_an_absurd_pull_fails(task: Task, sized: Sized) -> None:
    results = tuple(
        replace(each, case=replace(each.case, slung_force=1e5)) for each in sized.assessment.results
    )
    found = replace(sized.assessment, results=results)
    checks = payload_line_checks(task, sized.frame, found)
    assert [check.verdict for check in checks] == [Verdict.FAILS] * 2
