"""The airframe put together: parts meet without overlap, bolts line up, clashes are found."""

from dataclasses import replace
from functools import cache
from math import pi

import numpy as np
import pytest

from refledge.errors import GeometryError
from refledge.geometry import kernel
from refledge.geometry.assembly import assemble, find_overlaps
from refledge.geometry.clearance import disc_gap, surface_points
from refledge.geometry.drill import clamp_holes
from refledge.geometry.items import disc_thickness, make_items
from refledge.geometry.parts import part_quantities
from refledge.geometry.placing import place_all, turn
from refledge.geometry.plate import clamp_points
from refledge.model.parts import FrameDesign
from refledge.model.results import Assembly, Placement
from refledge.typed import Floats
from tests.geometry.briefs import brief
from tests.geometry.frames import HARDWARE, arm, frame, layout, solids, tube_arm

CASES = {
    "six-x": ("six-x", frame(6)),
    "four-plus": ("four-plus", frame(4, arm("channel"))),
    "three-pairs": ("three-pairs", frame(3, arm("truss"), 2)),
    "tube": ("six-x", frame(6, tube_arm())),
    "tube-pairs": ("three-pairs", frame(3, tube_arm(), 2)),
}


@cache
def put_together(kind: str, one: FrameDesign) -> Assembly:
    plan = layout(kind, one)
    return assemble(one, plan, brief(), solids(kind, one))


SLOW = {"tube-pairs"}  # its parts appear in the other cases too


@pytest.mark.parametrize(
    "name", [pytest.param(n, marks=[pytest.mark.slow] if n in SLOW else []) for n in CASES]
)
def test_nothing_overlaps_and_everything_is_there(name: str) -> None:
    kind, one = CASES[name]
    found = put_together(kind, one)
    assert found.overlaps == ()
    keys = [each.key for each in found.placements]
    for key, number in part_quantities(one).items():
        assert keys.count(key) == number, key
    rotors = one.n_arms * one.mount.per_arm
    assert keys.count("motor") == keys.count("disc") == rotors
    assert len({each.name for each in found.placements}) == len(keys)
    assert set(keys) == set(found.meshes)


def test_discs_clear_the_parts_by_what_the_motor_lifts_them() -> None:
    """Over a flat mount the disc's lower face stands the motor's height above it, less half its
    own thickness; nothing else comes nearer in this frame."""
    found = put_together("six-x", frame(6))
    wanted = brief().motor.height - disc_thickness(brief().propeller) / 2
    assert found.least_gap == pytest.approx(wanted, abs=1e-9)


def test_every_stack_height_is_that_of_the_contract() -> None:
    one = CASES["three-pairs"][1]
    at = {each.name: each.translation for each in put_together("three-pairs", one).placements}
    half = one.plate_gap / 2
    assert at["upper plate"][2] == pytest.approx(half)
    assert at["lower plate"][2] == pytest.approx(-half - one.plate.thickness)
    assert at["battery tray"][2] == pytest.approx(-half - one.plate.thickness)
    assert at["motor 1"][2] == pytest.approx(one.seat_height)
    assert at["motor 2"][2] == pytest.approx(one.lower_seat_height)
    radius = one.clamp.root_radius + one.arm.axis
    assert np.hypot(*at["mount 2"][:2]) == pytest.approx(radius)


@pytest.mark.parametrize("name", ["six-x", "tube"])
def test_a_long_bolt_passes_every_clamp_hole(name: str) -> None:
    """Through upper plate, arm or half blocks, lower plate and leg: a rod as thick as the screw
    meets no plastic, one thicker than the hole does."""
    kind, one = CASES[name]
    plan = layout(kind, one)
    made = solids(kind, one)
    bodies = [
        kernel.move(made[p.key], p.rotation, p.translation)
        for p in place_all(one, plan, brief())
        if p.key in {"upper_plate", "lower_plate", "arm", "tube", "root_block", "leg"}
    ]
    screw = HARDWARE.screws[one.clamp.screw]
    for i, (x, y) in enumerate(clamp_points(one, plan)):
        if i not in {0, 1, 2, 3, 13, 16, 22}:  # every bolt of one arm, some of the others
            continue
        near = [b for b in bodies if kernel.bounds(b)[0][0] <= x <= kernel.bounds(b)[1][0]]
        rod = kernel.cone((x, y, -0.03), screw.diameter, screw.diameter, 0.06)
        assert sum(kernel.volume(kernel.common(b, rod)) for b in near) < 1e-15
        thick = kernel.cone((x, y, -0.03), 0.005, 0.005, 0.06)
        assert sum(kernel.volume(kernel.common(b, thick)) for b in near) > 1e-9


def test_clamp_points_are_the_arms_own_holes() -> None:
    one = frame(6)
    plan = layout("six-x", one)
    points = np.array(clamp_points(one, plan)).reshape(6, 4, 2)
    for i, angle in enumerate(plan.arm_angles):
        local = np.array([[x + one.clamp.root_radius, y, 0] for x, y in clamp_holes(one.clamp)])
        assert points[i] == pytest.approx((local @ turn(float(angle)).T)[:, :2])


def test_a_part_in_the_wrong_place_is_found() -> None:
    one = frame(6)
    plan = layout("six-x", one)
    bodies = solids("six-x", one) | make_items(brief())
    placed = list(place_all(one, plan, brief()))
    at = next(i for i, each in enumerate(placed) if each.name == "arm 2")
    down = placed[at].translation - np.array([0.0, 0.0, 0.0015])
    placed[at] = replace(placed[at], translation=down)
    found = find_overlaps([p for p in placed if p.key != "payload"], bodies)
    assert any("lower plate and arm 2" in each for each in found)
    assert not any("arm 3" in each for each in found)


def test_an_overlap_is_measured() -> None:
    bodies = {"cube": kernel.box((0, 0, 0), (0.01, 0.01, 0.01))}
    spots = [(0.0, 0.0, 0.0), (0.009, 0.0, 0.0), (0.0, 0.010, 0.0), (0.0, 0.0, -0.008)]
    placed = [
        Placement("cube", f"cube {i}", "part", np.eye(3), np.array(spot))
        for i, spot in enumerate(spots)
    ]
    assert find_overlaps(placed, bodies) == (
        "cube 0 and cube 1 share 100 mm³",
        "cube 0 and cube 3 share 200 mm³",
        "cube 1 and cube 3 share 20 mm³",
    )


def test_turned_boxes_that_only_come_near_do_not_overlap() -> None:
    """Corner towards face: the boxes' own axes part them though upright boxes would meet."""
    bodies = {"bar": kernel.box((-0.05, -0.005, -0.005), (0.05, 0.005, 0.005))}
    apart = Placement("bar", "b", "part", turn(pi / 4), np.array([0.0, 0.015, 0.0]))
    bars = [Placement("bar", "a", "part", turn(pi / 4), np.zeros(3)), apart]
    assert find_overlaps(bars, bodies) == ()
    meets = replace(apart, translation=np.array([0.0, 0.013, 0.0]))
    assert len(find_overlaps([bars[0], meets], bodies)) == 1


def test_long_legs_of_pairs_reach_into_a_wide_lower_disc() -> None:
    one = frame(3, None, 2)
    wide = replace(one, leg=replace(one.leg, splay=0.14))
    plan = layout("three-pairs", wide)
    found = assemble(wide, plan, brief(), solids("three-pairs", wide))
    assert any("leg" in each and "disc" in each for each in found.overlaps)
    assert found.least_gap == 0


def test_a_slung_payload_is_drawn_but_not_checked() -> None:
    one, plan = frame(6), layout("six-x", frame(6))
    made = solids("six-x", one)
    near = replace(brief().payload, below=0.05)
    slung = assemble(one, plan, replace(brief(), payload=near), made)
    fixed = assemble(one, plan, replace(brief(), payload=replace(near, slung=False)), made)
    assert slung.overlaps == ()
    assert any("payload" in each for each in fixed.overlaps)


def test_layout_and_frame_must_agree() -> None:
    one = frame(6)
    plan = layout("six-x", one)
    with pytest.raises(GeometryError, match="in a layout with"):
        place_all(one, replace(plan, motor_radius=0.3), brief())
    with pytest.raises(GeometryError, match="4 arms"):
        place_all(frame(4), plan, brief())


def test_gap_from_disc_to_a_plate_below_its_rim() -> None:
    """A flat square under a disc: the gap is the height between them, found away from corners."""
    mesh = kernel.tessellate(kernel.box((-0.1, -0.1, -0.01), (0.1, 0.1, 0.0)))
    placed = [
        Placement("plate", "plate", "part", np.eye(3), np.zeros(3)),
        Placement("disc", "disc", "disc", np.eye(3), np.array([0.0, 0.0, 0.02])),
    ]
    assert disc_gap(placed, {"plate": mesh}, 0.05, 0.01) == pytest.approx(0.015, abs=1e-9)
    sideways = [placed[0], replace(placed[1], translation=np.array([0.15, 0.0, -0.005]))]
    assert disc_gap(sideways, {"plate": mesh}, 0.05, 0.01) == pytest.approx(0.025, abs=1e-6)


@pytest.mark.parametrize("seed", range(8))
def test_the_gap_is_that_of_all_surface_points(seed: int) -> None:
    """Against every point, for a long bar and a slab that lie askew near two discs."""
    rng = np.random.default_rng(seed)
    meshes = {
        "bar": kernel.tessellate(kernel.cone((0, 0, 0), 0.01, 0.004, 0.12)),
        "slab": kernel.tessellate(kernel.box((-0.03, -0.05, 0), (0.03, 0.05, 0.004))),
    }
    placed = [
        Placement(key, key, "part", _askew(rng), rng.uniform(-0.12, 0.12, 3)) for key in meshes
    ]
    discs = [np.array([0.0, 0.0, 0.0]), np.array([0.1, 0.05, 0.02])]
    placed += [Placement("disc", "disc", "disc", np.eye(3), each) for each in discs]
    wanted = min(
        _from_disc(surface_points(meshes[p.key], 2e-3) @ p.rotation.T + p.translation - disc)
        for p in placed[:2]
        for disc in discs
    )
    assert disc_gap(placed, meshes, 0.1, 0.01) == pytest.approx(wanted, abs=2e-9)


def _askew(rng: np.random.Generator) -> Floats:
    turned, _ = np.linalg.qr(rng.normal(size=(3, 3)))
    return np.asarray(turned * np.sign(np.linalg.det(turned)))


def _from_disc(points: Floats) -> float:
    """Least distance of points (n, 3) from a disc 0.1 m wide, 0.01 m thick, at the origin."""
    nearest = points.copy()
    radius = np.hypot(points[:, 0], points[:, 1])
    nearest[:, :2] *= np.minimum(1.0, 0.05 / radius)[:, None]
    nearest[:, 2] = np.clip(points[:, 2], -0.005, 0.005)
    return float(np.linalg.norm(points - nearest, axis=1).min())


def test_surface_points_cover_the_surface() -> None:
    mesh = kernel.tessellate(kernel.box((0, 0, 0), (0.02, 0.01, 0.01)))
    points = surface_points(mesh, 0.002)
    rng = np.random.default_rng(2)
    on_top = np.column_stack([rng.random(50) * 0.02, rng.random(50) * 0.01, np.full(50, 0.01)])
    nearest = [np.linalg.norm(points - each, axis=1).min() for each in on_top]
    assert max(nearest) < 0.0012
