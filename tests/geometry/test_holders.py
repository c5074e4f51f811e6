"""Receiver and antenna holders: what they hold fits, what they leave free is free."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from refledge.errors import GeometryError
from refledge.geometry import kernel
from refledge.geometry.antenna_holder import antenna_axes, make_antenna_holder, tube_outside
from refledge.geometry.deck import deck_bolts, deck_place
from refledge.geometry.parts import part_quantities
from refledge.geometry.receiver_holder import make_receiver_holder, pocket, standing_turn
from refledge.model.decked import on_deck
from refledge.model.parts import FrameDesign
from tests.geometry.frames import HARDWARE, frame, layout
from tests.geometry.holders import antenna_holder, held_frame, receiver_holder


def block(x: float, y: float, low: float, high: float) -> kernel.Solid:
    """A box about x = y = 0."""
    return kernel.box((-x / 2, -y / 2, low), (x / 2, y / 2, high))


def shared(one: kernel.Solid, other: kernel.Solid) -> float:
    """Common volume in mm3."""
    return kernel.volume(kernel.common(one, other)) * 1e9


def held() -> tuple[FrameDesign, kernel.Solid]:
    one = held_frame()
    return one, make_receiver_holder(one, HARDWARE)


def test_the_item_fits_under_the_lips_and_no_larger_one() -> None:
    one, solid = held()
    holder, gap = receiver_holder(), one.fit_gap
    floor = holder.flange_thickness
    sizes = (holder.depth, holder.length, holder.height)
    assert shared(solid, block(*sizes[:2], floor, floor + sizes[2])) < 1e-6
    for axis in range(3):
        bigger = [size + (2.5 * gap if axis == k else 0.0) for k, size in enumerate(sizes)]
        assert shared(solid, block(*bigger[:2], floor, floor + bigger[2])) > 0.1, axis


def test_the_lips_stand_in_the_way_out_by_their_reach() -> None:
    """What slides up between them is narrower than the pocket by both lips."""
    one, solid = held()
    holder, (deep, _, rise) = receiver_holder(), pocket(one)
    top = holder.flange_thickness + rise
    for narrower, free in ((2 * holder.lip + 1e-5, True), (2 * holder.lip - 1e-4, False)):
        column = block(deep - narrower, 0.005, holder.flange_thickness, top)
        assert (shared(solid, column) < 1e-6) is free


def test_tongues_stand_free_of_their_walls_from_the_floor_up() -> None:
    """A level cut shows both tongues and two pieces of each long wall."""
    _, solid = held()
    holder = receiver_holder()
    loops = kernel.contours(solid, holder.flange_thickness + holder.height / 2)
    assert len(loops) == 6
    assert len(kernel.contours(solid, holder.flange_thickness / 2)) == 3  # outline, two bolts


def test_wires_leave_at_both_ends() -> None:
    one, solid = held()
    holder, (deep, long, rise) = receiver_holder(), pocket(one)
    floor, way = holder.flange_thickness, deep - 2 * 1.2e-3
    assert shared(solid, block(way - 2 * holder.lip, 2 * long, floor, floor + rise)) < 1e-6


@pytest.mark.parametrize("upright", [False, True])
@pytest.mark.parametrize("size", [(35, 20, 8), (20, 8, 35), (8, 35, 20), (20, 20, 20)])
def test_an_item_stands_on_its_thin_side_whatever_its_axes(
    size: tuple[float, float, float], upright: bool
) -> None:
    turn = standing_turn(size, upright)
    assert np.linalg.det(turn) == pytest.approx(1.0)
    thin, middle, long = sorted(size)
    wanted = (thin, middle, long) if upright else (thin, long, middle)
    assert np.abs(turn @ np.array(size)) == pytest.approx(wanted)


@pytest.mark.parametrize("count", [1, 2])
def test_antennas_stand_in_their_tubes_and_no_thicker_ones(count: int) -> None:
    one = held_frame(count=count)
    holder, solid = antenna_holder(count=count), make_antenna_holder(one, HARDWARE)
    play = 2 * one.fit_gap + one.hole_allowance
    axes = antenna_axes(one)
    assert len(axes) == count
    for foot, turn in axes:
        for more, free in ((0.9 * play, True), (1.2 * play, False)):
            width = holder.diameter + more
            rod = kernel.cone((0.0, 0.0, 0.0), width, width, holder.length)
            assert (shared(solid, kernel.move(rod, turn, foot)) < 1e-6) is free


def test_two_antennas_stand_at_twice_the_tilt() -> None:
    ways = [turn[:, 2] for _, turn in antenna_axes(held_frame())]
    assert ways[0] @ ways[1] == pytest.approx(0.0, abs=1e-12)
    ways = [turn[:, 2] for _, turn in antenna_axes(held_frame(tilt=np.radians(30)))]
    assert ways[0] @ ways[1] == pytest.approx(np.cos(np.radians(60)))


def test_leads_pass_under_the_bridge() -> None:
    one = held_frame()
    holder, solid = antenna_holder(), make_antenna_holder(one, HARDWARE)
    way = kernel.box((-0.02, -0.005, holder.flange_thickness), (0.02, 0.005, holder.mouth))
    assert shared(solid, way) < 1e-6


def test_no_tube_leans_out_more_than_prints() -> None:
    """No face but the bridge's roof and the tubes' ends looks down steeper than 45 degrees."""
    one = held_frame()
    holder, solid = antenna_holder(), make_antenna_holder(one, HARDWARE)
    mesh = kernel.tessellate(solid)
    corners = mesh.vertices[mesh.triangles]
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    down = -normal[:, 2] / np.linalg.norm(normal, axis=1)
    height = corners[:, :, 2].mean(axis=1)
    hanging = (down > np.sin(np.radians(46))) & (height > 1e-4)
    assert hanging.any()
    assert np.allclose(height[hanging], holder.mouth, atol=1e-5)


def test_holders_take_the_inner_bolts_and_leave_the_outer() -> None:
    one = held_frame()
    assert part_quantities(one)["receiver_holder"] == part_quantities(one)["antenna_holder"] == 1
    assert [(each.key, each.bolts) for each in on_deck(one)] == [
        ("receiver_holder", 2), ("antenna_holder", 2),
    ]  # fmt: skip
    assert all(x < 0.0 for x, _ in deck_bolts(one.clamp.pitch_x, one.clamp.pitch_y))
    put = layout("six-x", one)
    away = np.hypot(*deck_place(one, put, 1)[:2])
    assert away == pytest.approx(one.clamp.root_radius + one.clamp.first + one.clamp.pitch_x / 2)
    assert on_deck(frame()) == ()


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"depth": 0.015}, "a thinner item"),
        ({"tongue": 0.034}, "no room for tongue and wires"),
        ({"depth": 0.003}, "no room for tongue and wires"),
        ({"across": 0.012}, "beside the bolts of a flange"),
    ],
)
def test_a_pocket_that_cannot_be_made_is_refused(changes: dict[str, Any], said: str) -> None:
    one = replace(held_frame(), receiver_holder=receiver_holder(**changes))
    with pytest.raises(GeometryError, match=said):
        make_receiver_holder(one, HARDWARE)


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"diameter": 0.012}, "thinner antennas"),
        ({"out": 0.006}, "between washers"),
        ({"lead": 0.009}, "under its bridge for leads"),
    ],
)
def test_antennas_that_cannot_be_held_are_refused(changes: dict[str, Any], said: str) -> None:
    with pytest.raises(GeometryError, match=said):
        make_antenna_holder(held_frame(**changes), HARDWARE)
    assert tube_outside(held_frame()) < 0.008
