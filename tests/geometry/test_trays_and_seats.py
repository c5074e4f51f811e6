"""Trays and the flight controller's seat: room for straps, webbing, inserts and bosses."""

from dataclasses import replace
from math import asin, pi, sqrt

import numpy as np
import pytest

from refledge.errors import GeometryError
from refledge.geometry import kernel
from refledge.geometry.placing import place_all
from refledge.geometry.seat import make_seat
from refledge.geometry.tray import WALL_SHORT, make_tray
from tests.geometry.briefs import brief
from tests.geometry.frames import HARDWARE, damped_frame, frame, layout, standing_frame


def test_battery_lies_between_the_fences_and_straps_pass_beside_it() -> None:
    one = frame(6)
    tray = make_tray(one, HARDWARE)
    t = one.tray
    battery = kernel.box((-0.0515, -0.020, -0.03), (0.0515, 0.020, -t.thickness))
    assert kernel.volume(kernel.common(tray, battery)) == pytest.approx(0.0, abs=1e-14)
    for side in (-1, 1):
        y = sorted((side * (t.width / 2 - 0.001), side * (t.width / 2 + 0.001)))
        middle = 0.3 * t.length
        strap = kernel.box((middle - 0.009, y[0], -0.03), (middle + 0.009, y[1], 0.0))
        assert kernel.volume(kernel.common(tray, strap)) == pytest.approx(0.0, abs=1e-14)
    with pytest.raises(GeometryError, match="straps"):
        make_tray(replace(one, tray=replace(t, length=0.06)), HARDWARE)
    with pytest.raises(GeometryError, match="screw heads"):
        make_tray(replace(one, tray=replace(t, thickness=0.0015)), HARDWARE)


@pytest.mark.parametrize("stands", [False, True])
def test_webbing_of_a_line_passes_the_middle_of_the_tray(stands: bool) -> None:
    """Down through both slots, and over the plate between them; ears close round it."""
    one = standing_frame() if stands else frame(6)
    tray = replace(one.tray, line=0.010)
    solid = make_tray(replace(one, tray=tray), HARDWARE)
    edge, inner = tray.width / 2 + 2e-3, tray.width / 2 - 1e-3
    for side in (-1, 1):
        y = sorted((side * inner, side * edge))
        down = kernel.box((-0.004, y[0], -0.1), (0.004, y[1], 1e-3))
        assert kernel.volume(kernel.common(solid, down)) == pytest.approx(0.0, abs=1e-14)
        y = sorted((side * edge, side * (edge + 2e-3)))
        ear = kernel.box((-0.005, y[0], -tray.hang), (0.005, y[1], -tray.stand))
        assert kernel.volume(kernel.common(solid, ear)) == pytest.approx(kernel.volume(ear))
    over = -tray.stand if stands else -1e-3
    across = kernel.box((-0.005, -edge, over), (0.005, edge, over + 1e-3))
    assert kernel.volume(kernel.common(solid, across)) == pytest.approx(0.0, abs=1e-14)
    plain = kernel.volume(make_tray(one, HARDWARE))
    assert 0.0 < abs(kernel.volume(solid) - plain) < 0.15 * plain


def test_a_tray_on_bosses_is_a_plate_and_four_rings_without_fences() -> None:
    """Cut half-way up, the rings alone; at the battery's face nothing hangs below."""
    one = standing_frame()
    tray, t, screw = make_tray(one, HARDWARE), one.tray, HARDWARE.screws["M3"]
    low, high = kernel.bounds(tray)
    assert (low[2], high[2]) == pytest.approx((-t.stand - t.thickness, 0.0), abs=1e-6)
    hole = screw.clearance_hole + one.hole_allowance
    rings = pi / 4 * 4 * (t.boss**2 - hole**2)
    assert kernel.section(tray, (0, 0, -t.stand / 2), (0, 0, 1)).size == pytest.approx(rings)
    driver = kernel.cone(
        (t.pitch_x / 2, t.pitch_y / 2, -0.03), screw.diameter, screw.diameter, 0.03
    )
    assert kernel.volume(kernel.common(tray, driver)) == pytest.approx(0.0, abs=1e-14)
    with pytest.raises(GeometryError, match=r"tray: bosses 6\.0 mm thick"):
        make_tray(replace(one, tray=replace(t, boss=0.006)), HARDWARE)


def test_walls_join_the_bosses_across_a_tray_short_of_the_plate() -> None:
    """Cut half-way up: rings and what of both walls lies outside them; at the plate rings alone."""
    one, wall = standing_frame(), 6e-3
    t = replace(one.tray, wall=wall)
    tray, half, r = make_tray(replace(one, tray=t), HARDWARE), wall / 2, t.boss / 2
    hole = HARDWARE.screws["M3"].clearance_hole + one.hole_allowance
    rings = pi * (t.boss**2 - hole**2)
    in_post = half * sqrt(r**2 - half**2) + r**2 * asin(half / r)

    def cut(z: float) -> float:
        return kernel.section(tray, (0, 0, z), (0, 0, 1)).size

    between = 2 * (wall * t.pitch_y - 2 * in_post)
    assert cut(-t.stand / 2) == pytest.approx(rings + between, rel=1e-6)
    assert cut(-WALL_SHORT / 2) == pytest.approx(rings, rel=1e-6)
    assert cut(WALL_SHORT / 2 - t.stand) > 1.2 * (rings + between), "cones and flares at the foot"
    one_body = kernel.checked(tray, "tray")
    assert kernel.bounds(one_body)[1][2] == pytest.approx(0.0, abs=1e-6)


def test_seat_has_eight_pockets_for_inserts() -> None:
    one = frame(6)
    insert = HARDWARE.inserts["M3"]
    seat = make_seat(one, HARDWARE)
    hole = pi * (insert.hole_diameter + one.hole_allowance) ** 2 / 4
    at_foot = kernel.section(seat, (0, 0, 0.001), (0, 0, 1))
    assert at_foot.size == pytest.approx(4 * (pi * one.seat.post_diameter**2 / 4 - hole), rel=1e-6)
    top = one.seat.post_height + one.seat.thickness
    at_top = kernel.section(seat, (0, 0, top - 0.001), (0, 0, 1))
    corner = min(one.seat.post_diameter / 2, 0.4 * one.seat.side)
    plate = one.seat.side**2 - (4 - pi) * corner**2
    assert at_top.size == pytest.approx(plate - 4 * hole, rel=1e-6)


def test_a_damped_seat_has_its_posts_on_ears_and_stands_on_four_standoffs() -> None:
    one = damped_frame()
    seat, out = one.seat, one.seat.foot_pitch / 2**0.5
    low, high = kernel.bounds(make_seat(one, HARDWARE))
    assert high[0] == pytest.approx(out + seat.post_diameter / 2 + 0.5e-3)
    assert (low[2], high[2]) == pytest.approx((0.0, seat.post_height + seat.thickness))
    places = place_all(one, layout("six-x", one), brief())
    (carrier,) = (each for each in places if each.key == "seat")
    (controller,) = (each for each in places if each.key == "flight_controller")
    feet = [each.translation for each in places if each.key == "standoff"]
    assert sorted(round(float(np.hypot(x, y)), 6) for x, y, _ in feet) == [round(out, 6)] * 4
    assert all(min(abs(x), abs(y)) < 1e-9 for x, y, _ in feet)
    assert [carrier.translation[2] - z for *_, z in feet] == pytest.approx([seat.rise] * 4)
    on_top = carrier.translation[2] + seat.post_height + seat.thickness
    half = brief().flight_controller.height / 2
    assert controller.translation[2] == pytest.approx(on_top + half)


def test_seat_of_a_taped_controller_has_no_pockets_on_top() -> None:
    one = frame(6)
    taped = replace(one, seat=replace(one.seat, pitch=0.0))
    assert kernel.volume(make_seat(taped, HARDWARE)) > kernel.volume(make_seat(one, HARDWARE))


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"post_height": 0.006}, "too short for inserts"),
        ({"post_diameter": 0.004}, "posts 4.0 mm thick"),
        ({"side": 0.030, "pitch": 0.0305}, "too small for holes"),
        ({"screw": "M9"}, "no insert M9"),
    ],
)
def test_seat_refuses_what_does_not_fit(changes: dict[str, float], said: str) -> None:
    one = frame(6)
    with pytest.raises(GeometryError, match=said):
        make_seat(replace(one, seat=replace(one.seat, **changes)), HARDWARE)  # type: ignore[arg-type]
