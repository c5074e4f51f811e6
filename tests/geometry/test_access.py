"""A driver reaches every fastener, and what stands in its way is found."""

from dataclasses import replace

import numpy as np
import pytest

from refledge.geometry import kernel
from refledge.geometry.access import covered
from refledge.geometry.assembly import assemble
from refledge.geometry.features import part_features
from refledge.geometry.named import Bore
from refledge.geometry.reaches import Reach, reaches
from refledge.model.parts import FrameDesign
from refledge.model.results import Assembly, Placement
from tests.geometry.briefs import brief
from tests.geometry.frames import HARDWARE, frame, layout, solids
from tests.geometry.splits import split_frame

M3 = HARDWARE.screws["M3"]


def post(x: float, y: float, low: float, high: float) -> Assembly:
    """One part: a round post 4 mm thick."""
    mesh = kernel.tessellate(kernel.cone((0.0, 0.0, low), 4e-3, 4e-3, high - low))
    place = Placement("seat", "post", "part", np.eye(3), np.array([x, y, 0.0]))
    return Assembly({"seat": mesh}, (place,))


def head(*, up: bool = True, washer: bool = True, nut: bool = False) -> Reach:
    return Reach("bolt, head", ((0.0, 0.0, 0.0),), up, M3, ("parts",), washer, nut)


@pytest.mark.parametrize(
    ("away", "hit"), [(0.0, True), (4.4e-3, True), (6.1e-3, True), (6.7e-3, False)]
)
def test_a_post_beside_a_washer(away: float, hit: bool) -> None:
    """The washer's radius of 4.5 mm, the post's of 2 mm, less the 0.3 mm that may be grazed."""
    assert bool(covered(post(away, 0.0, -0.01, 0.02), [head()])) is hit


@pytest.mark.parametrize(("away", "hit"), [(4.3e-3, True), (5.1e-3, False)])
def test_a_post_beside_the_driver_above_the_head(away: float, hit: bool) -> None:
    """It hangs 10 mm over the head: only the driver, as wide as the head (2.75 mm), may meet it."""
    assert bool(covered(post(away, 0.0, 0.01, 0.02), [head()])) is hit


def test_what_lies_on_the_other_side_or_far_off_does_not_matter() -> None:
    assert not covered(post(0.0, 0.0, -0.05, 0.0), [head()])
    assert covered(post(0.0, 0.0, -0.05, 0.0), [head(up=False)])
    assert not covered(post(0.0, 0.0, 0.065, 0.09), [head()])


def test_what_is_not_there_yet_does_not_matter() -> None:
    early = replace(head(), present=("upper_plate",))
    assert not covered(post(0.0, 0.0, 0.0, 0.02), [early])


def test_words_name_the_fastener_and_what_is_in_the_way() -> None:
    (found,) = covered(post(0.0, 0.0, 0.0, 0.02), [head()])
    assert found.words == "bolt, head: post in the way of 1 of 1"


def slab(low: float) -> Assembly:
    """A floor 80 mm square under a bolt, its top at ``low``."""
    mesh = kernel.tessellate(kernel.box((-0.04, -0.04, low - 0.003), (0.04, 0.04, low)))
    place = Placement("tray", "tray", "part", np.eye(3), np.zeros(3))
    return Assembly({"tray": mesh}, (place,))


def nut(thread: float = 1e-3) -> Reach:
    point = ((0.0, 0.0, 0.0),)
    return Reach("bolt, nut", point, False, M3, ("parts",), nut=True, thread=thread)


@pytest.mark.parametrize(("low", "hit"), [(-5.5e-3, True), (-6.5e-3, False)])
def test_a_nut_over_a_floor_is_held_from_the_side_once_its_thread_ends_above_it(
    low: float, hit: bool
) -> None:
    """Washer 0.8 mm, nut 4 mm, thread 1 mm: 5.8 mm."""
    assert bool(covered(slab(low), [nut()])) is hit


@pytest.mark.parametrize(("inside", "hit"), [(6.0e-3, True), (8.0e-3, False)])
def test_a_spanner_comes_in_where_the_walls_leave_its_width(inside: float, hit: bool) -> None:
    """Jaws are 1.06 times 6.35 mm either way: 6.73 mm."""
    floor = kernel.box((-0.02, -0.02, -0.011), (0.07, 0.02, -0.008))
    walls = [
        kernel.box((-0.02, y, -0.009), (0.07, y + 0.004, 0.0)) for y in (inside, -inside - 4e-3)
    ]
    back = kernel.box((-0.02, -0.02, -0.009), (-0.012, 0.02, 0.0))
    mesh = kernel.tessellate(kernel.fuse(floor, *walls, back))
    place = Placement("tray", "tray", "part", np.eye(3), np.zeros(3))
    assert bool(covered(Assembly({"tray": mesh}, (place,)), [nut()])) is hit


def test_a_head_is_not_turned_from_the_side() -> None:
    assert covered(slab(-0.01), [replace(head(up=False), nut=False)])


def test_heads_stand_over_their_bores() -> None:
    """Points of the reaches against the bores that features name, of seat and upper plate."""
    one = frame()
    plan = layout("six-x", one)
    found = {each.where: each for each in reaches(one, plan, HARDWARE, brief())}
    plate = part_features("upper_plate", one, HARDWARE, plan)
    for bores, where in (("clamp_bore", "arms between the plates, heads"),
                         ("seat_bore", "flight-controller seat, heads")):  # fmt: skip
        named = [f for name, f in plate.items() if name.startswith(bores)]
        centres = np.array([each.centre[:2] for each in named if isinstance(each, Bore)])
        assert np.allclose(np.array(found[where].points)[:, :2], centres)


def test_as_many_heads_as_the_lists_have() -> None:
    one = split_frame()
    found = {e.where: len(e.points) for e in reaches(one, layout("six-x", one), HARDWARE, brief())}
    assert found["laps of the arms, heads"] == found["laps of the arms, nuts"] == 24
    assert found["motors on their mounts, heads"] == 24
    assert found["battery tray, heads"] == 4


def test_a_short_tray_leaves_every_fastener_free_and_a_long_one_does_not() -> None:
    """Six arms whose bolts start 68 mm out: a tray 105 mm long stays inside them, 180 mm does not.

    Across two arms, eight of the 24 nuts lie over the longer one.
    """
    small = frame()
    one = replace(
        small,
        clamp=replace(small.clamp, root_radius=0.060),
        plate=replace(small.plate, outer_radius=0.1015, core_radius=0.078),
    )
    assert _blocked(one) == ()
    long = replace(one, tray=replace(one.tray, length=0.21, yaw=np.pi / 2))
    (words,) = _blocked(long)
    assert words == "arms between the plates, nuts: battery tray in the way of 8 of 24"


def test_a_tray_on_bosses_leaves_its_nuts_free_and_low_ones_do_not() -> None:
    """Washer, nut and 5 mm of thread are 9.8 mm."""
    small = frame()
    one = replace(
        small,
        clamp=replace(small.clamp, root_radius=0.060),
        plate=replace(small.plate, outer_radius=0.1015, core_radius=0.078),
    )
    tray = replace(one.tray, length=0.21, yaw=np.pi / 2, fence=0.0, boss=0.009)
    assert _blocked(replace(one, tray=replace(tray, stand=0.0105))) == ()
    (words,) = _blocked(replace(one, tray=replace(tray, stand=0.0090)))
    assert words.endswith("8 of 24")


def _blocked(one: FrameDesign) -> tuple[str, ...]:
    plan = layout("six-x", one)
    made = assemble(one, plan, brief(), solids("six-x", one))
    found = covered(made, reaches(one, plan, HARDWARE, brief(), thread=5e-3))
    return tuple(each.words for each in found)
