"""From densities to a surface: volume kept, closed, no bias to one side."""

from dataclasses import replace
from math import pi

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter

from refledge.errors import GeometryError
from refledge.geometry.mesh import is_watertight, mesh_volume
from refledge.model.results import TriMesh
from refledge.shaping.grown import Grown
from refledge.shaping.printable import FLAT_ENOUGH, Shell, filled, printable
from refledge.shaping.surface import (
    JUMP,
    LEVELS,
    _crossing,
    corner_normals,
    edges_of,
    enclose,
    taubin,
)
from refledge.shaping.surface_thick import OVER, SLOPE, flush, raised
from refledge.shaping.surface_walls import ThinSpots, thin_spots, thin_walls
from refledge.solids.remesh import Given
from refledge.solids.remesh_skin import Skin
from refledge.voxels.grid import Grid
from tests.shaping.bodies import RADIUS, H, beam, sphere

WALL = 0.9e-3


@pytest.mark.parametrize("crisp", [True, False])
def test_a_ball_keeps_its_volume_and_place(crisp: bool) -> None:
    """Within a quarter voxel of the ball where voxels are crisp, a tenth where they are shared."""
    density, grid = sphere(crisp)
    found = enclose(density, grid)
    assert is_watertight(found.mesh)
    assert mesh_volume(found.mesh) == pytest.approx(density.sum() * H**3, rel=2e-5)
    assert found.volume == pytest.approx(4 / 3 * pi * RADIUS**3, rel=0.02)
    away = np.linalg.norm(found.mesh.vertices, axis=1) - RADIUS
    assert np.abs(away).max() < (0.25 if crisp else 0.1) * H


def test_plain_averaging_shrinks_where_taubin_does_not() -> None:
    density, grid = sphere(True)
    mesh = enclose(density, grid).mesh
    again = taubin(mesh)
    assert abs(mesh_volume(again) / mesh_volume(mesh) - 1) < 0.005
    assert not np.allclose(again.vertices, mesh.vertices, atol=1e-7)


def test_a_bar_keeps_its_sides() -> None:
    """Within what triangles may leave the surface by later: the filter overshoots by its edges."""
    part = beam((30, 10, 8))
    mesh = enclose(part.density, part.grid).mesh
    normal = corner_normals(mesh)
    middle = np.abs(mesh.vertices - [0.015, 0, 0]) < [0.01, 0.003, 0.05]
    top = (normal[:, 2] > 0.99) & middle.all(axis=1)
    np.testing.assert_allclose(mesh.vertices[top, 2], 0.004, atol=FLAT_ENOUGH * H)


def test_mirrored_densities_give_mirrored_surfaces() -> None:
    grid = Grid((12, 10, 8), H, (-0.006, -0.005, -0.004))
    density = gaussian_filter(np.random.default_rng(3).random(grid.shape), 1.5)
    density = np.clip(0.5 + 8 * (density + density[::-1] - 1), 0, 1)
    found = enclose(density, grid)
    mesh = found.mesh
    mirrored = mesh.vertices * [-1, 1, 1]
    skin = Skin(mesh.vertices, mesh.triangles, np.zeros(len(mesh.triangles), np.int64))
    feet, _ = Given(skin).nearest(mirrored, corner_normals(mesh) * [-1, 1, 1])
    away = np.linalg.norm(feet - mirrored, axis=1)
    # The triangles' diagonals run one way only, and weigh in the mean of neighbours.
    assert away.max() < 0.25 * H
    assert np.sqrt(np.mean(away**2)) < FLAT_ENOUGH * H
    a, b, c = (mesh.vertices[mesh.triangles[:, k]] for k in range(3))
    moment = np.einsum("ij,ij,ik->k", a, np.cross(b, c), a + b + c) / 24
    assert abs(moment[0]) < 0.01 * H * found.volume  # centroid within a hundredth of a voxel


def test_an_empty_field_is_refused() -> None:
    with pytest.raises(GeometryError, match="no plastic"):
        enclose(np.zeros((4, 4, 4)), Grid((4, 4, 4), H))


def test_a_grey_field_is_refused_with_what_to_do() -> None:
    with pytest.raises(GeometryError, match="too grey"):
        enclose(np.full((6, 6, 6), 0.01), Grid((6, 6, 6), H))


def test_a_bar_with_exact_ends_and_bores() -> None:
    found = printable(beam(), WALL)
    assert is_watertight(found.mesh)
    whole = 40 * 10 * 10 * H**3 - 2 * pi * 0.0015**2 * 0.01
    assert found.volume == pytest.approx(whole, rel=0.005)
    assert not found.islands
    assert not found.cavities
    assert not found.thin
    ends = found.mesh.vertices[:, 0] < 0.0075
    assert found.mesh.vertices[ends, 2].max() == pytest.approx(0.005, abs=1e-9)
    bore = np.hypot(found.mesh.vertices[:, 0] - 0.004, found.mesh.vertices[:, 1]) < 0.0016
    radius = np.hypot(found.mesh.vertices[bore, 0] - 0.004, found.mesh.vertices[bore, 1])
    np.testing.assert_allclose(radius, 0.0015, atol=2e-6)


def test_islands_are_dropped_and_cavities_filled_and_told() -> None:
    part = beam((40, 12, 20))
    density = part.density.copy()
    density[10:30, :, 8:] = 0.0
    density[18:22, 4:8, 14:18] = 1.0  # loose
    density[14:19, 4:8, 2:6] = 0.0  # closed in
    found = printable(replace(part, density=density), WALL)
    (island,), (cavity,) = found.islands, found.cavities
    assert island.volume == pytest.approx(64e-9, rel=0.25)
    assert island.place == pytest.approx((0.020, 0.0, 0.006), abs=0.5e-3)
    assert cavity.volume == pytest.approx(80e-9, rel=0.25)
    assert isinstance(cavity, Shell)
    assert cavity.place == pytest.approx((0.0165, 0.0, -0.006), abs=0.5e-3)
    kept = density.sum() * H**3 - 64e-9 + 80e-9 - 2 * pi * 0.0015**2 * 0.02
    assert found.volume == pytest.approx(kept, rel=0.005)


def test_seats_that_do_not_hang_together_are_refused() -> None:
    part = beam()
    density = part.density.copy()
    density[15:25] = 0.0
    with pytest.raises(GeometryError, match="2 pieces that each hold a seat"):
        printable(replace(part, density=density), WALL)


def necked(room: bool) -> Grown:
    """A beam whose middle is one voxel thick, with room beside it or none."""
    part = beam((40, 10, 10))
    away = np.zeros((40, 10, 10), bool)
    away[15:25, :5] = away[15:25, 6:] = True
    void = part.void if room else away
    return replace(part, density=np.where(away, 0.0, part.density), void=void)


def test_a_thin_wall_is_found_where_it_is_and_left_where_there_is_no_room() -> None:
    found = printable(necked(room=False), 1.5e-3)
    assert found.thin
    assert found.thin[0].place == pytest.approx((0.02, 0.0005, 0.0), abs=6e-3)
    assert abs(found.thin[0].place[1] - 0.0005) < 0.3e-3
    assert 0.5e-3 < found.thin[0].thickness < 1.4e-3
    assert found.thickened == 0
    assert not printable(beam((40, 10, 10)), 1.5e-3).thin


def test_a_thin_wall_is_thickened_where_there_is_room() -> None:
    """By what it lacks, not by whole voxels, and that is taken off all over."""
    thin, thick = (printable(necked(room=room), 1.5e-3) for room in (False, True))
    assert thin.thin
    assert not thick.thin
    neck = 10 * 10 * H**2
    found = np.sort(thin_spots(thick.mesh, 2e-3).thick)
    assert found[len(found) // 2] == pytest.approx(1.02 * 1.5e-3, abs=0.1e-3)
    assert 0.4e-3 * neck < thick.thickened < 1.0e-3 * neck
    more = thick.volume - thin.volume
    assert more < 0.8 * thick.thickened  # seats and the face on the bed put most of it back
    assert thick.smooth.volume == pytest.approx(thin.smooth.volume)


def test_a_wall_on_the_outer_face_grows_inwards_only() -> None:
    part = beam((40, 10, 10))
    density = part.density.copy()
    density[15:25, 1:] = 0.0
    found = printable(replace(part, density=density), 1.5e-3)
    assert not found.thin
    spots = thin_spots(found.mesh, 2e-3)
    assert np.median(spots.thick) == pytest.approx(OVER * 1.5e-3, abs=0.1e-3)
    skin = flush(density, part.grid)
    more = raised(skin, thin_spots(skin.mesh, 1.5e-3), 1.5e-3, 1.0, part)
    lowest = np.minimum(skin.mesh.vertices, part.origin)  # beyond, it would be cut to an edge
    assert (more.mesh.vertices[more.out > 0] >= lowest[more.out > 0] - 1e-9).all()


def test_corners_are_raised_by_what_is_missing_and_not_where_nothing_may_be() -> None:
    """A plate of 1 mm beside a block: half of what is missing on both faces, none by its void, and
    as much taken off the block."""
    grid = Grid((60, 24, 14), H / 2)
    density = np.zeros(grid.shape)
    density[2:30, 2:-2, 6:8] = density[30:-2, 2:-2, 1:-1] = 1.0
    void = np.zeros(grid.shape, bool)
    void[:10] = density[:10] == 0
    part = replace(beam(), grid=grid, density=density, keep=np.zeros_like(void), void=void)
    skin = flush(density, grid)
    spots = thin_spots(skin.mesh, 1.5e-3)
    more = raised(skin, spots, 1.5e-3, 0.5, part)
    x, y, _ = skin.mesh.vertices.T
    middle = (np.abs(x - 9e-3) < 2e-3) & (np.abs(y - 6e-3) < 3e-3)
    missing = OVER * 1.5e-3 - np.median(spots.thick)
    assert more.out[middle] == pytest.approx(missing / 2, rel=0.1)
    upper = ThinSpots(*(each[spots.normals[:, 2] > 0.5] for each in
                        (spots.starts, spots.normals, spots.thick, spots.areas)))  # fmt: skip
    both = raised(skin, upper, 1.5e-3, 0.5, part)
    assert both.out[middle] == pytest.approx(missing / 2, rel=0.1)
    assert (more.out[x < 4e-3] == 0).all()
    steps = np.abs(np.diff(more.out[edges_of(skin.mesh.triangles)], axis=1))
    assert 0 < steps.max() <= SLOPE * grid.spacing * (1 + 1e-9)
    assert mesh_volume(more.mesh) == pytest.approx(mesh_volume(skin.mesh), rel=1e-4)
    assert more.put == pytest.approx(missing * 10e-3 * 10e-3, rel=0.2)


def test_specks_are_no_walls() -> None:
    """One spot of a hundredth of a square millimetre from both sides, and one of a twentieth."""
    starts = np.array([[0.0, 0.0, 0.0], [1.0, 0.0, 0.0]])
    up = np.array([[0.0, 0.0, 1.0]] * 2)
    spots = ThinSpots(starts, up, np.array([1e-4, 2e-4]), np.array([1e-8, 5e-8]))
    (one,) = thin_walls(spots, 1e-3)
    assert one.place == (1.0, 0.0, -1e-4)
    assert one.area == pytest.approx(2.5e-8)
    assert len(spots.below(1.5e-4).thick) == 1


def test_films_are_filled_within_reach_and_not_where_nothing_may_be() -> None:
    """One voxel about its middle, two about their common face unless one must stay empty."""
    part = necked(room=True)
    part = replace(part, void=np.arange(40)[:, None, None] >= np.full((40, 10, 10), 20))
    middle = part.origin + (np.array([19, 3, 4]) + 0.5) * H
    one, two = {(19, 3, 4)}, {(19, 3, 4), (19, 4, 4)}
    for off, voxels in (((0, 0, 0), one), ((0, 0.5, 0), two), ((0.5, 0, 0), one)):
        found = filled(part, middle[None] + np.array(off) * H) - part.density
        assert {tuple(each) for each in np.argwhere(found)} == voxels


@pytest.mark.parametrize("up", [1.0, -1.0])
def test_the_face_on_the_bed_keeps_its_edges(up: float) -> None:
    """A step of the beam's outline on the bed reaches down to it; at the other face it is round."""
    part = beam((40, 10, 10))
    density = part.density.copy()
    density[15:25, :3] = 0.0
    density[15:25, 7:] = 0.0
    turned = np.diag([1.0, up, up])
    found = printable(replace(part, density=density, print_rotation=turned), WALL)
    x, y, z = found.mesh.vertices.T
    neck = (x > 18e-3) & (x < 22e-3)
    wide = [np.ptp(y[neck & (np.abs(z - side * up * 5e-3) < 1e-6)]) for side in (-1, 1)]
    assert wide[0] == pytest.approx(4e-3, abs=0.1e-3)
    assert wide[1] < 3.6e-3


def test_edges_of_a_block_are_no_thin_walls() -> None:
    corners = np.array([[x, y, z] for x in (0, 1) for y in (0, 1) for z in (0, 1)]) * 4e-3
    sides = ((0, 1, 3), (0, 3, 2), (4, 6, 7), (4, 7, 5), (0, 4, 5), (0, 5, 1),
             (2, 3, 7), (2, 7, 6), (0, 2, 6), (0, 6, 4), (1, 5, 7), (1, 7, 3))  # fmt: skip
    block = TriMesh(corners, np.array(sides))
    assert mesh_volume(block) == pytest.approx(64e-9)
    assert not len(thin_spots(block, 3.9e-3).places)
    (one, *_) = thin_walls(thin_spots(block, 4.2e-3), 8.4e-3)
    assert one.thickness == pytest.approx(4e-3, rel=1e-3)


@pytest.mark.parametrize(("jump", "taken"), [(0.5 * JUMP, True), (3.0 * JUMP, False)])
def test_a_small_jump_of_the_volume_is_left_to_moving_the_surface(jump: float, taken: bool) -> None:
    """The volume falls by ``jump`` at a level of 0.6, half of it either side of the one wanted."""

    def excess(level: float) -> float:
        return 1e-4 * (0.6 - level) + (jump / 2 if level < 0.6 else -jump / 2)

    ends = (excess(LEVELS[0]), excess(LEVELS[1]))
    if taken:
        assert _crossing(excess, LEVELS, ends) == pytest.approx(0.6, abs=1e-6)
    else:
        with pytest.raises(GeometryError, match="jumps past"):
            _crossing(excess, LEVELS, ends)
