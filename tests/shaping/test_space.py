"""The design space keeps what other parts need: bolts, faces, room for plates and propellers."""

from dataclasses import replace
from math import pi

import numpy as np
import pytest
from scipy.spatial import KDTree

from refledge.errors import InputError
from refledge.geometry import kernel
from refledge.geometry.drill import clamp_holes, mount_holes
from refledge.shaping.envelope import (
    FINE,
    PART_GAP,
    SWELL,
    deepest,
    fitted,
    free_from,
    obstacles,
)
from refledge.shaping.space import FACE, Space, space_of
from refledge.study import Study
from refledge.verify.beam_forces import arm_axes


def marked(space: Space, x: float, y: float, z: float) -> str:
    """How the voxel at a point (m) is marked."""
    at = (np.array([x, y, z]) - space.grid.origin) / space.grid.spacing
    i, j, k = (int(each) for each in np.floor(at))
    return "keep" if space.keep[i, j, k] else "void" if space.void[i, j, k] else "free"


def test_marks_do_not_meet_and_leave_most_to_the_optimiser(space: Space) -> None:
    assert not (space.keep & space.void).any()
    assert space.free > 0.5 * space.grid.size


def test_planes_of_nodes_lie_on_both_plates_faces(study: Study, space: Space) -> None:
    half = study.frame.arm.depth_root / 2
    levels = space.grid.axes()[2].ravel()
    assert min(abs(levels - half)) < 1e-9
    assert min(abs(levels + half)) < 1e-9


def test_bosses_stand_round_every_bolt_and_bolts_are_drilled(study: Study) -> None:
    fine = space_of(study, 1e-3)
    arm, frame = study.frame.arm, study.frame
    points = [(*each, 0.0) for each in clamp_holes(frame.clamp)]
    low = arm.depth_root / 2 - arm.depth_tip
    points += [(arm.axis + x, y, low + 5e-3) for x, y in mount_holes(frame.mount)]
    for x, y, z in points:
        assert marked(fine, x, y, z) == "void"
        assert marked(fine, x, y - 3e-3 * np.sign(y), z) == "keep"
    top = arm.depth_root / 2 - FACE / 3
    assert marked(fine, 3e-3, 1e-3, top) == "keep"
    assert marked(fine, arm.axis, 1e-3, top) == "keep"


def test_the_wire_can_pass_from_end_to_end(study: Study, space: Space) -> None:
    arm = study.frame.arm
    tip = (arm.depth_root - arm.depth_tip) / 2
    for x in np.linspace(1e-3, arm.length - 3e-3, 25):
        z = np.interp(x, (arm.root_length, arm.length - arm.tenon_length), (0.0, tip))
        assert marked(space, float(x), 0.5e-3, float(z)) == "void"


def test_deeper_only_beyond_the_plates_and_before_the_mount(study: Study, space: Space) -> None:
    arm = study.frame.arm
    under = arm.depth_root / 2 - deepest(arm) + 1e-3
    assert deepest(arm) > arm.depth_root
    assert marked(space, 10e-3, 2e-3, under) == "void"
    assert marked(space, free_from(study.frame) + 40e-3, 2e-3, under) == "free"
    assert marked(space, arm.axis, 2e-3, under) == "void"


def test_legs_and_discs_are_kept_clear(study: Study) -> None:
    """A disc lowered into the arm and the arm's leg both take room."""
    grid = fitted(study.frame, 3e-3)
    plain = obstacles(study, grid)
    places = study.assembly.placements
    lowered = [
        replace(each, translation=each.translation - np.array([0.0, 0.0, 0.045]))
        if each.group == "disc" else each for each in places
    ]  # fmt: skip
    assembly = replace(study.assembly, placements=tuple(lowered))
    assert obstacles(replace(study, assembly=assembly), grid).sum() > plain.sum() + 500


@pytest.mark.parametrize("voxel", [2e-3, 3e-3])
def test_the_gap_to_other_parts_is_kept_by_voxels_of_any_size(study: Study, voxel: float) -> None:
    """Voxels that may be filled stay clear of the corners of legs and tray, to a fine cell."""
    grid = fitted(study.frame, voxel)
    clear = ~obstacles(study, grid)
    middles = np.stack([each.ravel() for each in np.broadcast_arrays(*grid.centres())], axis=1)
    mine = KDTree(middles[clear.ravel()])
    turn = arm_axes(float(study.layout.arm_angles[0]))
    root = np.array([study.frame.clamp.root_radius, 0.0, 0.0])
    least = np.inf
    for place in study.assembly.placements:
        if place.key not in ("leg", "tray"):
            continue
        mesh = study.assembly.meshes[place.key]
        points = (mesh.vertices @ place.rotation.T + place.translation) @ turn.T - root
        for point, near in zip(points, mine.query_ball_point(points, 4 * voxel), strict=True):
            away = np.maximum(np.abs(mine.data[near] - point) - voxel / 2, 0.0)
            least = min(least, *np.linalg.norm(away, axis=1), np.inf)
    assert PART_GAP - FINE < least < PART_GAP + SWELL * voxel + voxel


def test_seats_and_bores_are_exact(study: Study, space: Space) -> None:
    """Seats lie flush with the drawn arm's ends; bolts take just their holes from the faces."""
    arm = study.frame.arm
    low, high = kernel.bounds(space.seats)
    half = arm.width / 2
    assert low == pytest.approx([0.0, -half, -arm.depth_root / 2], abs=1e-6)
    assert high == pytest.approx([arm.length, half, arm.depth_root / 2], abs=1e-6)
    top = arm.depth_root / 2
    face = kernel.common(space.seats, kernel.box((-1.0, -1.0, top - FACE), (1.0, 1.0, top)))
    left = kernel.volume(kernel.cut(face, space.bores))
    hole = study.task.hardware.screws[study.frame.clamp.screw].clearance_hole
    drilled = pi / 4 * (hole + study.frame.hole_allowance) ** 2
    assert kernel.volume(face) - left == pytest.approx(8 * drilled * FACE, rel=0.001)
    outside = kernel.box((0.01, half, 0.0), (0.02, half + 1e-3, 0.01))
    assert kernel.volume(kernel.cut(outside, space.bores)) == pytest.approx(0.0, abs=1e-13)


@pytest.mark.parametrize("voxel", [0.2e-3, 9e-3])
def test_voxels_out_of_bounds_are_refused(study: Study, voxel: float) -> None:
    with pytest.raises(InputError, match="voxel"):
        space_of(study, voxel)


def test_tubes_and_split_arms_are_refused(study: Study) -> None:
    for change in ({"family": "tube"}, {"split": 0.15}):
        frame = replace(study.frame, arm=replace(study.frame.arm, **change))  # type: ignore[arg-type]
        with pytest.raises(InputError, match="printed arm in one piece"):
            space_of(replace(study, frame=frame), 2e-3)
