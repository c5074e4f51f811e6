"""Slots for plain nuts in the seat: nuts go in from outside, stay, and cannot turn."""

from dataclasses import replace
from math import atan2, pi, radians, sqrt

import numpy as np
import pytest

from refledge.errors import GeometryError
from refledge.geometry import kernel
from refledge.geometry.features import part_features
from refledge.geometry.nut_slot import frame_slot, nut_of, top_points
from refledge.geometry.plate import seat_points
from refledge.geometry.poses import print_pose
from refledge.geometry.printable import printable
from refledge.geometry.profile import polygon, turned
from refledge.geometry.seat import make_seat
from refledge.model.parts import FrameDesign
from tests.geometry.frames import HARDWARE, frame, nut_frame

NUT = HARDWARE.nuts["M3"]
FRAMES = {"hard": nut_frame(), "damped": nut_frame(damped=True)}


def nut(at: tuple[float, float], low: float, angle: float, out: float = 0.0) -> kernel.Solid:
    """A sharp hexagon with a corner at ``angle``, shifted ``out`` away from the middle."""
    away = atan2(at[1], at[0])
    x, y = at[0] + out * np.cos(away), at[1] + out * np.sin(away)
    corners = (turned((NUT.width / sqrt(3), 0.0), angle + k * pi / 3) for k in range(6))
    points = [(x + a, y + b) for a, b in corners]
    return kernel.extrude(polygon(points), low, low + NUT.height)


def places(one: FrameDesign) -> list[tuple[tuple[float, float], float]]:
    """Each slot's axis, and the height at which its nut lies loose."""
    slot, gap = frame_slot(one, HARDWARE), one.fit_gap
    feet = [(each, slot.ledge + gap) for each in seat_points(one)]
    low = one.seat.post_height - slot.height + gap
    return feet + [(each, low) for each in top_points(one)]


def met(body: kernel.Solid, other: kernel.Solid) -> float:
    return kernel.volume(kernel.common(body, other))


@pytest.mark.parametrize("name", FRAMES)
def test_nuts_slide_in_from_outside_and_cannot_turn_or_be_drawn_out(name: str) -> None:
    one = FRAMES[name]
    seat = make_seat(one, HARDWARE)
    assert kernel.is_valid_single(seat)
    assert len(places(one)) == 8
    for at, low in places(one):
        away = atan2(at[1], at[0])
        for out in (0.0, 2e-3, 5e-3, 9e-3):
            assert met(seat, nut(at, low, away, out)) < 1e-14, (at, low, out)
        assert met(seat, nut(at, low, away + radians(15), 0.0)) > 1e-11, "turned"
        assert met(seat, nut(at, low + 2 * one.fit_gap, away)) > 1e-11, "up"
        assert met(seat, nut(at, low - 2 * one.fit_gap, away)) > 1e-11, "down"
        assert met(seat, nut(at, low, away, -2 * one.fit_gap)) > 1e-11, "inwards"


@pytest.mark.parametrize("name", FRAMES)
def test_a_screw_passes_ledge_and_nut_with_room_at_its_end(name: str) -> None:
    one = FRAMES[name]
    seat, slot = make_seat(one, HARDWARE), frame_slot(one, HARDWARE)
    top = one.seat.post_height + one.seat.thickness
    for x, y in seat_points(one):
        assert met(seat, kernel.cone((x, y, -1e-3), 3e-3, 3e-3, 1e-3 + slot.deep)) < 1e-14
    length = one.seat.thickness + slot.height + 2.2e-3
    for x, y in top_points(one):
        assert met(seat, kernel.cone((x, y, top - length), 3e-3, 3e-3, length)) < 1e-14


@pytest.mark.parametrize("name", FRAMES)
def test_bores_in_ceilings_are_printed_shut_by_one_layer(name: str) -> None:
    one = FRAMES[name]
    seat, features = make_seat(one, HARDWARE), part_features("seat", one, HARDWARE)
    rotation, note = print_pose("seat", one)
    assert "drill" in note
    made = printable(seat, features, rotation, 0.0, 2e-4)
    assert made.lids == 8
    slot = frame_slot(one, HARDWARE)
    added = kernel.volume(made.solid) - kernel.volume(seat)
    assert added == pytest.approx(8 * pi / 4 * slot.hole**2 * 2e-4, rel=1e-3)
    for x, y in seat_points(one):
        layer = kernel.cone((x, y, slot.ledge - 2e-4), 1e-3, 1e-3, 2e-4)
        assert met(made.solid, layer) == pytest.approx(kernel.volume(layer))
        free = kernel.cone((x, y, -1e-3), 3e-3, 3e-3, slot.ledge + 0.79e-3)
        assert met(made.solid, free) < 1e-14
    plain = frame()
    bare = printable(make_seat(plain, HARDWARE), part_features("seat", plain, HARDWARE),
                     rotation, 0.0, 2e-4)  # fmt: skip
    assert bare.lids == 0


def test_what_does_not_fit_is_refused() -> None:
    one = nut_frame()
    with pytest.raises(GeometryError, match=r"posts 8\.0 mm thick; nuts M3"):
        make_seat(replace(one, seat=replace(one.seat, post_diameter=0.008)), HARDWARE)
    with pytest.raises(GeometryError, match="too short for nuts M3"):
        make_seat(replace(one, seat=replace(one.seat, post_height=0.012)), HARDWARE)
    with pytest.raises(GeometryError, match="no nut M9"):
        nut_of(HARDWARE, "M9")


@pytest.mark.parametrize("post", [7.92e-3, 7.52e-3])
def test_a_seat_no_wider_than_its_posts_is_one_body(post: float) -> None:
    """Posts in the very corners: the modeller joins none of these with corners just as round."""
    seat = replace(
        nut_frame().seat, screw="M2", pitch=0.02, foot_pitch=0.02, side=0.02 + post,
        post_diameter=post, post_height=post + 4e-3,
    )  # fmt: skip
    one = make_seat(replace(nut_frame(), seat=seat), HARDWARE)
    low, high = kernel.bounds(one)
    assert np.ptp([low[0], high[0]]) == pytest.approx(0.02 + post, abs=1e-6)
