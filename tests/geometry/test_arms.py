"""Arms: one valid body over the ranges that sizing searches, and sections equal to formulas.

The formulas are those of a thin-walled rectangle (outer minus inner, parallel-axis theorem), of two
walls and a plate, of a ring and of a bored block, written out here. Issue 2 asks for 1 %; a cut
square to x through a tapering wall is the exact rectangle, so 1e-6 is rounding only.
"""

from dataclasses import replace
from math import atan2, hypot, pi, sin

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from refledge.errors import GeometryError
from refledge.geometry import kernel, kernel_fake
from refledge.geometry.arm import make_arm, make_tube
from refledge.geometry.envelope import underside
from refledge.geometry.mesh import is_watertight, mesh_volume
from refledge.model.parts import ArmDesign, FrameDesign
from tests.geometry.frames import HARDWARE, arm, frame, tube_arm

FAMILIES = ("box", "channel", "truss")
EXACT = 1e-6


def build(one: ArmDesign) -> kernel.Solid:
    return make_arm(one, frame(6, one), HARDWARE)


def rectangles(*parts: tuple[float, float, float, float]) -> tuple[float, float, float, float]:
    """Area, centroid height, Iy and Iz of rectangles (width, height, middle z, sign)."""
    area = sum(s * b * h for b, h, _, s in parts)
    z = sum(s * b * h * m for b, h, m, s in parts) / area
    Iy = sum(s * (b * h**3 / 12 + b * h * (m - z) ** 2) for b, h, m, s in parts)
    Iz = sum(s * h * b**3 / 12 for b, h, _, s in parts)
    return area, z, Iy, Iz


def compare(solid: kernel.Solid, x: float, expected: tuple[float, float, float, float]) -> None:
    cut = kernel.section(solid, (x, 0, 0), (1, 0, 0))
    area, z, Iy, Iz = expected
    assert cut.size == pytest.approx(area, rel=EXACT)
    assert cut.centroid[2] == pytest.approx(z, abs=1e-8)
    assert cut.second[1, 1] == pytest.approx(Iy, rel=EXACT)
    assert cut.second[2, 2] == pytest.approx(Iz, rel=EXACT)


def test_box_slice_is_outer_minus_inner() -> None:
    one = arm("box")
    x = one.root_length + 0.4 * one.span
    top, low = one.depth_root / 2, underside(one, x)
    inner = top - one.top, low + one.bottom
    b = one.width - 2 * one.side
    expected = rectangles(
        (one.width, top - low, (top + low) / 2, 1.0),
        (b, inner[0] - inner[1], sum(inner) / 2, -1.0),
    )
    compare(build(one), x, expected)


def test_taper_is_linear_between_the_blocks() -> None:
    one = arm("box")
    depths = [
        one.depth_root / 2 - underside(one, one.root_length + s * one.span) for s in (0, 0.5, 1)
    ]
    middle = (one.depth_root + one.depth_tip) / 2
    assert depths == pytest.approx([one.depth_root, middle, one.depth_tip])
    ends = kernel.section(build(one), (0.5e-3, 0, 0), (1, 0, 0))
    solid = one.width * one.depth_root - pi * one.bore**2 / 4
    assert ends.size == pytest.approx(solid, rel=EXACT)


def test_solid_slice_is_a_bored_block() -> None:
    one = arm("box")
    d = one.bore
    area, z, Iy, Iz = rectangles((one.width, one.depth_root, 0.0, 1.0))
    circle = pi * d**4 / 64
    compare(build(one), 0.002, (area - pi * d * d / 4, z, Iy - circle, Iz - circle))


def test_channel_slice_away_from_ribs_is_two_walls_and_a_plate() -> None:
    one = arm("channel", pitch=10.7 * 5, depth_tip=22)  # two ribs over the span
    x = one.root_length + one.span / 2  # the middle node: only the rib's foot on the left wall
    cut = kernel.section(build(replace(one, web=0.4e-3)), (x + 0.020, 0, 0), (1, 0, 0))
    walls = rectangles(
        (one.width, one.top, one.depth_root / 2 - one.top / 2, 1.0),
        (2 * one.side, one.depth_root - one.top, -one.top / 2, 1.0),
    )
    slope = (one.width - 2 * one.side) / (one.span / 2)
    rib = 0.4e-3 / sin(atan2(1, slope)) * (one.depth_root - one.top)
    assert cut.size == pytest.approx(walls[0] + rib, rel=1e-4)


def test_tube_slice_is_a_ring() -> None:
    one = tube_arm()
    cut = kernel.section(make_tube(one), (0.1, 0, 0), (1, 0, 0))
    D, d = one.width, one.bore
    assert cut.size == pytest.approx(pi * (D * D - d * d) / 4, rel=EXACT)
    assert cut.second[1, 1] == pytest.approx(pi * (D**4 - d**4) / 64, rel=EXACT)
    assert kernel.bounds(make_tube(one)) == pytest.approx(
        np.array([[0, -D / 2, -D / 2], [one.length, D / 2, D / 2]]), abs=1e-6
    )


def test_truss_slice_through_a_bottom_node_has_plate_bar_and_chord() -> None:
    """Between nodes: top plate, two chords, and one diagonal in each truss."""
    one = arm("truss", depth_tip=22, pitch=53.5, web=2.0)
    x = one.root_length + one.pitch / 4  # half-way down the first diagonal
    cut = kernel.section(build(one), (x, 0, 0), (1, 0, 0))
    rise = one.depth_root - one.top - one.bottom
    steep = hypot(rise, one.pitch / 2) / (one.pitch / 2)
    bars = 2 * one.side * (one.bottom + one.web * steep)
    assert cut.size == pytest.approx(one.width * one.top + bars, rel=1e-4)


def test_truss_diagonals_start_at_the_top_of_the_root_block() -> None:
    """Close to the root block, high up is bar and low down, above the chord, is window."""
    one = arm("truss", depth_tip=22, pitch=53.5, web=2.0)
    x = one.root_length + one.pitch / 16
    rise = one.depth_root - one.top - one.bottom
    y = one.width / 2 - one.side / 2
    filled = []
    for share in (1 / 8, 7 / 8):
        z = one.depth_root / 2 - one.top - share * rise
        probe = kernel.box((x - 3e-4, y - 3e-4, z - 3e-4), (x + 3e-4, y + 3e-4, z + 3e-4))
        filled.append(kernel.volume(kernel.common(build(one), probe)) / kernel.volume(probe))
    assert filled == pytest.approx([1.0, 0.0], abs=1e-6)


def test_top_face_is_flat_and_everything_lies_below_it() -> None:
    for family in FAMILIES:
        one = arm(family)
        low, high = kernel.bounds(build(one))
        assert high == pytest.approx([one.length, one.width / 2, one.depth_root / 2], abs=1e-6)
        assert low == pytest.approx([0, -one.width / 2, -one.depth_root / 2], abs=1e-6)


def test_wire_can_pass_from_root_to_exit() -> None:
    """A thin rod down the bore, and one through the exit, meet no plastic."""
    one = arm("box")
    solid = build(one)
    rod = kernel.box((-0.01, -0.001, -0.001), (one.root_length + 0.03, 0.001, 0.001))
    assert kernel.volume(kernel.common(solid, rod)) == pytest.approx(0.0, abs=1e-15)
    x = one.length - one.tenon_length - one.bore
    z = (one.depth_root / 2 + underside(one, x)) / 2
    left = kernel.box((x - 0.002, 0, z - 0.002), (x + 0.002, 0.02, z + 0.002))
    assert kernel.volume(kernel.common(solid, left)) == pytest.approx(0.0, abs=1e-15)
    right = kernel.box((x - 0.002, -0.02, z - 0.002), (x + 0.002, 0, z + 0.002))
    assert kernel.volume(kernel.common(solid, right)) == pytest.approx(
        0.004**2 * one.side, rel=1e-6
    )


@pytest.mark.parametrize("family", FAMILIES)
def test_both_kernels_make_the_same_arm(family: str) -> None:
    one = arm(family)
    counted = kernel_fake.volume(make_arm(one, frame(6, one), HARDWARE, kernel_fake), 150_000)
    # one point in each of 150,000 cells: see kernel_fake; 0.5 % is the bar
    assert counted == pytest.approx(kernel.volume(build(one)), rel=5e-3)


@pytest.mark.parametrize("family", FAMILIES)
def test_arm_is_symmetric_left_to_right(family: str) -> None:
    """Centroid on the middle plane but for the wire exit and an odd rib; truss exactly."""
    found = kernel.moments(build(arm(family)))
    if family == "truss":
        assert found.centroid[1] == pytest.approx(0.0, abs=1e-9)
    assert abs(found.centroid[1]) < 0.3e-3


def test_bars_that_fill_their_windows_leave_a_solid_web() -> None:
    """A web wider than the pitch leaves no window, and still one valid body."""
    thick = kernel.volume(build(arm("truss", web=16, pitch=12)))
    thin = kernel.volume(build(arm("truss", web=1.2, pitch=12)))
    one = arm("truss")
    walls = 2 * one.side * (one.depth_root + one.depth_tip) / 2 * one.span
    assert 0 < thick - thin < walls


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"bore": 10}, "between the root bolts and bore"),
        ({"width": 16}, "beside the root bolts"),
        ({"side": 11}, "between the side walls"),
        ({"top": 8, "bottom": 6}, "between top and bottom at the tip"),
        ({"length": 93}, "of free span"),
    ],
)
def test_what_cannot_be_drawn_is_said_by_name(changes: dict[str, float], said: str) -> None:
    with pytest.raises(GeometryError, match=f"arm .box.*{said}"):
        build(arm("box", **changes))


def test_an_unknown_family_is_refused() -> None:
    with pytest.raises(GeometryError, match="no arm family"):
        build(replace(arm(), family="wing"))


@st.composite
def arms(draw: st.DrawFn) -> tuple[ArmDesign, FrameDesign]:
    """Any family over the ranges that sizing searches."""

    def mm(low: float, high: float) -> float:
        return round(draw(st.floats(low, high)), 2) * 1e-3  # no printer knows finer steps

    family = draw(st.sampled_from(FAMILIES))
    width, depth = mm(14, 40), mm(10, 45)
    top, bottom, side = mm(0.9, 4), mm(0.9, 4), mm(0.9, 4)
    tip = max(0.010, round(depth * draw(st.floats(0.4, 1.0)), 5))
    pitch_y = width - 0.0055
    span, web, pitch = mm(40, 350), mm(0.9, 4), mm(8, 60)
    bore = min(0.008, 0.6 * tip, pitch_y - 0.0036 - 0.0008)
    assume(family != "channel" or pitch > 4 * web)  # ribs leave pockets between them
    assume(tip - top - bottom > 0.001 and width - 2 * side > 0.001)
    one = ArmDesign(
        family=family,
        length=0.040 + span + 0.053,
        width=width,
        depth_root=max(depth, tip),
        depth_tip=tip,
        root_length=0.040,
        tenon_length=0.053,
        side=side,
        top=top,
        bottom=0.0 if family == "channel" else bottom,
        pitch=0.0 if family == "box" else min(pitch, span),
        web=web,
        bore=bore,
        material="petg",
    )
    base = frame(6, one)
    return one, replace(
        base,
        clamp=replace(base.clamp, pitch_y=pitch_y),
        mount=replace(base.mount, pitch_y=pitch_y),
    )


SAMPLED = settings(
    max_examples=4,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)


def must_be_sound(one: ArmDesign, whole: FrameDesign) -> None:
    solid = make_arm(one, whole, HARDWARE)
    assert kernel.is_valid_single(solid)
    mesh = kernel.tessellate(solid)
    assert is_watertight(mesh)
    volume = kernel.volume(solid)
    assert mesh_volume(mesh) == pytest.approx(volume, rel=5e-3)
    low, high = kernel.bounds(solid)
    assert 0.05 < volume / np.prod(high - low) < 1


@given(arms())
@SAMPLED
def test_arms_are_sound_over_the_ranges(case: tuple[ArmDesign, FrameDesign]) -> None:
    must_be_sound(*case)


@pytest.mark.slow
@given(arms())
@settings(SAMPLED, max_examples=40)
def test_many_arms_are_sound_over_the_ranges(case: tuple[ArmDesign, FrameDesign]) -> None:
    must_be_sound(*case)
