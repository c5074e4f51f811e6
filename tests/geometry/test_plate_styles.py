"""Centre plates with a rim, or as a whole disc, round the core and pads that all have."""

from dataclasses import replace
from math import pi

import numpy as np
import pytest

from refledge.geometry import kernel
from refledge.geometry.outlines import rim_windows
from refledge.geometry.plate import make_plate, plate_holes
from refledge.geometry.profile import circle, polyline
from refledge.model.parts import FrameDesign
from tests.geometry.frames import HARDWARE, frame, layout

KINDS = {"six-x": 6, "four-plus": 4, "three-pairs": 3}


def styled(count: int, style: str) -> FrameDesign:
    base = frame(count)
    return replace(
        base, plate=replace(base.plate, style=style, rim=8e-3 if style == "ring" else 0.0)
    )


def plate(kind: str, style: str, which: str = "upper") -> kernel.Solid:
    one = styled(KINDS[kind], style)
    return make_plate(which, one, layout(kind, one), HARDWARE)


@pytest.mark.parametrize("kind", KINDS)
def test_a_rim_plate_is_the_spider_and_a_rim_with_rounded_corners(kind: str) -> None:
    one = styled(KINDS[kind], "ring")
    spider, ring, full = (plate(kind, each) for each in ("spider", "ring", "full"))
    rims = [circle((0.0, 0.0), 2 * (one.plate.outer_radius - less)) for less in (0.0, 8e-3)]
    holes = plate_holes(one, layout(kind, one), HARDWARE, "upper")
    rim = kernel.extrude(rims[0], 0.0, one.plate.thickness, [rims[1]])
    rim = kernel.cut(rim, *(kernel.extrude(each.loop, -1e-3, 1e-2) for each in holes))
    both = kernel.fuse(spider, rim)
    assert kernel.volume(kernel.cut(both, ring)) < 1e-12, "nothing of either is missing"
    corners = 2 * one.n_arms * (1 - pi / 4) * 4e-3**2 * one.plate.thickness
    more = kernel.volume(ring) - kernel.volume(both)
    assert 0.3 * corners < more < 2.0 * corners
    assert kernel.volume(kernel.cut(ring, full)) < 1e-12
    area = pi * one.plate.outer_radius**2 - sum(pi / 4 * each.diameter**2 for each in holes)
    assert kernel.volume(full) == pytest.approx(area * one.plate.thickness, rel=1e-6)


@pytest.mark.parametrize("which", ["upper", "lower"])
@pytest.mark.parametrize("style", ["ring", "full"])
def test_every_style_is_one_sound_body_with_the_same_holes(style: str, which: str) -> None:
    solid = plate("six-x", style, which)
    assert kernel.is_valid_single(solid)
    one = styled(6, style)
    for hole in plate_holes(one, layout("six-x", one), HARDWARE, which):
        x, y = hole.centre
        rod = kernel.cone((x, y, -1e-3), hole.diameter - 1e-5, hole.diameter - 1e-5, 1e-2)
        assert kernel.volume(kernel.common(solid, rod)) < 1e-14, hole.name


def test_openings_are_alike_between_even_arms_and_closed_where_there_is_no_room() -> None:
    angles = [k * pi / 3 for k in range(6)]
    six = rim_windows(angles, 0.055, 0.024, 0.030, 0.008, 0.004)
    assert len(six) == 6
    far = [np.hypot(*polyline(each).T) for each in six]
    assert all(each.max() == pytest.approx(0.055, abs=1e-5) for each in far)
    assert min(each.min() for each in far) > 0.030 - 1e-9
    assert rim_windows(angles, 0.055, 0.050, 0.030, 0.008, 0.004) == []
    assert rim_windows(angles, 0.034, 0.024, 0.030, 0.008, 0.004) == []
    uneven = [0.0, 0.7, 2.0, 3.5, 5.0]
    found = rim_windows(uneven, 0.060, 0.024, 0.030, 0.008, 0.004)
    assert len(found) == 4, "none in the narrowest gap, where the fillet reaches the rim"
