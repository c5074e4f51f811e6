"""Bosses of a tray that stands off: legs of a portal frame by hand; the thinnest wall."""

from dataclasses import replace
from math import pi

import numpy as np
import pytest

from refledge.airframe.bosses import (
    BOSS_PEAK,
    LEAST_LINES,
    Hung,
    battery_hung,
    boss_stress,
    size_wall,
)
from refledge.airframe.judge import reserve
from refledge.airframe.sizing import Sized
from refledge.airframe.standing import bosses_clear
from refledge.airframe.task import Task
from refledge.geometry.tray import flare
from refledge.inputs.fasteners import hardware
from refledge.model.hung import TrayDesign

HOLE, LINE = 3.6e-3, 0.45e-3
RING = pi / 4 * (9e-3**2 - HOLE**2)
LEG = 2 * pi / 64 * (9e-3**4 - HOLE**4)


@pytest.fixture
def tray(sized: Sized) -> TrayDesign:
    return replace(sized.frame.tray, thickness=6e-3, stand=11e-3, boss=9e-3, wall=0.0)


def _at_screws(tray: TrayDesign, up: float, side: float) -> Hung:
    """Held to the tray just where its screws are: no overhang bends the legs."""
    return Hung(up=up, side=side, below=0.04, at=tray.pitch_x / 2)


def test_four_rings_share_a_pull_over_the_screws(tray: TrayDesign) -> None:
    assert boss_stress(tray, HOLE, _at_screws(tray, 80.0, 0.0)) == pytest.approx(20.0 / RING)
    assert boss_stress(replace(tray, stand=0.0), HOLE, _at_screws(tray, 80.0, 80.0)) == 0.0


def test_sideways_the_bosses_ends_do_not_turn(tray: TrayDesign) -> None:
    """F h / 8 in each of four at its foot, nothing in the middle: less where the cone ends."""
    tip = 80.0 * 0.04 / (2 * 30e-3) / RING
    left = 1 - 2 * flare(tray)[0] / tray.stand
    bent = BOSS_PEAK * 80.0 * 11e-3 / 8 * left * 4.5e-3 / (LEG / 2)
    assert boss_stress(tray, HOLE, _at_screws(tray, 0.0, 80.0)) == pytest.approx(tip + bent)
    walled = replace(tray, wall=6e-3)
    stiffer = (LEG + 21e-3 * 6e-3**3 / 12) / LEG
    assert boss_stress(walled, HOLE, _at_screws(tray, 0.0, 80.0)) == pytest.approx(
        tip + bent / stiffer
    )
    shared = 80.0 / (4 * RING + 2 * 21e-3 * 6e-3)
    assert boss_stress(walled, HOLE, _at_screws(tray, 80.0, 0.0)) == pytest.approx(shared)


@pytest.mark.parametrize(("up", "tipping"), [(80.0, 0.0), (0.0, 2.0)])
def test_the_overhang_bends_the_legs_as_a_portal_frame(
    tray: TrayDesign, up: float, tipping: float
) -> None:
    """Against a plane frame of two legs and a beam, solved by its stiffness matrix."""
    reach, span = 0.033, tray.pitch_x
    beam = tray.width * tray.thickness**3 / 12
    side = 1e-9  # no sway: all of the tipping is the couple that the straps carry
    hung = Hung(up=up, side=side, below=tray.hang + tipping / side, at=reach + span / 2)
    left, right = _ends(up * reach / 2, tipping * reach / (2 * hung.at))
    own = 4 * LEG / tray.stand + 4 * beam / span
    turns = np.linalg.solve([[own, 2 * beam / span], [2 * beam / span, own]], [left, right])
    foot = 4 * LEG / tray.stand * np.abs(turns).max() * (1 - 1.5 * flare(tray)[0] / tray.stand)
    pull = up / 4 / RING + side * hung.below / (2 * 30e-3) / RING
    expected = pull + BOSS_PEAK * foot * 4.5e-3 / LEG
    assert boss_stress(tray, HOLE, hung) == pytest.approx(expected, rel=1e-6)


def _ends(alike: float, opposite: float) -> tuple[float, float]:
    """Moments on the plate over the two legs: mirrored by the pull, the same way by tipping."""
    return alike + opposite, opposite - alike


def test_the_thinnest_wall_in_whole_lines(task: Task, tray: TrayDesign) -> None:
    material = task.materials["ASA"]
    limit = material.strength_z / 1.3 / (1 + reserve(material.interlayer_spread))

    def sized(up: float, side: float) -> tuple[TrayDesign, Hung]:
        hung = battery_hung(tray, task.brief.battery, 0.76, (up, side))
        return size_wall(tray, material, HOLE, (hung,), 1.3, LINE), hung

    assert sized(20.0, 5.0)[0] == tray, "bosses alone do"
    walled, hung = sized(200.0, 100.0)
    lines = walled.wall / LINE
    assert lines == pytest.approx(round(lines))
    assert lines > LEAST_LINES
    assert boss_stress(walled, HOLE, hung) <= limit
    thinner = replace(walled, wall=walled.wall - LINE)
    assert boss_stress(thinner, HOLE, hung) > limit
    assert sized(900.0, 900.0)[0].wall == pytest.approx(20 * LINE), "no thicker than the bosses"
    flat = replace(tray, stand=0.0)
    assert size_wall(flat, material, HOLE, (hung,), 1.3, LINE) == flat


def test_no_nut_stands_where_a_wall_may(sized: Sized, tray: TrayDesign) -> None:
    """A nut between the two bosses of one end, clear of both, is in the wall's way."""
    clamp, screw = sized.frame.clamp, hardware().screws[sized.frame.clamp.screw]
    beside = replace(tray, pitch_x=2 * (clamp.root_radius + clamp.first), pitch_y=0.2, yaw=0.0)
    assert not bosses_clear(beside, clamp, (0.0,), screw)
    assert bosses_clear(replace(beside, pitch_x=0.02), clamp, (0.0,), screw)
