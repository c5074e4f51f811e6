"""Plates, mounts, legs, trays, seats and tube fittings: sound, and with their holes in place."""

from dataclasses import replace
from math import cos, hypot, pi, radians, sin

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from refledge.errors import GeometryError
from refledge.geometry import kernel
from refledge.geometry.fittings import make_cap, make_root_block
from refledge.geometry.leg import leg_line, make_leg
from refledge.geometry.mesh import is_watertight, mesh_volume
from refledge.geometry.mount import make_mount
from refledge.geometry.outlines import pads
from refledge.geometry.parts import BOUGHT, PART_NAMES, part_quantities
from refledge.geometry.plate import make_plate
from refledge.geometry.poses import print_pose
from refledge.geometry.profile import Loop, arc_circle, polyline
from refledge.model.parts import FrameDesign
from tests.geometry.frames import (
    HARDWARE,
    arm,
    frame,
    layout,
    solids,
    standing_frame,
    tube_arm,
)

FRAMES = {
    "six-x": ("six-x", frame(6)),
    "four-plus": ("four-plus", frame(4, arm("channel"))),
    "three-pairs": ("three-pairs", frame(3, arm("truss"), 2)),
    "eight-x": ("eight-x", replace(frame(8), clamp=replace(frame(8).clamp, root_radius=0.05))),
    "tube": ("six-x", frame(6, tube_arm())),
    "standing": ("six-x", standing_frame()),
    "tube-pairs": ("three-pairs", frame(3, tube_arm(), 2)),
}
PLAY = settings(
    max_examples=10,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)


def fine(value: float) -> float:
    """No printer knows finer steps than a hundredth of a millimetre."""
    return round(value, 5)


def roomy(kind: str, one: FrameDesign) -> FrameDesign:
    """Eight arms need a larger core."""
    if kind != "eight-x":
        return one
    return replace(one, plate=replace(one.plate, outer_radius=0.0915, core_radius=0.068))


def widths(loop: Loop) -> tuple[float, float]:
    points = polyline(loop, per_arc=64)
    distances = np.hypot(*points.T)
    return float(distances.min()), float(distances.max())


def area(loop: Loop) -> float:
    x, y = polyline(loop, per_arc=256).T
    return float(abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2)


@pytest.mark.parametrize("name", FRAMES)
def test_every_part_is_one_closed_body(name: str) -> None:
    kind, one = FRAMES[name]
    one = roomy(kind, one)
    made = solids(kind, one)
    assert set(made) == set(part_quantities(one)) <= set(PART_NAMES)
    for key, solid in made.items():
        assert kernel.is_valid_single(solid), key
        mesh = kernel.tessellate(solid)
        assert is_watertight(mesh), key
        assert mesh_volume(mesh) == pytest.approx(kernel.volume(solid), rel=5e-3), key


def test_quantities_follow_the_frame() -> None:
    six, pairs, tube = frame(6), frame(3, None, 2), frame(6, tube_arm())
    assert part_quantities(six)["mount"] == part_quantities(six)["arm"] == 6
    assert part_quantities(pairs)["mount"] == 6
    assert "cap" not in part_quantities(frame(3, tube_arm(), 2))
    assert part_quantities(tube) | {"arm": 0} == part_quantities(tube) | {"arm": 0, "tube": 6}
    assert (part_quantities(tube)["root_block"], part_quantities(tube)["cap"]) == (12, 6)


def test_pads_round_a_core_match_the_sum_of_their_pieces() -> None:
    """Disc and four pads without fillets: disc plus pads minus the chord's segment, each."""
    core, half, reach = 0.05, 0.01, 0.08
    found = area(pads([0, pi / 2, pi, -pi / 2], reach, 2 * half, core, 1e-9, 0))
    chord = (core**2 - half**2) ** 0.5
    pad = 2 * half * (reach - chord)
    segment = core**2 * np.arcsin(half / core) - half * chord
    assert found == pytest.approx(pi * core**2 + 4 * (pad - segment), rel=1e-4)


@given(
    st.integers(3, 8),
    st.floats(0.012, 0.040).map(fine),
    st.floats(0.02, 0.07).map(fine),
    st.floats(0.001, 0.012).map(fine),
    st.floats(0, 1),
)
@PLAY
def test_pads_stay_within_reach_and_outside_the_core(
    n: int, width: float, core: float, fillet: float, turned: float
) -> None:
    half_angle = pi / n
    crossing = width / 2 / sin(half_angle)
    reach = max(core, crossing / cos(half_angle)) + 0.02 + fillet / cos(half_angle)
    angles = [2 * half_angle * (i + turned) for i in range(n)]
    loop = pads(angles, reach, width, core, fillet, 0.002)
    least, most = widths(loop)
    assert least >= min(core, crossing) - 1e-6
    assert most <= hypot(reach, width / 2)
    solid = kernel.extrude(loop, 0, 0.004)
    assert kernel.is_valid_single(solid)


def test_fillets_touch_pad_and_core() -> None:
    """Each fillet's circle stands its radius from the pad's edge and outside the core."""
    loop = pads([0, pi / 3, -pi / 3, pi], 0.09, 0.02, 0.05, 0.006, 0.0)
    circles = [arc_circle(each) for each in loop if each.via is not None]
    fillets = [(c, r) for c, r, _, _ in circles if r < 0.02]
    assert len(fillets) == 8
    for (x, y), r in fillets:
        assert r == pytest.approx(0.006, rel=1e-6)
        assert hypot(x, y) == pytest.approx(0.056, rel=1e-6)


def test_plate_corners_stay_inside_the_outer_radius() -> None:
    one = frame(6)
    plate = make_plate("upper", one, layout("six-x", one), HARDWARE)
    vertices = kernel.tessellate(plate).vertices
    assert np.hypot(vertices[:, 0], vertices[:, 1]).max() <= one.plate.outer_radius + 1e-9
    assert np.hypot(vertices[:, 0], vertices[:, 1]).max() > 0.97 * one.plate.outer_radius


def test_holes_that_leave_no_plastic_are_refused() -> None:
    one = frame(6)
    near = replace(one, tray=replace(one.tray, pitch_x=0.020, pitch_y=0.010))
    with pytest.raises(GeometryError, match=r"lower plate: .* tray hole .* centre hole"):
        make_plate("lower", near, layout("six-x", near), HARDWARE)
    wide = replace(one, seat=replace(one.seat, foot_pitch=0.09))
    with pytest.raises(GeometryError, match=r"upper plate: .* seat hole .* edge"):
        make_plate("upper", wide, layout("six-x", wide), HARDWARE)


def test_mount_has_room_for_heads_and_wires() -> None:
    one = frame(6)
    mount, screw = make_mount(one, HARDWARE), HARDWARE.screws["M3"]
    for x, y in [(0.008, 0.0), (0.0095, 0.0)]:
        at = x * cos(pi / 4), (x if x < 0.009 else -x) * sin(pi / 4) + y
        head = kernel.cone(
            (*at, 0.0), screw.head_diameter, screw.head_diameter, one.mount.head_depth
        )
        assert kernel.volume(kernel.common(mount, head)) == pytest.approx(0.0, abs=1e-14)
        seat = kernel.cone((*at, 0.0), 0.007, 0.007, one.mount.thickness)
        assert kernel.volume(kernel.common(mount, seat)) > 0
    wire = kernel.box((-0.03, -0.002, 0), (-0.018, 0.002, one.mount.thickness))
    assert kernel.volume(kernel.common(mount, wire)) == pytest.approx(0.0, abs=1e-14)


def test_mount_refuses_what_does_not_fit() -> None:
    one = frame(6)
    with pytest.raises(GeometryError, match="counterbores"):
        make_mount(replace(one, mount=replace(one.mount, head_depth=0.0045)), HARDWARE)
    with pytest.raises(GeometryError, match="for wires"):
        make_mount(replace(one, mount=replace(one.mount, pitch_y=0.0075)), HARDWARE)
    with pytest.raises(GeometryError, match=r"no screw M7; known: M2"):
        make_mount(replace(one, mount=replace(one.mount, screw="M7")), HARDWARE)


def test_leg_stands_on_the_ground_at_the_foot_of_its_line() -> None:
    one = frame(6)
    low, high = kernel.bounds(make_leg(one, HARDWARE))
    assert (low[2], high[2]) == pytest.approx((-one.leg.height, 0.0), abs=1e-6)
    (x0, _), (x1, z1) = leg_line(one, HARDWARE)
    assert x1 - x0 == pytest.approx(one.leg.splay)
    sole = kernel.section(make_leg(one, HARDWARE), (0, 0, z1 + 1e-6), (0, 0, 1))
    assert sole.centroid[0] == pytest.approx(x1, abs=1e-3)
    assert high[1] - low[1] == pytest.approx(one.leg.thickness, abs=1e-6)


def test_leg_leaves_room_for_the_washer() -> None:
    one, washer = frame(6), HARDWARE.screws["M3"].washer_diameter
    below = -one.leg.flange_thickness
    space = kernel.cone((0, one.clamp.pitch_y / 2, below - 0.01), washer, washer, 0.01)
    assert kernel.volume(kernel.common(make_leg(one, HARDWARE), space)) == 0
    narrow = replace(one, leg=replace(one.leg, thickness=0.016))
    with pytest.raises(GeometryError, match=r"leg: .* beside bolts"):
        make_leg(narrow, HARDWARE)


def test_a_bore_too_wide_for_the_motors_screws_is_told_by_its_field() -> None:
    one = frame(6)
    ring = 2 * 8e-3 - HARDWARE.screws["M3"].clearance_hole - one.hole_allowance
    fits = replace(one, mount=replace(one.mount, shaft_bore=ring - 1.7e-3))
    make_mount(fits, HARDWARE)
    wide = replace(one, mount=replace(one.mount, shaft_bore=ring - 1.5e-3))
    with pytest.raises(GeometryError, match=r"leaves 0\.75 mm .* next: a smaller motor\.shaft_cl"):
        make_mount(wide, HARDWARE)


def test_halves_leave_the_squeeze_gap() -> None:
    one = frame(6, tube_arm())
    low, _ = kernel.bounds(make_root_block(one, HARDWARE))
    _, high = kernel.bounds(make_cap(one, HARDWARE))
    mount, _ = kernel.bounds(make_mount(one, HARDWARE))
    tube_axis = -one.arm.width / 2
    assert low[2] == pytest.approx(0.15e-3, abs=1e-6)
    assert high[2] == pytest.approx(-0.15e-3, abs=1e-6)
    assert mount[2] == pytest.approx(tube_axis + 0.15e-3, abs=1e-6)


def test_bolts_that_would_touch_the_tube_are_refused() -> None:
    one = frame(6, tube_arm())
    near = replace(one, clamp=replace(one.clamp, pitch_y=0.0195))
    with pytest.raises(GeometryError, match=r"root block: .* and the tube"):
        make_root_block(near, HARDWARE)


@pytest.mark.parametrize("name", ["six-x", "four-plus", "three-pairs", "standing", "tube"])
def test_every_printed_part_stands_on_about_its_widest_face(name: str) -> None:
    kind, one = FRAMES[name]
    one = roomy(kind, one)
    for key, solid in solids(kind, one).items():
        if key in BOUGHT:
            with pytest.raises(GeometryError, match="not a printed part"):
                print_pose(key, one)
            continue
        rotation, note = print_pose(key, one)
        assert np.linalg.det(rotation) == pytest.approx(1.0)
        assert rotation @ rotation.T == pytest.approx(np.eye(3))
        assert "down" in note or "flat" in note or "side" in note
        laid = kernel.move(solid, rotation, np.zeros(3))
        low, high = kernel.bounds(laid)[:, 2]
        heights = [low + 0.1e-3, *(low + share * (high - low) for share in (0.2, 0.5, 0.8))]
        first, *above = [kernel.section(laid, (0, 0, z), (0, 0, 1)).size for z in heights]
        assert first > 0.5 * max(above), key


@given(
    st.floats(0.06, 0.35).map(fine),
    st.floats(0, 60).map(fine),
    st.floats(6, 20).map(fine),
    st.floats(0.3, 1.0).map(fine),
)
@PLAY
def test_legs_are_sound_over_a_range(height: float, lean: float, top: float, taper: float) -> None:
    one = frame(6)
    leg = replace(
        one.leg,
        height=height,
        splay=min(height * sin(radians(lean)), 0.12),
        depth_top=top * 1e-3,
        depth_foot=top * taper * 1e-3,
    )
    assert kernel.is_valid_single(make_leg(replace(one, leg=leg), HARDWARE))
