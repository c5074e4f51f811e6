"""Parts as the printer is told: roofs over holes across the bed, bevels round what lies on it."""

from dataclasses import replace
from math import pi, sqrt

import numpy as np
import pytest

from refledge.geometry import kernel
from refledge.geometry.features import part_features
from refledge.geometry.mesh import is_watertight
from refledge.geometry.named import Bore
from refledge.geometry.parts import BOUGHT
from refledge.geometry.poses import ON_ITS_SIDE, print_pose
from refledge.geometry.printable import across, printable, roof
from refledge.model.parts import FrameDesign
from tests.geometry.frames import HARDWARE, arm, frame, layout, solids, standing_frame, tube_arm
from tests.geometry.splits import split_frame

LAYER, SPREAD = 2e-4, 2e-4
FLAT = np.eye(3)
FRAMES: dict[str, tuple[str, FrameDesign]] = {
    "box": ("six-x", frame()),
    "truss": ("six-x", frame(6, arm("truss"))),
    "pairs": ("three-pairs", frame(3, arm("channel"), 2)),
    "split": ("six-x", split_frame("truss")),
    "standing": ("six-x", standing_frame()),
    "tube": ("six-x", frame(6, tube_arm())),
}

SHOWN = {  # parts that are not alike in an earlier frame
    "truss": ("arm",),
    "pairs": ("arm", "upper_plate"),
    "split": ("arm_inner", "arm_outer"),
    "standing": ("tray",),
    "tube": ("root_block", "cap", "mount"),
}


def hole(axis: tuple[float, float, float] = (1.0, 0.0, 0.0)) -> Bore:
    return Bore((0.0, 0.0, 0.0), axis, 2e-3, 10e-3)


def test_a_bevel_takes_a_wedge_round_the_foot() -> None:
    """Block 20 by 10 mm, bevel b: perimeter times b^2 / 2, less 4 b^3 / 3 in the corners."""
    block = kernel.box((0, 0, 0), (0.02, 0.01, 0.005))
    made, b = printable(block, {}, FLAT, SPREAD, LAYER), SPREAD + LAYER / 2
    assert made.bevel == b
    lost = kernel.volume(block) - kernel.volume(made.solid)
    assert lost == pytest.approx(0.06 * b**2 / 2 - 4 * b**3 / 3 * 0.5, rel=1e-2)
    half = kernel.section(made.solid, (0, 0, LAYER / 2), (0, 0, 1)).size
    drawn_in = (0.02 - 2 * SPREAD) * (0.01 - 2 * SPREAD)
    assert half == pytest.approx(drawn_in, rel=1e-6)
    assert kernel.section(made.solid, (0, 0, b + 1e-6), (0, 0, 1)).size == pytest.approx(2e-4)


def test_the_bevel_is_on_the_face_that_lies_on_the_bed() -> None:
    block = kernel.box((0, 0, 0), (0.02, 0.01, 0.005))
    made = printable(block, {}, np.diag([1.0, -1.0, -1.0]), SPREAD, LAYER).solid
    low, high = (kernel.section(made, (0, 0, z), (0, 0, 1)).size for z in (1e-5, 5e-3 - 1e-5))
    assert high < low == pytest.approx(2e-4)


def test_no_spread_no_bevel() -> None:
    block = kernel.box((0, 0, 0), (0.02, 0.01, 0.005))
    made = printable(block, {}, FLAT, 0.0, LAYER)
    assert made.bevel == 0.0
    assert kernel.volume(made.solid) == pytest.approx(kernel.volume(block))


def test_edges_too_near_for_a_bevel_take_a_smaller_one() -> None:
    """A fin 0.5 mm wide has no room for 0.3 mm from both sides."""
    fin = kernel.box((0, 0, 0), (0.02, 0.5e-3, 0.005))
    made = printable(fin, {}, FLAT, SPREAD, LAYER)
    assert made.bevel == pytest.approx((SPREAD + LAYER / 2) / 2)
    assert kernel.is_valid_single(made.solid)


def test_a_roof_leans_no_further_than_its_sides_and_bridges_the_rest() -> None:
    """Area above the circle: trapezoid from the chord at r/sqrt2 up, less the circle's cap."""
    r, top = 2e-3, 2e-3 + LAYER
    size = kernel.volume(roof(hole(), FLAT, LAYER)) / (10e-3 + 2e-4)
    low, high = 2 * (r * sqrt(2) - r / sqrt(2)), 2 * (r * sqrt(2) - top)
    assert size == pytest.approx((low + high) / 2 * (top - r / sqrt(2)), rel=0.02)
    (_, _, z0), (_, _, z1) = kernel.bounds(roof(hole(), FLAT, LAYER))
    assert (z0, z1) == pytest.approx((r / sqrt(2), top))


def test_only_bolt_holes_across_the_bed_get_a_roof() -> None:
    upright, level = hole((0.0, 0.0, 1.0)), hole()
    named = {"flange_bore_1": level, "clamp_bore_1": upright, "foot_bore_1": level}
    assert list(across(named, FLAT)) == [level]
    assert list(across(named, ON_ITS_SIDE)) == [level, upright]


def test_the_legs_holes_are_roofed_towards_the_sky() -> None:
    """Hole of the printed section: circle and, above its crown on the bed, the roof."""
    one = frame()
    leg, (rotation, _) = solids("six-x", one)["leg"], print_pose("leg", one)
    made = printable(leg, part_features("leg", one, HARDWARE), rotation, 0.0, LAYER)
    assert made.roofs == 2
    laid = kernel.move(made.solid, rotation, np.zeros(3))
    r = (HARDWARE.screws["M3"].clearance_hole + one.hole_allowance) / 2
    y = rotation @ np.array([0.0, one.clamp.pitch_y / 2, -one.leg.flange_thickness / 2])

    def hollow(rise: float) -> bool:
        probe = kernel.cone((y[0], y[1], y[2] + rise - 1e-5), 2e-5, 2e-5, 2e-5)
        return kernel.volume(kernel.common(laid, probe)) < 1e-16

    assert [hollow(r + 0.8 * LAYER), hollow(r + 1.2 * LAYER), hollow(-r - 0.2 * LAYER)] == [
        True, False, False,
    ]  # fmt: skip


@pytest.mark.parametrize("name", FRAMES)
def test_every_part_can_be_printed_with_its_bevel(name: str) -> None:
    kind, one = FRAMES[name]
    for key, solid in solids(kind, one).items():
        if key in BOUGHT or key not in SHOWN.get(name, (key,)):
            continue
        features = part_features(key, one, HARDWARE, layout(kind, one))
        made = printable(solid, features, print_pose(key, one)[0], SPREAD, LAYER)
        assert made.bevel == SPREAD + LAYER / 2, key
        assert kernel.is_valid_single(made.solid), key
        assert is_watertight(kernel.tessellate(made.solid)), key
        assert 0.97 < kernel.volume(made.solid) / kernel.volume(solid) < 1.0, key


def test_a_round_rim_is_bevelled_too() -> None:
    """Ring of a hole of radius r: 2 pi (r + b/3) b^2 / 2 more is lost (Pappus)."""
    tube = kernel.cut(
        kernel.box((-0.01, -0.01, 0), (0.01, 0.01, 0.005)),
        kernel.cone((0, 0, -1e-3), 4e-3, 4e-3, 7e-3),
    )
    block = kernel.box((-0.01, -0.01, 0), (0.01, 0.01, 0.005))
    b = SPREAD + LAYER / 2
    lost = [
        kernel.volume(each) - kernel.volume(printable(each, {}, FLAT, SPREAD, LAYER).solid)
        for each in (tube, block)
    ]
    assert lost[0] - lost[1] == pytest.approx(2 * pi * (2e-3 + b / 3) * b**2 / 2, rel=1e-4)


def test_roofs_go_with_the_pose() -> None:
    """A mount stood on its edge has its bolts across the bed."""
    one = frame()
    mount = solids("six-x", one)["mount"]
    features = part_features("mount", one, HARDWARE)
    assert printable(mount, features, print_pose("mount", one)[0], 0.0, LAYER).roofs == 0
    assert printable(mount, features, ON_ITS_SIDE, 0.0, LAYER).roofs == 8
    bare = {k: replace(v) for k, v in features.items() if not isinstance(v, Bore)}
    assert printable(mount, bare, ON_ITS_SIDE, 0.0, LAYER).roofs == 0
