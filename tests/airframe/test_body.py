"""What must fit beside what: arms, tray, legs, screws; and the plan-view tests behind it."""

from dataclasses import replace
from itertools import combinations
from math import pi, radians, tan, tau

import numpy as np
import pytest

from refledge.airframe import body as body_module
from refledge.airframe.body import Body, body_for, least_arm_width
from refledge.airframe.clearance import (
    feet_share,
    least_angle,
    leg_arms,
    rectangle,
    rectangles_meet,
)
from refledge.airframe.legs import DEEPEST
from refledge.airframe.rooting import edge
from refledge.errors import GeometryError
from refledge.inputs.fasteners import hardware
from refledge.model.brief import Brief

ANGLES = {
    "three": tuple(radians(a) for a in (-60.0, 180.0, 60.0)),
    "four": tuple(radians(a) for a in (-45.0, -135.0, 135.0, 45.0)),
    "six": tuple(radians(a) for a in (-30.0, -90.0, -150.0, 150.0, 90.0, 30.0)),
    "eight": tuple(radians(22.5 + 45.0 * k) for k in range(8)),
    "free": tuple(radians(a) for a in (-50.0, -100.0, -170.0, 170.0, 100.0, 50.0)),
}
WIDTH = 0.0243


def made(brief: Brief, name: str, width: float = WIDTH) -> Body:
    return body_for(brief, ANGLES[name], name == "three", width, hardware())


def arm_boxes(found: Body, name: str) -> list[np.ndarray]:
    start = found.clamp.root_radius
    half = found.arm_width / 2
    return [rectangle(start, start + 0.3, half, angle) for angle in ANGLES[name]]


def apart(one: np.ndarray, other: np.ndarray) -> float:
    """Least distance between the corners of either quadrilateral and the sides of the other."""
    found = []
    for points, shape in ((one, other), (other, one)):
        for start, end in zip(shape, np.roll(shape, -1, axis=0), strict=True):
            side = end - start
            share = np.clip((points - start) @ side / (side @ side), 0.0, 1.0)
            found.append(np.linalg.norm(points - start - share[:, None] * side, axis=1).min())
    return float(min(found))


@pytest.mark.parametrize("name", ANGLES)
def test_arms_stand_a_gap_apart(brief: Brief, name: str) -> None:
    boxes = arm_boxes(made(brief, name), name)
    assert not any(rectangles_meet(a, b, 0.0) for a, b in combinations(boxes, 2))
    assert min(apart(a, b) for a, b in combinations(boxes, 2)) >= 1e-3 - 1e-9


def test_crowded_arms_stand_no_further_out_than_they_must(brief: Brief) -> None:
    """The gap alone sets the radius where arms are close."""
    boxes = arm_boxes(made(brief, "free", 0.045), "free")
    assert min(apart(a, b) for a, b in combinations(boxes, 2)) == pytest.approx(1e-3, rel=1e-6)


@pytest.mark.parametrize("name", ANGLES)
def test_tray_stands_clear_of_legs(brief: Brief, name: str) -> None:
    found = made(brief, name)
    tray, clamp, screw = found.tray, found.clamp, hardware().screws["M3"]
    box = rectangle(-tray.length / 2, tray.length / 2, tray.width / 2, tray.yaw)
    inner = clamp.root_radius + clamp.first + clamp.pitch_x - edge(screw)
    outer = inner + 2 * edge(screw) + DEEPEST
    for arm in found.leg.arms:
        flange = rectangle(inner, outer, found.leg.thickness / 2, ANGLES[name][arm])
        assert not rectangles_meet(box, flange, 1.9e-3)


@pytest.mark.parametrize("name", ANGLES)
def test_screws_inside_the_arms_stay_clear_of_them(brief: Brief, name: str) -> None:
    found = made(brief, name)
    head = hardware().screws[found.seat.screw].head_diameter / 2
    foot = found.seat.foot_pitch / 2
    nut = hardware().screws["M3"].nut_width / 2
    tray = np.hypot(found.tray.pitch_x, found.tray.pitch_y) / 2
    assert np.hypot(foot, foot) + head < found.clamp.root_radius
    assert tray + nut < found.clamp.root_radius


def test_posts_of_the_seat_keep_off_a_mast_s_flange(brief: Brief) -> None:
    """A wide hole pattern on four arms: their ends move out to the posts where a mast asks it."""
    board = replace(brief.flight_controller, holes="M3 45x45")
    plain = replace(brief, flight_controller=board)
    masted = replace(
        plain, frame=replace(plain.frame, mast="GNSS receiver with compass, on a short mast")
    )
    bare = body_for(plain, ANGLES["four"], False, WIDTH, hardware())
    with_mast = body_for(masted, ANGLES["four"], False, WIDTH, hardware())
    seat = with_mast.seat
    reach = seat.foot_pitch * np.sqrt(0.5) + seat.post_diameter / 2
    assert with_mast.clamp.root_radius >= reach + 1e-3 - 1e-9
    assert bare.clamp.root_radius < reach, "else this shows nothing"


@pytest.mark.parametrize("name", ANGLES)
def test_plates_reach_round_pads_and_screws(brief: Brief, name: str) -> None:
    found = made(brief, name)
    corner = np.hypot(found.clamp.root_radius + found.root_length, found.pad_width / 2)
    assert found.outer_radius == pytest.approx(corner)
    assert found.pad_width >= found.arm_width
    assert found.core_radius >= np.hypot(found.tray.pitch_x, found.tray.pitch_y) / 2 + edge(
        hardware().screws["M3"]
    )
    assert found.reach >= found.outer_radius


def test_screws_and_wire_fit_into_the_least_width() -> None:
    for size, screw in hardware().screws.items():
        if size not in ("M3", "M4", "M5"):
            continue
        width = least_arm_width(screw)
        between = width - 2 * edge(screw) - screw.clearance_hole
        assert between >= body_module.WIRE_BORE + 2 * 1.5e-3


def test_washers_side_by_side_do_not_touch_in_the_least_width() -> None:
    for size in ("M3", "M4", "M5"):
        screw = hardware().screws[size]
        apart = least_arm_width(screw) - 2 * edge(screw) - screw.washer_diameter
        assert apart > 0.1e-3, size


def test_a_tray_that_meets_every_leg_is_refused(brief: Brief) -> None:
    wide = replace(brief, battery=replace(brief.battery, length=0.9, width=0.9))
    with pytest.raises(GeometryError, match="battery tray and landing legs"):
        made(wide, "six")


def test_legs_stand_over_a_slung_payload_where_that_is_asked_for(brief: Brief) -> None:
    tall = replace(brief, frame=replace(brief.frame, payload_room="slung"))
    more = made(tall, "six").leg.height - made(brief, "six").leg.height
    assert more == pytest.approx(brief.payload.height)
    fixed = replace(brief.payload, slung=False, below=0.3)
    heights = [made(replace(each, payload=fixed), "six").leg.height for each in (tall, brief)]
    assert heights[0] == heights[1]


def test_legs_lean_further_for_a_steeper_slope(brief: Brief) -> None:
    """The feet then stand outside the cone of the slope about the top of the legs."""
    plain = made(brief, "six").leg
    assert plain.splay == pytest.approx(0.25 * plain.height)
    steep = replace(brief, limits=replace(brief.limits, tip_angle=radians(25.0)))
    body = made(steep, "six")
    assert body.leg.splay > plain.splay
    bolts = body.clamp.root_radius + body.clamp.first + body.clamp.pitch_x + 10e-3
    narrowest = feet_share([ANGLES["six"][arm] for arm in body.leg.arms])
    aside = (bolts + body.leg.splay) * narrowest
    assert aside / body.leg.height == pytest.approx(tan(1.1 * radians(25.0)))


def test_legs_lean_no_further_than_half_their_height(brief: Brief) -> None:
    """Three legs under four arms leave the middle on a side of their triangle: no lean helps."""
    three = replace(brief, frame=replace(brief.frame, legs=3))
    cross = tuple(radians(each) for each in (0.0, 90.0, 180.0, -90.0))
    leg = body_for(three, cross, False, WIDTH, hardware()).leg
    assert leg.splay == pytest.approx(0.5 * leg.height)


@pytest.mark.parametrize(
    ("name", "wanted", "expected"),
    [("three", 4, 3), ("four", 4, 4), ("six", 3, 3), ("eight", 8, 8)],
)
def test_legs_are_as_many_as_wanted_or_as_arms(name: str, wanted: int, expected: int) -> None:
    assert len(leg_arms(ANGLES[name], wanted)) == expected


def stance(angles: list[float]) -> float:
    """Least reach of unit feet over all directions in which the craft could tip."""
    ways = np.linspace(0.0, tau, 7201)
    return float(np.cos(ways[:, None] - np.array(angles)).max(axis=1).min())


@pytest.mark.parametrize(("name", "wanted"), [("six", 4), ("eight", 4), ("eight", 3), ("free", 4)])
def test_legs_stand_widest(name: str, wanted: int) -> None:
    angles = ANGLES[name]
    picked = stance([angles[i] for i in leg_arms(angles, wanted)])
    best = max(
        stance([angles[i] for i in each]) for each in combinations(range(len(angles)), wanted)
    )
    assert picked == pytest.approx(best, abs=1e-4)


@pytest.mark.parametrize(("name", "wanted"), [("six", 4), ("free", 4), ("three", 3), ("four", 4)])
def test_legs_mirror_left_to_right_where_they_can(name: str, wanted: int) -> None:
    angles = [ANGLES[name][i] for i in leg_arms(ANGLES[name], wanted)]
    for angle in angles:
        assert min(abs(np.exp(1j * angle) - np.exp(-1j * other)) for other in angles) < 1e-9


def test_least_angle_closes_the_ring() -> None:
    assert least_angle((radians(5.0), radians(-7.0), pi)) == pytest.approx(radians(12.0))
    assert least_angle(ANGLES["eight"]) == pytest.approx(tau / 8)


@pytest.mark.parametrize("turn", [0.0, 0.3, 1.2, 2.9])
def test_rectangles_meet_only_within_the_gap(turn: float) -> None:
    one = rectangle(0.0, 0.1, 0.02, turn)
    beside = rectangle(0.103, 0.2, 0.02, turn)
    for pair in ((one, beside), (beside, one)):
        assert not rectangles_meet(*pair, 2.9e-3)
        assert rectangles_meet(*pair, 3.1e-3)


def test_crossing_rectangles_meet_though_no_corner_lies_inside() -> None:
    assert rectangles_meet(rectangle(-0.1, 0.1, 0.01, 0.0), rectangle(-0.1, 0.1, 0.01, pi / 2), 0.0)
