"""Payload rails that the brief asks for: shelves, heights, lists, strength, solids that fit."""

from dataclasses import replace
from math import tan

import numpy as np
import pytest

from refledge.airframe.access_checks import access_checks
from refledge.airframe.body import body_for
from refledge.airframe.making import make_solids
from refledge.airframe.rail import (
    FIXED,
    MOST,
    SLUNG,
    TRAILING,
    Pull,
    rail_stress,
    resized,
    sizes_of,
)
from refledge.airframe.rail_checks import payload_on_bosses, payload_pull, rail_checks
from refledge.airframe.rail_sizing import STEP, rail_uses, sized_rails
from refledge.airframe.sizing import Sized, screen
from refledge.airframe.task import Task
from refledge.airframe.task_making import make_task, rotor_model
from refledge.errors import WishError
from refledge.geometry.rail import carrier_level
from refledge.inputs.fasteners import hardware
from refledge.model.brief import Brief
from refledge.model.checks import Verdict
from refledge.model.hung import lowest
from tests.airframe.test_body import ANGLES, WIDTH


@pytest.fixture(scope="module")
def railed(brief: Brief) -> Brief:
    return replace(brief, frame=replace(brief.frame, payload_rail="rails"))


@pytest.fixture(scope="module")
def railed_task(railed: Brief) -> Task:
    return make_task(railed, "six-x", rotor_model(railed), 3.4, {})


@pytest.fixture(scope="module")
def made(railed_task: Task) -> Sized:
    return screen(railed_task, "box", "ASA")


def test_nothing_changes_without_them(task: Task, sized: Sized) -> None:
    assert sized.frame.rail is None
    assert sized.frame.tray.shelf == 0.0
    assert rail_checks(task, sized.frame, sized.assessment) == ()
    assert payload_on_bosses(task, sized.frame, sized.assessment.results[0], 3e-3) == 0.0
    assert not any("payload" in line.where for line in sized.assessment.fasteners)


def test_legs_keep_the_gap_under_the_rails_and_their_pins(railed: Brief) -> None:
    body = body_for(railed, ANGLES["six"], False, WIDTH, hardware())
    assert body.rail is not None
    assert body.tray.stand > 0.0
    low = body.tray.hang + body.rail.height + 3.5e-3
    assert body.leg.height >= low + railed.frame.ground_gap
    assert body.rail.height > railed.battery.height + 2 * body.rail.lip + body.rail.carrier


def test_solids_fit_are_reached_and_weigh_about_the_estimate(
    railed_task: Task, made: Sized
) -> None:
    solids = make_solids(railed_task, made.frame, made.layout)
    assert solids.assembly.overlaps == ()
    for key in ("rail", "carrier", "tray"):
        assert solids.made.masses[key] == pytest.approx(made.part_masses[key], rel=0.15), key
    for key in ("rail", "carrier"):
        lumps = [lump.centre for lump in made.assessment.lumps if lump.part == key]
        assert np.allclose(solids.made.centres[key], lumps, atol=8e-3), key
    (check,) = access_checks(railed_task, made.frame, made.layout, solids.assembly)
    assert check.verdict is Verdict.HOLDS, check.note


def test_screws_and_pins_are_listed(made: Sized) -> None:
    lines = {line.where: line for line in made.assessment.fasteners if "payload" in line.where}
    assert lines["payload rails on the tray"].quantity == 4
    assert lines["payload carrier in its rails"].quantity == 2


def test_checks_hold_and_say_where(railed_task: Task, made: Sized) -> None:
    checks = rail_checks(railed_task, made.frame, made.assessment)
    assert len(checks) == 8
    assert {each.verdict for each in checks} == {Verdict.HOLDS}
    thin = replace(made.frame, rail=replace(made.frame.rail, lip=0.4e-3))  # type: ignore[type-var]
    worse = {each.key: each for each in rail_checks(railed_task, thin, made.assessment)}
    assert worse["rail-lip"].verdict is Verdict.FAILS


def test_stresses_of_one_rail_by_statics(railed_task: Task, made: Sized) -> None:
    """A pull straight down halves on the rails; sideways one takes all, at the lips' height."""
    rail, hard = made.frame.rail, railed_task.hardware
    assert rail is not None
    down = rail_stress(made.frame, hard, Pull(up=20.0, side=0.0, below=0.0))
    bend = 10.0 * (rail.reach + rail.web / 2) * 6 / (rail.length * rail.web**2)
    assert down.web == pytest.approx(bend + 10.0 / (rail.length * rail.web))
    side = rail_stress(made.frame, hard, Pull(up=0.0, side=20.0, below=0.0))
    assert side.pin == pytest.approx(20.0 / (3e-3 * rail.carrier))
    lever = rail.height - rail.lip
    assert side.web == pytest.approx(20.0 * lever * 6 / (rail.length * rail.web**2))
    low = rail_stress(made.frame, hard, Pull(up=0.0, side=20.0, below=0.1))
    apart = made.frame.tray.width + 2 * rail.gap
    tipped = rail_stress(made.frame, hard, Pull(up=2 * 2.0 / apart, side=0.0, below=0.0))
    assert low.lip == pytest.approx(tipped.lip)


def test_a_slung_payload_pulls_by_its_line_a_fixed_one_by_what_it_feels(
    railed_task: Task, made: Sized
) -> None:
    results = made.assessment.results
    hung = max(results, key=lambda each: each.case.slung_force)
    pull = payload_pull(railed_task, made.frame, hung)
    assert pull.up == pytest.approx(hung.case.slung_force)
    assert pull.side == pytest.approx(pull.up * tan(TRAILING))
    brief = railed_task.brief
    fixed = replace(brief, payload=replace(brief.payload, slung=False, below=0.3))
    pull = payload_pull(replace(railed_task, brief=fixed), made.frame, hung)
    assert (pull.up, pull.side) == pytest.approx([brief.payload.mass * a for a in hung.felt])
    depth = made.frame.tray.hang - carrier_level(made.frame)
    assert pull.below == pytest.approx(0.3 - depth)


def test_the_payload_pulls_on_the_tray_s_bosses(railed_task: Task, made: Sized) -> None:
    hung = max(made.assessment.results, key=lambda each: each.case.slung_force)
    assert payload_on_bosses(railed_task, made.frame, hung, 3.6e-3) > 0.0


def test_stouter_for_a_payload_that_lands_with_the_airframe(railed: Brief, made: Sized) -> None:
    payload = replace(railed.payload, slung=False, height=0.08, below=0.16)
    brief = replace(railed, payload=payload)
    task = make_task(brief, "six-x", rotor_model(brief), 3.4, {})
    one = screen(task, "box", "ASA")
    assert one.frame.rail is not None
    assert made.frame.rail is not None
    assert one.frame.rail.strap_width > made.frame.rail.strap_width == 0.0
    assert {each.verdict for each in rail_checks(task, one.frame, one.assessment)} == {
        Verdict.HOLDS
    }
    harder = tuple(
        replace(each, acceleration=3 * each.acceleration) for each in one.assessment.results
    )
    plain, stout = (sized_rails(task, one.frame, each) for each in (one.assessment.results, harder))
    assert stout.rail is not None
    assert plain.rail is not None
    assert stout.rail.flange > plain.rail.flange >= FIXED.flange


def test_rails_are_as_thin_as_hold(railed_task: Task, made: Sized) -> None:
    """Thinner anywhere than sized, that place no longer holds or is at its thinnest."""
    results = made.assessment.results
    one = sized_rails(railed_task, made.frame, results)
    assert max(rail_uses(railed_task, one, results).values()) <= 1.0
    pulled = tuple(
        replace(each, case=replace(each.case, slung_force=1.3 * each.case.slung_force))
        for each in results
    )
    stout = sized_rails(railed_task, made.frame, pulled)
    assert stout.rail is not None
    assert one.rail is not None
    assert stout.rail.flange > one.rail.flange >= SLUNG.flange
    assert max(rail_uses(railed_task, stout, pulled).values()) <= 1.0
    thin = sizes_of(stout.rail, stout.tray)
    for name in ("flange", "carrier", "shelf"):
        size = replace(thin, **{name: getattr(thin, name) - STEP})
        rail, tray = resized(railed_task.brief, stout.rail, stout.tray, size, railed_task.hardware)
        uses = rail_uses(railed_task, replace(stout, rail=rail, tray=tray), pulled)
        assert uses[name] > 1.0 or getattr(thin, name) == pytest.approx(getattr(SLUNG, name))


def test_where_none_holds_they_are_thickest_and_a_check_fails(
    railed_task: Task, made: Sized
) -> None:
    results = tuple(
        replace(each, case=replace(each.case, slung_force=60 * each.case.slung_force))
        for each in made.assessment.results
    )
    frame = sized_rails(railed_task, made.frame, results)
    assert frame.rail is not None
    assert frame.rail.flange == pytest.approx(MOST.flange)
    found = replace(made.assessment, results=results)
    failing = [
        each.key for each in rail_checks(railed_task, frame, found) if each.verdict is Verdict.FAILS
    ]
    assert "rail-flange" in failing


def test_thinner_rails_stay_within_the_room_kept_for_the_thickest(
    railed: Brief, made: Sized
) -> None:
    body = body_for(railed, ANGLES["six"], False, WIDTH, hardware())
    assert body.rail is not None
    assert made.frame.rail is not None
    assert made.frame.rail.height < body.rail.height
    assert made.frame.tray.shelf < body.tray.shelf
    depth = made.frame.tray.hang + made.frame.rail.height
    assert made.frame.leg.height >= depth + railed.frame.ground_gap


def test_a_payload_without_a_place_hangs_right_under_the_rails(railed: Brief) -> None:
    deep = replace(railed.battery, height=0.012)
    payload = replace(railed.payload, slung=False, below=None, height=0.04)
    brief = replace(railed, payload=payload, battery=deep)
    body = body_for(brief, ANGLES["six"], False, WIDTH, hardware())
    assert body.rail is not None
    bottom = lowest(body.tray, body.rail, deep.height)
    assert bottom == pytest.approx(body.tray.hang + body.rail.height)
    assert payload.middle(bottom) == pytest.approx(bottom + 0.02)


def test_what_does_not_fit_is_refused(railed: Brief) -> None:
    fixed = replace(railed.payload, slung=False, below=0.06, height=0.04)
    with pytest.raises(WishError, match=r"payload\.below of at least"):
        body_for(replace(railed, payload=fixed), ANGLES["six"], False, WIDTH, hardware())
    short = replace(railed, battery=replace(railed.battery, length=0.06))
    with pytest.raises(WishError, match=r"between the battery's straps"):
        body_for(short, ANGLES["six"], False, WIDTH, hardware())
