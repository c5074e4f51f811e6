"""Every named bore and face is there on the real body: circles found by cutting, faces by slabs."""

from dataclasses import replace
from functools import cache
from math import pi

import numpy as np
import pytest

from refledge.errors import GeometryError
from refledge.geometry import kernel
from refledge.geometry.features import part_features
from refledge.geometry.named import Bore, Disc, Features, Plane, Triple
from refledge.geometry.profile import arc_circle
from refledge.model.parts import FrameDesign
from tests.geometry.frames import (
    HARDWARE,
    arm,
    clipped_frame,
    damped_frame,
    footed_frame,
    frame,
    guarded_frame,
    hinged_frame,
    layout,
    nut_frame,
    railed_frame,
    skidded_frame,
    solids,
    standing_frame,
    tube_arm,
)
from tests.geometry.holders import covered_frame, held_frame, parted_legs
from tests.geometry.splits import split_frame

FRAMES = {
    "six-x": ("six-x", frame(6)),
    "three-pairs": ("three-pairs", frame(3, arm("channel"), 2)),
    "split": ("six-x", split_frame("truss")),
    "level split": ("six-x", split_frame("box", depth_tip=22)),
    "standing": ("six-x", standing_frame()),
    "footed": ("six-x", footed_frame()),
    "guards": ("six-x", guarded_frame()),
    "guards in halves": ("six-x", guarded_frame("M3")),
    "skids": ("six-x", skidded_frame()),
    "railed": ("six-x", railed_frame()),
    "damped": ("six-x", damped_frame()),
    "clips": ("six-x", clipped_frame()),
    "nuts": ("six-x", nut_frame()),
    "damped nuts": ("six-x", nut_frame(damped=True)),
    "holders": ("six-x", held_frame()),
    "cover": ("six-x", covered_frame()),
    "legs in parts": ("six-x", parted_legs()),
    "hinged": ("six-x", hinged_frame()),
    "tube": ("six-x", frame(6, tube_arm())),
}
SHOWN = {  # parts that are not alike in an earlier frame
    "six-x": tuple(solids("six-x", frame(6))),
    "three-pairs": ("arm", "mount"),
    "split": ("arm_inner", "arm_outer"),
    "level split": ("arm_inner", "arm_outer"),
    "standing": ("tray",),
    "footed": ("foot",),
    "guards": ("guard",),
    "guards in halves": ("guard_left", "guard_right"),
    "skids": ("skid",),
    "railed": ("tray", "rail", "carrier"),
    "damped": ("seat", "upper_plate"),
    "clips": ("clip",),
    "nuts": ("seat",),
    "damped nuts": ("seat",),
    "holders": ("receiver_holder", "antenna_holder"),
    "cover": ("cover",),
    "legs in parts": ("leg_upper", "leg_lower"),
    "hinged": ("arm", "upper_plate", "lower_plate"),
    "tube": ("tube", "root_block", "cap", "mount"),
}
CASES = [(name, key) for name, keys in SHOWN.items() for key in keys]
HAIR = 1e-5  # m: just inside and just outside a face or the end of a bore


@cache
def features(name: str, key: str) -> Features:
    kind, one = FRAMES[name]
    return part_features(key, one, HARDWARE, layout(kind, one))


def upright(axis: Triple) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    """Rotation that brings ``axis``, x or z, to z."""
    if axis == (0.0, 0.0, 1.0):
        return np.eye(3)
    assert axis == (1.0, 0.0, 0.0)
    return np.array([[0.0, 0.0, -1.0], [0.0, 1.0, 0.0], [1.0, 0.0, 0.0]])


def swept(solid: kernel.Solid, bore: Bore, along: float) -> float:
    """Angle of circle of the bore's radius about its centre at ``along`` from its middle, rad."""
    rotation = upright(bore.axis)
    x, y, z = rotation @ np.array(bore.centre)
    loops = kernel.contours(kernel.move(solid, rotation, np.zeros(3)), z + along)
    arcs = [arc_circle(each) for loop in loops for each in loop if each.via is not None]
    near = [
        abs(sweep)
        for (cx, cy), radius, _, sweep in arcs
        if np.hypot(cx - x, cy - y) < 1e-7 and abs(radius - bore.radius) < 1e-7
    ]
    return float(sum(near))


def slab(plane: Plane, low: float) -> kernel.Solid:
    """The plane's outline, HAIR thick from ``low`` upwards, m."""
    x, y, _ = plane.origin
    if isinstance(plane.outline, Disc):
        diameter = 2 * plane.outline.radius
        return kernel.cone((x, y, low), diameter, diameter, HAIR)
    dx, dy = plane.outline.length / 2, plane.outline.width / 2
    return kernel.box((x - dx, y - dy, low), (x + dx, y + dy, low + HAIR))


def filled(solid: kernel.Solid, plane: Plane) -> tuple[float, float]:
    """Share of the outline that is plastic just inside and just outside the face."""
    z, up = plane.origin[2], plane.normal[2] > 0
    slabs = slab(plane, z - HAIR), slab(plane, z)
    under, over = (kernel.volume(kernel.common(solid, s)) / kernel.volume(s) for s in slabs)
    return (under, over) if up else (over, under)


@pytest.mark.parametrize(
    ("name", "key"),
    [case for case in CASES if case[1] not in ("foot", "skid", "clip", "cover", "leg_lower")],
)
def test_every_bore_is_a_whole_circle_over_its_whole_length(name: str, key: str) -> None:
    kind, one = FRAMES[name]
    solid = solids(kind, one)[key]
    bores = {n: each for n, each in features(name, key).items() if isinstance(each, Bore)}
    assert bores
    some = dict(list(bores.items())[::6]) if "plate" in key else bores
    for label, bore in some.items():
        ends = bore.length / 2
        assert swept(solid, bore, 0.0) == pytest.approx(2 * pi, rel=1e-6), label
        assert swept(solid, bore, ends - HAIR) == pytest.approx(2 * pi, rel=1e-6), label
        assert swept(solid, bore, HAIR - ends) == pytest.approx(2 * pi, rel=1e-6), label


@pytest.mark.parametrize(("name", "key"), CASES)
def test_every_face_has_plastic_behind_it_and_none_before(name: str, key: str) -> None:
    kind, one = FRAMES[name]
    solid = solids(kind, one)[key]
    for label, plane in features(name, key).items():
        if isinstance(plane, Plane):
            inside, outside = filled(solid, plane)
            assert inside > 0.5, label
            assert outside == pytest.approx(0.0, abs=1e-9), label


@pytest.mark.parametrize(
    ("name", "key", "bore"),
    [
        ("six-x", "mount", "motor_bore_1"),
        ("six-x", "tray", "screw_bore_2"),  # from the countersink to the strap groove
        ("standing", "tray", "screw_bore_1"),  # from the countersink to the boss's top
        ("six-x", "seat", "foot_bore_3"),
        ("six-x", "seat", "top_bore_1"),
        ("hinged", "lower_plate", "leg_bore_1"),  # from below to the countersink
        ("split", "arm_inner", "lap_bore_1"),
        ("split", "arm_outer", "lap_bore_1"),
    ],
)
def test_bores_end_where_they_say(name: str, key: str, bore: str) -> None:
    kind, one = FRAMES[name]
    solid, found = solids(kind, one)[key], features(name, key)[bore]
    assert isinstance(found, Bore)
    past = [abs(swept(solid, found, s * (found.length / 2 + 3 * HAIR))) for s in (-1, 1)]
    assert min(past) == 0
    assert max(past) < 2 * pi - 0.1


def test_names_of_each_part() -> None:
    def names(name: str, key: str) -> set[str]:
        return {each.rstrip("12345678") for each in features(name, key)}

    clamp = {"clamp_bore_", "clamp_top", "clamp_bottom"}
    tenon = {"tenon_bore_", "tenon_top", "tenon_bottom"}
    assert names("six-x", "arm") == clamp | tenon
    assert names("split", "arm_inner") == clamp | {"lap_bore_", "lap_face"}
    assert names("split", "arm_outer") == tenon | {"lap_bore_", "lap_face", "lap_seat_"}
    assert names("six-x", "mount") == {"mount_bolt_", "motor_bore_", "motor_seat"}
    assert names("six-x", "leg") == {"flange_bore_", "flange_top", "foot"}
    assert names("six-x", "seat") == {"foot_bore_", "top_bore_", "top"}
    assert names("six-x", "tray") == {"screw_bore_", "top"}
    assert names("standing", "tray") == {"screw_bore_", "boss_"}
    assert {"clamp_bore_24", "tray_bore_4", "centre_bore_1"} <= set(
        features("six-x", "lower_plate")
    )
    assert "seat_bore_4" in features("six-x", "upper_plate")


def test_bores_of_mating_parts_share_their_axes() -> None:
    one = FRAMES["split"][1]
    inner, outer = (part_features(f"arm_{w}", one, HARDWARE) for w in ("inner", "outer"))
    for i in range(1, 5):
        upper, lower = inner[f"lap_bore_{i}"], outer[f"lap_bore_{i}"]
        assert isinstance(upper, Bore)
        assert isinstance(lower, Bore)
        assert upper.centre[:2] == lower.centre[:2]
        bottom, top = upper.centre[2] - upper.length / 2, lower.centre[2] + lower.length / 2
        assert bottom == pytest.approx(top, abs=1e-12)


def test_what_is_not_there_is_refused() -> None:
    one: FrameDesign = frame(6)
    with pytest.raises(GeometryError, match=r"no part arm_inner in this frame; known: .*arm"):
        part_features("arm_inner", one, HARDWARE)
    with pytest.raises(GeometryError, match="layout, which was not given"):
        part_features("upper_plate", one, HARDWARE)
    taped = replace(one, seat=replace(one.seat, pitch=0.0))
    assert "top_bore_1" not in part_features("seat", taped, HARDWARE)
    assert "tenon_top" in part_features("arm", FRAMES["split"][1], HARDWARE)
