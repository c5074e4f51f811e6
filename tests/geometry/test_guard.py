"""Propeller guards: round the motor can, under the blades, outside their tips; whole or halves."""

from math import cos, pi, sin

import numpy as np
import pytest

from refledge.errors import GeometryError
from refledge.geometry import kernel
from refledge.geometry.features import part_features
from refledge.geometry.guard import BLOCK, guard_keys, hub_radius, joint_bolts, make_guard
from refledge.geometry.mount import make_mount
from refledge.geometry.named import Bore
from refledge.geometry.parts import part_quantities
from refledge.geometry.placing import place_all
from refledge.model.parts import FrameDesign, GuardDesign
from tests.geometry.briefs import brief
from tests.geometry.frames import HARDWARE, frame, guarded_frame, layout


def design(one: FrameDesign) -> GuardDesign:
    assert one.guard is not None
    return one.guard


@pytest.mark.parametrize("screw", ["", "M3"])
def test_it_leaves_the_can_and_the_blades_free(screw: str) -> None:
    """No plastic in the can's hole, nor in the blades' sweep out to the rim."""
    one = guarded_frame(screw)
    guard = design(one)
    can = kernel.cone((0, 0, -1e-3), guard.can - 1e-5, guard.can - 1e-5, 0.1)
    across = 2 * guard.radius - 1e-5
    sweep = kernel.cone((0, 0, guard.thickness + 1e-5), across, across, guard.height)
    for key in guard_keys(guard):
        solid = make_guard(key, one, HARDWARE)
        assert kernel.volume(kernel.common(solid, can)) < 1e-14
        assert kernel.volume(kernel.common(solid, sweep)) < 1e-14
        low, high = kernel.bounds(solid)
        assert low[2] == pytest.approx(0.0, abs=1e-9)
        assert high[2] == pytest.approx(guard.height)
        assert high[0] >= guard.radius + guard.rim - 1e-6


def test_the_rim_covers_its_angle_as_thick_as_it_says() -> None:
    one = guarded_frame()
    guard, solid = design(one), make_guard("guard", one, HARDWARE)
    between = kernel.box((-1, -1, guard.thickness), (1, 1, guard.height))
    rim = kernel.volume(kernel.common(solid, between)) / (guard.height - guard.thickness)
    outer = guard.radius + guard.rim
    assert rim == pytest.approx(guard.span / 2 * (outer**2 - guard.radius**2), rel=1e-6)


def test_two_halves_meet_in_the_arm_s_plane_and_are_bolted_there() -> None:
    one = guarded_frame("M3")
    guard = design(one)
    left, right = (make_guard(key, one, HARDWARE) for key in ("guard_left", "guard_right"))
    assert kernel.volume(kernel.common(left, right)) < 1e-14
    assert kernel.volume(left) == pytest.approx(kernel.volume(right), rel=1e-6)
    for x, z in joint_bolts(guard, HARDWARE):
        rod = kernel.box((x - 1e-3, -0.02, z - 1e-3), (x + 1e-3, 0.02, z + 1e-3))
        wide = kernel.box((x - 2e-3, -BLOCK, z - 2e-3), (x + 2e-3, BLOCK, z + 2e-3))
        for half in (left, right):
            assert kernel.volume(kernel.common(half, rod)) < 1e-14
            assert kernel.volume(kernel.common(half, wide)) > 1e-9


def test_one_to_each_motor_on_its_mount_s_bolts() -> None:
    """Bores in line with the mount's; the rim looks away from the middle."""
    one = guarded_frame()
    assert part_quantities(one)["guard"] == one.n_arms
    halves = part_quantities(guarded_frame("M3"))
    assert (halves["guard_left"], halves["guard_right"]) == (one.n_arms, one.n_arms)
    own = part_features("guard", one, HARDWARE)
    mounts = part_features("mount", one, HARDWARE)
    for n in range(1, 5):
        bore, below = own[f"mount_bolt_{n}"], mounts[f"mount_bolt_{n}"]
        assert isinstance(bore, Bore)
        assert isinstance(below, Bore)
        assert bore.centre[:2] == below.centre[:2]
    put = {each.name: each for each in place_all(one, layout("six-x", one), brief())}
    solid, mount = make_guard("guard", one, HARDWARE), make_mount(one, HARDWARE)
    for n in range(1, 7):
        place = put[f"guard {n}"]
        lies = kernel.move(solid, place.rotation, place.translation)
        under = put[f"mount {n}"]
        on = kernel.move(mount, under.rotation, under.translation)
        assert kernel.volume(kernel.common(lies, on)) < 1e-13
        sunk = kernel.move(lies, np.eye(3), np.array([0.0, 0.0, -1e-4]))
        assert kernel.volume(kernel.common(sunk, on)) > 1e-8
        assert np.hypot(*kernel.moments(lies).centroid[:2]) > np.hypot(*place.translation[:2])


def test_the_wires_way_is_open_towards_the_arm() -> None:
    one = guarded_frame()
    guard, solid = design(one), make_guard("guard", one, HARDWARE)
    way = kernel.box((-0.1, -2e-3, 0.0), (-guard.can / 4, 2e-3, guard.thickness))
    assert kernel.volume(kernel.common(solid, way)) < 1e-14
    strut = guard.radius / 2
    x, y = strut * cos(guard.strut_at), strut * sin(guard.strut_at)
    there = kernel.box((x - 1e-3, y - 1e-3, 0.0), (x + 1e-3, y + 1e-3, guard.thickness))
    assert kernel.volume(kernel.common(solid, there)) == pytest.approx(kernel.volume(there))
    assert guard.span < pi


def test_struts_run_into_frame_and_rim_in_fillets() -> None:
    """Plastic beside a strut where it meets the frame round the can and the rim, none half-way."""
    one = guarded_frame()
    guard, solid = design(one), make_guard("guard", one, HARDWARE)
    beside = guard.strut / 2 + 0.4e-3
    for out, there in ((hub_radius(guard) + 0.3e-3, True), (guard.radius / 2, False),
                       (guard.radius - 0.3e-3, True)):  # fmt: skip
        c, s = cos(guard.strut_at), sin(guard.strut_at)
        x, y = out * c - beside * s, out * s + beside * c
        probe = kernel.box((x - 1e-4, y - 1e-4, 1e-4), (x + 1e-4, y + 1e-4, 2e-4))
        assert (kernel.volume(kernel.common(solid, probe)) > 0.0) is there, out


def test_what_is_not_there_is_refused() -> None:
    with pytest.raises(GeometryError, match="no propeller guards"):
        make_guard("guard", frame(), HARDWARE)
    with pytest.raises(GeometryError, match="no part guard_left"):
        make_guard("guard_left", guarded_frame(), HARDWARE)
