"""The battery tray stands off exactly where it would hide a nut, as far as its bolts may reach."""

from dataclasses import replace

import numpy as np
import pytest

from refledge.airframe.access_checks import access_checks, longest_thread
from refledge.airframe.body import body_for
from refledge.airframe.gear import leg_height
from refledge.airframe.making import make_solids
from refledge.airframe.sizing import Sized
from refledge.airframe.standing import (
    bosses_clear,
    hidden,
    nut_places,
    spread_out,
    stand_height,
    standing,
)
from refledge.airframe.task import Task
from refledge.geometry.access import JAWS
from refledge.geometry.tray import flare
from refledge.inputs.fasteners import hardware, screw_lengths
from refledge.model.brief import Brief
from refledge.model.checks import Check, Verdict
from refledge.model.parts import FrameDesign
from tests.airframe.test_body import ANGLES, WIDTH

M3 = hardware().screws["M3"]


def test_as_tall_as_washer_nut_thread_and_play() -> None:
    """M3 as sold goes in steps of 5 mm: 0.8 + 4 + (5 + 0.5) + 1 mm."""
    assert stand_height(M3, screw_lengths("M3")) == pytest.approx(11.3e-3)


@pytest.mark.parametrize("name", ANGLES)
def test_a_long_battery_stands_off_and_a_short_one_lies_flat(brief: Brief, name: str) -> None:
    def tray(length: float, width: float) -> tuple[float, float, float]:
        own = replace(brief, battery=replace(brief.battery, length=length, width=width))
        found = body_for(own, ANGLES[name], name == "three", WIDTH, hardware())
        return found.tray.stand, found.tray.fence, found.leg.height - leg_height(own, 0.0)

    stand, fence, taller = tray(0.16, 0.048)
    assert (stand > 0, fence) == (True, 0.0)
    assert taller == pytest.approx(stand)


def test_a_tray_inside_the_bolts_keeps_its_fences(brief: Brief) -> None:
    found = body_for(brief, ANGLES["six"], False, WIDTH, hardware())
    wide = replace(found.clamp, root_radius=0.12)
    flat = replace(found.tray, stand=0.0, fence=0.01)
    assert standing(flat, wide, ANGLES["six"], (M3, M3), screw_lengths("M3")) == flat
    assert not hidden(flat, wide, ANGLES["six"], M3).any()
    shelved = standing(
        replace(flat, shelf=0.02), wide, ANGLES["six"], (M3, M3), screw_lengths("M3")
    )
    assert (shelved.stand > 0.0, shelved.fence) == (True, 0.0), "with shelves always"


def test_the_edge_of_a_washer_is_hidden_and_a_little_further_out_it_is_not(brief: Brief) -> None:
    body = body_for(brief, ANGLES["four"], False, WIDTH, hardware())
    tray = replace(body.tray, yaw=0.0)
    at = np.abs(nut_places(body.clamp, ANGLES["four"], 0.0)).min(axis=0)[0]
    length = 2 * (at - M3.washer_diameter / 2 - 1e-3)
    wide = replace(tray, width=0.4)
    assert hidden(replace(wide, length=length + 1e-4), body.clamp, ANGLES["four"], M3).any()
    assert not hidden(replace(wide, length=length - 1e-4), body.clamp, ANGLES["four"], M3).any()


@pytest.mark.parametrize("name", ANGLES)
def test_a_spanner_clears_every_boss(brief: Brief, name: str) -> None:
    body = body_for(brief, ANGLES[name], name == "three", WIDTH, hardware())
    x, y = body.tray.pitch_x / 2, body.tray.pitch_y / 2
    for nut in nut_places(body.clamp, ANGLES[name], body.tray.yaw):
        for boss in ((x, y), (x, -y), (-x, y), (-x, -y)):
            assert np.hypot(*(nut - boss)) > body.tray.boss / 2 + JAWS * M3.nut_width


def check(task: Task, sized: Sized, frame: FrameDesign) -> Check:
    made = make_solids(task, frame, sized.layout)
    return access_checks(task, frame, sized.layout, made.assembly)[0]


def test_the_example_is_within_reach_and_with_a_flat_tray_it_fails(
    task: Task, sized: Sized
) -> None:
    frame = sized.frame
    good = check(task, sized, frame)
    assert (good.verdict, good.note) == (Verdict.HOLDS, "")
    flat = check(task, sized, replace(frame, tray=replace(frame.tray, stand=0.0)))
    assert flat.verdict is Verdict.FAILS
    assert flat.demand == 12
    assert flat.note == "arms between the plates, nuts: battery tray in the way of 12 of 24"


def test_threads_end_less_than_a_step_beyond_the_turn_they_show(task: Task, sized: Sized) -> None:
    assert M3.pitch - 1e-9 <= longest_thread(task, sized.frame) < M3.pitch + 5e-3


@pytest.mark.parametrize("name", ["three", "four"])
def test_bosses_stand_as_far_apart_as_arms_nuts_and_straps_let_them(
    brief: Brief, name: str
) -> None:
    """A washer clear of the arms' ends by a millimetre; two millimetres more would not do."""
    body = body_for(brief, ANGLES[name], name == "three", WIDTH, hardware())
    tray, clamp = body.tray, body.clamp
    assert tray.stand > 0.0
    assert tray.pitch_x > tray.pitch_y
    inside = clamp.root_radius - tray.boss / 2 - 1e-3
    assert np.hypot(tray.pitch_x, tray.pitch_y) / 2 <= inside
    wider = replace(tray, pitch_x=tray.pitch_x + 2e-3)
    foot = wider.pitch_x / 2 + tray.boss / 2 + flare(tray)[0]
    assert (
        np.hypot(wider.pitch_x, wider.pitch_y) / 2 > inside
        or foot > 0.3 * tray.length - tray.strap_width / 2 - 2e-3
        or not bosses_clear(wider, clamp, ANGLES[name], M3)
    )
    flat = replace(tray, stand=0.0)
    assert spread_out(flat, clamp, ANGLES[name], M3) == flat
    cramped = replace(clamp, root_radius=0.02)
    narrow = replace(tray, pitch_x=30e-3)
    assert spread_out(narrow, cramped, ANGLES[name], M3) == narrow


def test_washers_of_bosses_keep_off_the_arms_ends(brief: Brief) -> None:
    """With nuts far away: 24.5 mm to a boss's middle at most, 19.37 along, in steps of 2 mm."""
    body = body_for(brief, ANGLES["four"], False, WIDTH, hardware())
    clamp = replace(body.clamp, root_radius=0.03, first=0.2)
    tray = replace(body.tray, pitch_x=30e-3, pitch_y=30e-3, boss=9e-3)
    assert spread_out(tray, clamp, ANGLES["four"], M3).pitch_x == pytest.approx(38e-3)
