"""Wire clips: the wires lie in the trough, the tie in its groove, the clip on the arm."""

from dataclasses import replace
from math import pi

import numpy as np
import pytest

from refledge.errors import GeometryError
from refledge.geometry import kernel
from refledge.geometry.clip import GROOVE, clip_size, make_clip
from refledge.geometry.parts import part_quantities
from refledge.geometry.placing import clip_places
from tests.geometry.frames import clipped_frame, frame, layout

ALONG = np.array([[0.0, 0.0, 1.0], [0.0, 1.0, 0.0], [-1.0, 0.0, 0.0]])


def test_the_wires_lie_in_the_trough_and_no_larger_ones() -> None:
    one = clipped_frame()
    clip, gap = one.clip, one.fit_gap
    assert clip is not None
    solid, (length, _, _) = make_clip(one), clip_size(one)
    middle = np.array([0.0, 0.0, clip.wall + gap + clip.bundle / 2])
    for more, free in ((0.0, True), (2.4 * gap, False)):
        width = clip.bundle + more
        wires = kernel.cone((0.0, 0.0, -length), width, width, 2 * length)
        met = kernel.volume(kernel.common(solid, kernel.move(wires, ALONG, middle)))
        assert (met < 1e-14) is free, more


def test_what_is_left_is_block_less_trough_and_grooves() -> None:
    one = clipped_frame()
    assert one.clip is not None
    length, width, height = clip_size(one)
    half = (width - 2 * one.clip.wall) / 2
    section = width * height - pi / 2 * half**2 - 2 * half * (height - one.clip.wall - half)
    wanted = section * length - 2 * GROOVE * one.clip.tie * height
    assert kernel.volume(make_clip(one)) == pytest.approx(wanted, rel=1e-6)


def test_they_stand_on_every_arm_s_top_from_the_inmost_outwards() -> None:
    one = clipped_frame()
    assert one.clip is not None
    put = list(clip_places(one, layout("six-x", one)))
    assert len(put) == part_quantities(one)["clip"] == 6 * len(one.clip.places)
    assert {round(float(each.translation[2]), 9) for each in put} == {one.arm.depth_root / 2}
    radii = [float(np.hypot(*each.translation[:2])) - one.clamp.root_radius for each in put]
    assert radii == pytest.approx([x for x in one.clip.places for _ in range(6)])
    assert "clip" not in part_quantities(frame())


def test_what_does_not_fit_is_refused() -> None:
    one = clipped_frame()
    assert one.clip is not None
    with pytest.raises(GeometryError, match=r"wire clip: 29\.0 mm wide on an arm"):
        make_clip(replace(one, clip=replace(one.clip, bundle=0.025, wall=0.0018)))
    with pytest.raises(GeometryError, match=r"no room for a tie 8\.0 mm"):
        make_clip(replace(one, clip=replace(one.clip, tie=0.008)))
    with pytest.raises(GeometryError, match="no wire clips"):
        make_clip(frame())
