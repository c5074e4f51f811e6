"""Folding arms: where their bolts stand, how far they turn, that nothing meets on the way."""

from dataclasses import replace
from math import cos, pi, radians, sin

import numpy as np
import pytest

from refledge.errors import GeometryError
from refledge.geometry import kernel
from refledge.geometry.assembly import find_overlaps
from refledge.geometry.folded import folded_size, wire_way, wires_start
from refledge.geometry.folding import STEP, fold_of, fold_places, folded_outlines
from refledge.geometry.hinge import hinge_of, lock_point, pivot_point, root_bolts, root_holes
from refledge.geometry.items import make_items
from refledge.geometry.placing import place_all
from refledge.geometry.plate import least_sunk, leg_screws, make_plate
from refledge.model.parts import ClipDesign, FrameDesign
from refledge.model.results import Assembly, Placement
from tests.geometry.briefs import brief
from tests.geometry.frames import HARDWARE, arm, frame, hinged_frame, layout, solids

KINDS = {"six-x": 6, "four-plus": 4}


def ring(count: int) -> tuple[float, ...]:
    return tuple(2 * pi / count * k for k in range(count))


def turned(one: FrameDesign, kind: str, turn: float, *only: int) -> list[Placement]:
    """Everything with all arms turned by ``turn`` (rad), or ``only`` those, the others open."""
    shown = layout(kind, one)
    told = replace(one, hinge=replace(hinge_of(one), turn=turn))
    whole = place_all(one, shown, brief())
    opened = {each.name: each for each in whole}
    found = fold_places(told, shown, whole)
    names = {f"{word} {arm + 1}" for arm in only for word in ("arm", "mount", "motor")}
    return [p if not only or p.name in names else opened[p.name] for p in found]


def met(one: FrameDesign, kind: str, places: list[Placement]) -> tuple[str, ...]:
    bodies = dict(solids(kind, one)) | make_items(brief())
    return find_overlaps([p for p in places if p.key != "payload"], bodies)


def test_pivot_and_lock_stand_across_the_wires_bore() -> None:
    """Clamp of 24 by 12 mm whose first bolts are 8 mm in: pivot outside right, lock inside left."""
    one = hinged_frame()
    assert pivot_point(one.clamp) == pytest.approx((0.032, -0.006))
    assert lock_point(one.clamp) == pytest.approx((0.008, 0.006))
    assert root_bolts(one) == [pivot_point(one.clamp), lock_point(one.clamp)]
    assert root_holes(one, HARDWARE) == pytest.approx([0.0033, 0.0038])
    assert len(root_bolts(frame())) == len(root_holes(frame(), HARDWARE)) == 4


def test_an_arm_has_two_bores_through_its_root_and_no_more() -> None:
    """Less plastic is gone than from a clamped one: two round bores against four."""
    clamped, hinged = (kernel.volume(solids("six-x", each)["arm"])
                       for each in (frame(), hinged_frame()))  # fmt: skip
    depth = frame().arm.depth_root
    gone = [pi / 4 * each**2 * depth for each in (0.0036, 0.0033, 0.0038)]
    assert hinged - clamped == pytest.approx(4 * gone[0] - gone[1] - gone[2], rel=1e-3)


def test_legs_screws_sink_into_the_lower_plate_alone() -> None:
    one = hinged_frame()
    shown = layout("six-x", one)
    assert len(leg_screws(one, shown)) == one.leg.count
    upper, lower = (solids("six-x", one)[key] for key in ("upper_plate", "lower_plate"))
    x, y = leg_screws(one, shown)[0]
    column = kernel.cone((x, y, 0.0), 2e-3, 2e-3, one.plate.thickness)
    assert kernel.volume(kernel.common(lower, column)) == pytest.approx(0.0, abs=1e-13)
    assert kernel.volume(kernel.common(upper, column)) == pytest.approx(kernel.volume(column))
    rim = kernel.cone((x, y, one.plate.thickness - 1e-4), 6e-3, 6e-3, 1e-4)
    assert kernel.volume(kernel.common(lower, rim)) < 1e-12


def test_a_plate_too_thin_for_the_sunk_heads_is_refused() -> None:
    one = hinged_frame()
    screw = HARDWARE.screws["M3"]
    assert least_sunk(screw) == pytest.approx((2.24 - 1) * 3e-3 / 2 + 0.8e-3)
    thin = replace(one, plate=replace(one.plate, thickness=2.4e-3))
    with pytest.raises(GeometryError, match=r"sunk screw heads are 1\.9 mm deep"):
        make_plate("lower", thin, layout("six-x", thin), HARDWARE)


@pytest.mark.parametrize("kind", KINDS)
def test_nothing_meets_folded_or_on_the_way(kind: str) -> None:
    one = hinged_frame(KINDS[kind])
    turn = hinge_of(one).turn
    assert radians(60) <= turn <= radians(130)
    for each in (0.5 * turn, turn):
        assert met(one, kind, turned(one, kind, each)) == ()


def test_the_search_stops_where_the_solids_meet() -> None:
    """Two steps further the arms share volume, or lie over what stands in the middle."""
    one = hinged_frame()
    turn = hinge_of(one).turn + 2 * STEP
    assert any("arm" in words for words in met(one, "six-x", turned(one, "six-x", turn)))


def test_one_arm_ahead_by_the_lead_is_clear_and_far_ahead_is_not() -> None:
    one = hinged_frame()
    hinge = hinge_of(one)
    assert 0.0 < hinge.lead <= hinge.turn
    assert met(one, "six-x", turned(one, "six-x", hinge.lead, 0)) == ()
    alone = fold_of(replace(one, n_arms=1), (0.0,))
    assert alone[0] > hinge.turn  # with no neighbour it turns further


def test_folding_turns_about_the_pivot_and_keeps_every_distance_to_it() -> None:
    one = hinged_frame()
    shown = layout("six-x", one)
    whole = place_all(one, shown, brief())
    folded = {p.name: p for p in fold_places(one, shown, whole)}
    x, y = pivot_point(one.clamp)
    for each in whole:
        if each.group == "disc":
            assert each.name not in folded
            continue
        if each.key not in ("arm", "mount", "motor"):
            assert folded[each.name] is each
    for k, angle in enumerate(map(float, shown.arm_angles)):
        c, s = cos(angle), sin(angle)
        far = one.clamp.root_radius + x
        pivot = np.array([c * far - s * y, s * far + c * y, 0.0])
        name = f"motor {k + 1}"
        before = next(p for p in whole if p.name == name).translation - pivot
        after = folded[name].translation - pivot
        assert np.linalg.norm(after) == pytest.approx(np.linalg.norm(before))
        spun = np.arctan2(np.cross(before, after)[2], before[:2] @ after[:2])
        assert spun == pytest.approx(-hinge_of(one).turn)  # clockwise from above
        assert after[2] == before[2]


def test_folded_it_is_smaller_by_what_its_outlines_say() -> None:
    one = hinged_frame(4)
    shown = layout("four-plus", one)
    bodies = dict(solids("four-plus", one)) | make_items(brief())
    meshes = {key: kernel.tessellate(each) for key, each in bodies.items()}
    assembly = Assembly(meshes, place_all(one, shown, brief()), (), 0.01)
    size = folded_size(one, shown, assembly)
    assert size.across < 0.9 * size.open_across
    reach = max(np.hypot(*each.T).max() for each in folded_outlines(one, shown))
    assert size.across <= 2 * reach + 1e-6


def test_wires_follow_on_the_circle_that_leaves_the_bore_along_the_arm() -> None:
    """The circle's middle is as far from the bore's mouth as from the plates' middle, and square
    to the arm at the mouth."""
    one = hinged_frame()
    turn = hinge_of(one).turn
    x, y = pivot_point(one.clamp)
    c, s = cos(turn), sin(turn)
    mouth = np.array([one.clamp.root_radius + x - c * x - s * y, y + s * x - c * y])
    along = np.array([-c, s])
    square = np.array([-along[1], along[0]])
    way = wire_way(one)
    middles = [mouth + way.radius * side * square for side in (1, -1)]
    assert min(abs(np.linalg.norm(m) - way.radius) for m in middles) < 1e-9
    assert way.slack > 0.0
    stays = replace(one, hinge=replace(hinge_of(one), turn=0.0))
    assert wire_way(replace(stays, clamp=replace(stays.clamp, pitch_y=1e-9))).slack < 1e-6


def test_arms_too_crowded_to_fold_are_refused() -> None:
    wide = hinged_frame(6, arm("box", width=22))
    with pytest.raises(GeometryError, match="folding arms meet once they have turned"):
        fold_of(wide, ring(12))
    with pytest.raises(GeometryError, match="no hinge"):
        hinge_of(frame())


def test_clips_stay_outside_the_plates_that_they_stand_as_high_as() -> None:
    """Three arms have room to turn far; a clip 90 mm out soon comes over the plates' edge."""
    one = hinged_frame(3)
    clip = ClipDesign(
        bundle=5e-3, places=(0.075,), length=9e-3, wall=1.8e-3, tie=4e-3, material="petg"
    )
    angles = ring(3)
    bare, near = fold_of(one, angles)[0], fold_of(replace(one, clip=clip), angles)[0]
    far = fold_of(replace(one, clip=replace(clip, places=(0.11,))), angles)[0]
    assert near < far <= bare


def test_wires_in_clips_start_at_the_innermost() -> None:
    """As the arm turns, its clip comes nearer to the middle: less loop than from the bore."""
    one = hinged_frame(3)
    clip = ClipDesign(
        bundle=5e-3, places=(0.11, 0.15), length=9e-3, wall=1.8e-3, tie=4e-3, material="petg"
    )
    clipped = replace(one, clip=clip)
    assert wires_start(one) == 0.0
    assert wires_start(clipped) == pytest.approx(0.1055)
    assert wire_way(clipped).slack < wire_way(one).slack
    still = replace(clipped, hinge=replace(hinge_of(one), turn=0.0))
    assert wire_way(still).slack < 1e-4
