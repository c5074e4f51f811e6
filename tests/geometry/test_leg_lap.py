"""Legs in two parts: together they are the whole leg, bolts pass both, and neither hangs in air."""

from dataclasses import replace

import numpy as np
import pytest

from refledge.errors import GeometryError
from refledge.geometry import kernel
from refledge.geometry.leg import lap_bolts, make_leg
from refledge.geometry.leg_lap import leg_lap, make_leg_part
from refledge.geometry.parts import part_quantities
from refledge.geometry.placing import place_all
from refledge.geometry.poses import print_pose
from refledge.model.parts import FrameDesign
from tests.geometry.briefs import brief
from tests.geometry.frames import HARDWARE, frame, layout
from tests.geometry.holders import parted_legs


def parts() -> tuple[FrameDesign, kernel.Solid, kernel.Solid]:
    one = parted_legs()
    return one, make_leg_part("upper", one, HARDWARE), make_leg_part("lower", one, HARDWARE)


def test_both_parts_are_the_whole_less_the_gaps_at_the_shoulders() -> None:
    one, upper, lower = parts()
    whole = kernel.volume(make_leg(one, HARDWARE))
    gaps = 2 * one.fit_gap * one.leg.lap_depth * one.leg.thickness / 2
    assert kernel.volume(upper) + kernel.volume(lower) == pytest.approx(whole - gaps, rel=2e-4)
    assert kernel.volume(kernel.common(upper, lower)) < 1e-15


def test_each_part_keeps_its_side_of_the_joint() -> None:
    one, upper, lower = parts()
    lap = leg_lap(one, HARDWARE)
    x, z = lap.middle
    for part, here in ((upper, -1.0), (lower, 1.0)):
        for side in (-1.0, 1.0):
            probe = kernel.move(
                kernel.box((-1e-4, -1e-4, -1e-4), (1e-4, 1e-4, 1e-4)),
                np.eye(3), np.array([x, side * one.leg.thickness / 4, z]),
            )  # fmt: skip
            assert (kernel.volume(kernel.common(part, probe)) > 0.0) is (side == here)


def test_bolts_pass_both_parts_with_plastic_round_them() -> None:
    one, upper, lower = parts()
    bolts = lap_bolts(one, HARDWARE)
    assert np.hypot(*np.subtract(*bolts)) == pytest.approx(
        one.leg.lap - HARDWARE.screws["M3"].washer_diameter - 2.4e-3
    )
    for part in (upper, lower):
        across = [each for each in kernel.rounds(part) if abs(each.axis[1]) > 0.99]
        holes = [each for each in across if each.radius < 2.5e-3]
        assert len({(round(e.centre[0], 5), round(e.centre[2], 5)) for e in holes}) >= 2
        for x, z in bolts:
            near = min(np.hypot(e.centre[0] - x, e.centre[2] - z) for e in holes)
            assert near < 1e-6
    assert one.leg.lap_depth / 2 - HARDWARE.screws["M3"].clearance_hole / 2 > 2e-3


@pytest.mark.parametrize("which", ["upper", "lower"])
def test_tongues_lie_on_the_bed(which: str) -> None:
    """As posed, what is cut away for the other part's tongue lies above this one's."""
    one, upper, lower = parts()
    rotation, _ = print_pose(f"leg_{which}", one)
    assert np.linalg.det(rotation) == pytest.approx(1.0)
    x, z = leg_lap(one, HARDWARE).middle
    solid = upper if which == "upper" else lower
    laid = kernel.move(solid, rotation, np.zeros(3))
    (_, _, low), (_, _, high) = kernel.bounds(laid)
    at = rotation @ np.array([x, 0.0, z])
    for level, there in ((low + 1e-3, True), (high - 1e-3, False)):
        probe = kernel.move(
            kernel.box((-1e-4, -1e-4, -1e-4), (1e-4, 1e-4, 1e-4)),
            np.eye(3), np.array([at[0], at[1], level]),
        )  # fmt: skip
        assert (kernel.volume(kernel.common(laid, probe)) > 0.0) is there


def test_counts_and_places() -> None:
    one = parted_legs()
    counts = part_quantities(one)
    assert counts["leg_upper"] == counts["leg_lower"] == one.leg.count
    assert "leg" not in counts
    assert "leg_upper" not in part_quantities(frame())
    put = place_all(one, layout("six-x", one), brief())
    names = [each.name for each in put if each.key.startswith("leg")]
    assert names[:2] == ["upper leg 1", "lower leg 1"]


def test_no_joint_in_a_short_strut() -> None:
    one = parted_legs()
    short = replace(one, leg=replace(one.leg, split=0.02))
    with pytest.raises(GeometryError, match="no room for a joint"):
        make_leg_part("upper", short, HARDWARE)
    with pytest.raises(GeometryError, match="in one piece"):
        leg_lap(frame(), HARDWARE)
