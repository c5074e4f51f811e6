"""Skids across the ends of two legs: the legs fit their pockets, two parts their joint."""

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest

from refledge.errors import GeometryError
from refledge.geometry import kernel
from refledge.geometry.leg import make_leg
from refledge.geometry.parts import part_quantities
from refledge.geometry.placing import place_all
from refledge.geometry.skid import make_skid, skid_bolts, skid_keys, skid_line
from refledge.model.gear import SkidDesign
from refledge.model.parts import FrameDesign
from tests.geometry.briefs import brief
from tests.geometry.frames import HARDWARE, frame, layout, skidded_frame


def placed(one: FrameDesign) -> dict[str, kernel.Solid]:
    """Legs and skids in body axes."""
    made = {key: make_skid(key, one, HARDWARE) for key in skid_keys(one.skid)}
    made["leg"] = make_leg(one, HARDWARE)
    return {
        each.name: kernel.move(made[each.key], each.rotation, each.translation)
        for each in place_all(one, layout("six-x", one), brief())
        if each.key in made
    }


@pytest.mark.parametrize("lap", [0.0, 0.041])
def test_four_legs_fit_two_skids_and_stand_on_their_soles(lap: float) -> None:
    """They share nothing; moved down by a tenth of a millimetre every leg meets a skid."""
    bodies = placed(skidded_frame(lap))
    assert len(bodies) == (8 if lap else 6)
    for one, other in combinations(bodies.values(), 2):
        assert kernel.volume(kernel.common(one, other)) < 1e-13
    skids = [body for name, body in bodies.items() if "skid" in name]
    for n in range(1, 5):
        sunk = kernel.move(bodies[f"leg {n}"], np.eye(3), np.array([0.0, 0.0, -1e-4]))
        assert sum(kernel.volume(kernel.common(sunk, each)) > 1e-10 for each in skids) == 1


def test_both_lie_level_on_the_ground_and_mirror_each_other() -> None:
    one = skidded_frame()
    bodies = placed(one)
    assert one.skid is not None
    for name in ("left skid", "right skid"):
        low, high = kernel.bounds(bodies[name])
        under = -one.plate_gap / 2 - one.plate.thickness - one.leg.height - one.skid.sole
        assert low[2] == pytest.approx(under)
        assert high[0] == pytest.approx(-low[0])
        half, _, _ = skid_line(one, HARDWARE)
        assert high[0] == pytest.approx(half + one.skid.nose)
    left, right = (kernel.bounds(bodies[f"{side} skid"]) for side in ("left", "right"))
    assert left[1][1] == pytest.approx(-right[0][1])
    assert left[0][1] > 0.0


def test_two_parts_of_a_skid_are_its_whole_but_for_the_gaps() -> None:
    """Tongues lie side by side, a gap short of each shoulder; bolts pass both."""
    one = skidded_frame(0.041)
    assert one.skid is not None
    front, rear = (make_skid(key, one, HARDWARE) for key in ("skid_front", "skid_rear"))
    whole = make_skid("skid", replace(one, skid=replace(one.skid, lap=0.0)), HARDWARE)
    parts = kernel.volume(front) + kernel.volume(rear)
    gaps = one.fit_gap * one.skid.width * one.skid.height
    hole = 3.4e-3 + one.hole_allowance
    bores = 2 * np.pi / 4 * hole**2 * one.skid.width
    assert kernel.volume(whole) - parts == pytest.approx(gaps + bores, rel=1e-3)
    _, y, _ = skid_line(one, HARDWARE)
    for x, z in skid_bolts(one, HARDWARE):
        rod = kernel.box((x - 1e-3, y - 0.02, z - 1e-3), (x + 1e-3, y + 0.02, z + 1e-3))
        wide = kernel.box((x - 2e-3, y - 0.02, z - 2e-3), (x + 2e-3, y + 0.02, z + 2e-3))
        for part in (front, rear):
            assert kernel.volume(kernel.common(part, rod)) < 1e-14
            assert kernel.volume(kernel.common(part, wide)) > 1e-10


def test_how_many_and_what_is_refused() -> None:
    assert part_quantities(skidded_frame())["skid"] == 2
    in_parts = part_quantities(skidded_frame(0.041))
    assert (in_parts["skid_front"], in_parts["skid_rear"]) == (2, 2)
    assert "skid" not in in_parts
    assert not set(part_quantities(frame())) & {"skid", "skid_front", "skid_rear"}
    with pytest.raises(GeometryError, match="no skids"):
        make_skid("skid", frame(), HARDWARE)
    with pytest.raises(GeometryError, match="no part skid_front"):
        make_skid("skid_front", skidded_frame(), HARDWARE)
    one = skidded_frame()
    assert isinstance(one.skid, SkidDesign)
    with pytest.raises(GeometryError, match=r"skid: a sleeve 100\.0 mm high"):
        make_skid("skid", replace(one, skid=replace(one.skid, sleeve=0.1)), HARDWARE)
