"""The cover: it goes over seat and controller, stands on the seat's plate, holds under it."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from refledge.errors import GeometryError
from refledge.geometry import kernel
from refledge.geometry.cover import (
    RIB,
    cover_inside,
    cover_outside,
    make_cover,
    tongue_length,
    vent_area,
)
from refledge.geometry.parts import part_quantities
from refledge.geometry.seat import make_seat
from refledge.geometry.snap import lip_height
from tests.geometry.frames import HARDWARE, damped_frame, frame
from tests.geometry.holders import cover, covered_frame


def shared(one: kernel.Solid, other: kernel.Solid) -> float:
    """Common volume in mm3."""
    return kernel.volume(kernel.common(one, other)) * 1e9


def block(side: float, low: float, high: float) -> kernel.Solid:
    return kernel.box((-side / 2, -side / 2, low), (side / 2, side / 2, high))


def test_it_stands_on_the_seat_and_meets_it_nowhere() -> None:
    one = covered_frame()
    seat, solid = make_seat(one, HARDWARE), make_cover(one)
    top = one.seat.post_height + one.seat.thickness
    for lift, free in ((0.0, True), (-1e-4, False), (1.2e-3, False)):
        put = kernel.move(solid, np.eye(3), np.array([0.0, 0.0, top + lift]))
        met = shared(seat, put)
        assert (met < 1e-6) is free, (lift, met)


def test_a_controller_as_wide_as_the_ribs_leave_goes_under_it() -> None:
    one = covered_frame()
    solid, wide = make_cover(one), one.seat.side - 2 * RIB
    assert shared(solid, block(wide - 1e-5, 0.0, cover().room - 1e-6)) < 1e-6
    assert shared(solid, block(wide + 1e-4, 0.0, cover().room)) > 1e-3
    assert shared(solid, block(0.02, 0.0, cover().room + 1e-4)) > 1e-3


def test_size_and_tongues_below_the_rim() -> None:
    one = covered_frame()
    low, high = kernel.bounds(make_cover(one))
    assert high[:2] == pytest.approx([cover_outside(one)] * 2)
    assert high[2] == pytest.approx(cover().room + cover().roof)
    assert low[2] == pytest.approx(-one.seat.thickness - lip_height(cover().lip))
    loops = kernel.contours(make_cover(one), -one.seat.thickness - lip_height(cover().lip) / 2)
    assert len(loops) == 2


def test_walls_are_open_by_what_is_said() -> None:
    """The roof's slots and the ways in both side walls, measured on the body."""
    one = covered_frame()
    solid, x = make_cover(one), cover_inside(one)
    roof = block(2 * x - 0.002, cover().room + 1e-4, cover().room + cover().roof - 1e-4)
    slots = (kernel.volume(roof) - kernel.volume(kernel.common(roof, solid))) / (
        cover().roof - 2e-4
    )
    low, high = -one.seat.thickness, cover().room
    wall = kernel.box((-0.9 * x, x + 1e-4, low), (0.9 * x, x + cover().wall - 1e-4, high))
    way = (kernel.volume(wall) - kernel.volume(kernel.common(wall, solid))) / (cover().wall - 2e-4)
    assert slots + 2 * way == pytest.approx(vent_area(one), rel=1e-3)
    assert tongue_length(one) == pytest.approx(high - low)


def test_only_one_where_asked_for() -> None:
    assert part_quantities(covered_frame())["cover"] == 1
    assert "cover" not in part_quantities(frame())


@pytest.mark.parametrize(
    ("changes", "said"),
    [({"tongue": 0.021}, "between the seat's posts"), ({"room": 0.002}, "height inside"),
     ({"tongue": 0.003}, "at least 5.6 mm needed")],
)  # fmt: skip
def test_a_cover_that_cannot_be_made_is_refused(changes: dict[str, Any], said: str) -> None:
    with pytest.raises(GeometryError, match=said):
        make_cover(replace(covered_frame(), cover=cover(**changes)))


def test_none_on_elastic_standoffs() -> None:
    with pytest.raises(GeometryError, match="elastic standoffs"):
        make_cover(replace(damped_frame(), cover=cover()))
