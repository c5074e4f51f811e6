"""The port to the solid modeller against formulas written out here.

Volumes, areas and moments of blocks and bars are school formulas; the modeller integrates exactly,
so 1e-9 relative is rounding only. Triangles keep volume and inertia to 0.1 %.
"""

import subprocess
import sys
from math import pi
from pathlib import Path

import numpy as np
import pytest
import trimesh

from refledge.errors import GeometryError
from refledge.geometry import kernel, kernel_fake
from refledge.geometry.mesh import is_watertight, mesh_moments, mesh_volume, weld
from refledge.geometry.profile import arc_circle, circle, polyline, rectangle, rounded
from refledge.model.results import TriMesh

QUARTER = np.array([[0.0, -1.0, 0.0], [1.0, 0.0, 0.0], [0.0, 0.0, 1.0]])


def drilled() -> kernel.Solid:
    """Block 100 x 20 x 20 mm with an upright hole of 6 mm."""
    block = kernel.box((0, -0.01, -0.01), (0.1, 0.01, 0.01))
    return kernel.cut(block, kernel.cone((0.05, 0, -0.02), 0.006, 0.006, 0.04))


def test_volume_area_centroid_and_inertia_of_a_block() -> None:
    a, b, c = 0.1, 0.02, 0.03
    found = kernel.moments(kernel.box((0, 0, 0), (a, b, c)))
    assert found.size == pytest.approx(a * b * c, rel=1e-9)
    assert found.centroid == pytest.approx([a / 2, b / 2, c / 2], rel=1e-9)
    expected = np.diag([b * b + c * c, a * a + c * c, a * a + b * b]) * a * b * c / 12
    assert found.second == pytest.approx(expected, rel=1e-9, abs=1e-16)
    assert kernel.area(kernel.box((0, 0, 0), (a, b, c))) == pytest.approx(
        2 * (a * b + b * c + c * a), rel=1e-9
    )


def test_cone_and_hole() -> None:
    h, d, e = 0.03, 0.01, 0.004
    cone = kernel.cone((0, 0, 0), d, e, h)
    assert kernel.volume(cone) == pytest.approx(pi * h * (d * d + d * e + e * e) / 12, rel=1e-9)
    assert kernel.volume(drilled()) == pytest.approx(4e-5 - pi * 0.003**2 * 0.02, rel=1e-9)


@pytest.mark.parametrize("axis", ["x", "y", "z"])
def test_extrusion_with_a_hole_on_each_axis(axis: str) -> None:
    outline = rounded(rectangle(0, 0.04, 0, 0.02), 0.003)
    prism = kernel.extrude(outline, 0.001, 0.011, [circle((0.01, 0.01), 0.008)], axis=axis)
    flat = 0.04 * 0.02 - (4 - pi) * 0.003**2 - pi * 0.004**2
    assert kernel.volume(prism) == pytest.approx(flat * 0.01, rel=1e-9)
    low, high = kernel.bounds(prism)
    along = "xyz".index(axis)
    assert (low[along], high[along]) == pytest.approx((0.001, 0.011), abs=1e-7)


def test_booleans_obey_inclusion_and_exclusion() -> None:
    one, other = kernel.box((0, 0, 0), (1, 1, 1)), kernel.box((0.5, 0.5, 0.5), (2, 2, 2))
    both, either = kernel.common(one, other), kernel.fuse(one, other)
    assert kernel.volume(both) == pytest.approx(0.125, rel=1e-9)
    total = kernel.volume(one) + kernel.volume(other)
    assert kernel.volume(either) + kernel.volume(both) == pytest.approx(total, rel=1e-9)
    assert (
        kernel.volume(kernel.common(one, kernel.move(one, np.eye(3), np.array([1.0, 0, 0])))) == 0
    )


def test_move_turns_first_and_shifts_then() -> None:
    moved = kernel.move(kernel.box((0, 0, 0), (2, 1, 1)), QUARTER, np.array([10.0, 0, 0]))
    assert kernel.moments(moved).centroid == pytest.approx([9.5, 1.0, 0.5])


def test_fillet_reports_the_radius_that_worked() -> None:
    block = kernel.box((0, 0, 0), (0.1, 0.02, 0.02))
    kept, radius = kernel.fillet(block, [(0, 0, 0.01)], 0.004)
    assert radius == 0.004
    assert kernel.volume(kept) == pytest.approx(4e-5 - (1 - pi / 4) * 0.004**2 * 0.02, rel=1e-9)
    smaller, radius = kernel.fillet(block, [(0, 0, 0.01)], 0.030)
    assert radius in {0.015, 0.0075, 0.00375}
    assert kernel.volume(smaller) < kernel.volume(block)
    bevelled = kernel.chamfer(block, [(0, 0, 0.01)], 0.004)
    assert kernel.volume(bevelled) == pytest.approx(4e-5 - 0.004**2 / 2 * 0.02, rel=1e-9)


def test_section_has_the_moments_of_a_rectangle() -> None:
    found = kernel.section(drilled(), (0.02, 0, 0), (1, 0, 0))
    assert found.size == pytest.approx(0.02**2, rel=1e-9)
    assert found.second[1, 1] == pytest.approx(0.02**4 / 12, rel=1e-9)
    through = kernel.section(drilled(), (0.05, 0, 0), (1, 0, 0))
    assert through.size == pytest.approx(0.02 * 0.014, rel=1e-9)


def test_contours_keep_arcs() -> None:
    outer, hole = kernel.contours(drilled(), 0.0)
    assert len(outer) == 4
    (centre, radius, _, sweep) = arc_circle(hole[0])
    assert centre == pytest.approx((0.05, 0.0), abs=1e-9)
    assert radius == pytest.approx(0.003, rel=1e-6)
    assert abs(sweep) == pytest.approx(pi, rel=1e-6)
    assert np.ptp(polyline(outer), axis=0) == pytest.approx([0.1, 0.02], rel=1e-9)


def test_distance() -> None:
    one = kernel.box((0, 0, 0), (1, 1, 1))
    assert kernel.distance(
        one, kernel.move(one, np.eye(3), np.array([3.0, 0, 0]))
    ) == pytest.approx(2)


def test_two_bodies_or_none_are_refused() -> None:
    one = kernel.box((0, 0, 0), (1, 1, 1))
    apart = kernel.move(one, np.eye(3), np.array([3.0, 0, 0]))
    with pytest.raises(GeometryError, match="my part: 2 bodies"):
        kernel.checked(kernel.fuse(one, apart), "my part")
    with pytest.raises(GeometryError, match="my part: 0 bodies"):
        kernel.checked(kernel.common(one, apart), "my part")


def test_tessellation_is_closed_and_close() -> None:
    mesh = kernel.tessellate(drilled())
    assert is_watertight(mesh)
    assert mesh_volume(mesh) == pytest.approx(kernel.volume(drilled()), rel=5e-3)
    moved = kernel.tessellate(kernel.move(drilled(), QUARTER, np.array([1.0, 2.0, 3.0])))
    turned = mesh.vertices @ QUARTER.T + np.array([1.0, 2.0, 3.0])
    assert moved.vertices.mean(axis=0) == pytest.approx(turned.mean(axis=0), abs=1e-8)


def test_an_open_surface_is_refused() -> None:
    corners = np.array([[0.0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]])
    closed = np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [0, 3, 2]])
    assert weld([(corners, closed)]).triangles.shape == (4, 3)
    with pytest.raises(GeometryError, match="do not close"):
        weld([(corners, closed[:3])])
    turned = closed.copy()
    turned[0] = turned[0, ::-1]
    assert not is_watertight(TriMesh(corners, turned))


def test_step_gives_the_same_volume_and_the_same_bytes(tmp_path: Path) -> None:
    placed = kernel.move(drilled(), QUARTER, np.array([0.0, 0, 0.1]))
    texts = []
    for name in ("one.step", "two.step"):
        kernel.write_step({"a bar": drilled(), "a & b": placed}, tmp_path / name, title="frame")
        texts.append((tmp_path / name).read_text())
    assert texts[0] == texts[1]
    assert "AP242" in texts[0]
    assert "'a bar'" in texts[0]
    assert "1970-01-01T00:00:00" in texts[0]
    bodies = kernel.read_step(tmp_path / "one.step")
    assert len(bodies) == 2
    for body in bodies:
        assert kernel.volume(body) == pytest.approx(kernel.volume(drilled()), rel=1e-6)


def test_one_solid_moved_twice_is_written_once(tmp_path: Path) -> None:
    solid = drilled()
    kernel.write_step({"one": solid}, tmp_path / "one.step")
    moved = {f"bar {i}": kernel.move(solid, np.eye(3), np.array([0, 0, 0.1 * i])) for i in range(9)}
    kernel.write_step(moved, tmp_path / "nine.step")
    once, nine = ((tmp_path / f"{n}.step").read_text() for n in ("one", "nine"))
    assert nine.count("MANIFOLD_SOLID_BREP(") == once.count("MANIFOLD_SOLID_BREP(") == 1
    assert len(kernel.read_step(tmp_path / "nine.step")) == 9


def test_what_is_not_step_is_refused(tmp_path: Path) -> None:
    (tmp_path / "x.step").write_text("no")
    with pytest.raises(GeometryError, match=r"x\.step"):
        kernel.read_step(tmp_path / "x.step")


def test_importing_does_not_load_the_modeller() -> None:
    code = "import sys, refledge.geometry.assembly; sys.exit(any(m == 'OCP' for m in sys.modules))"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_fake_agrees_with_the_real_kernel_on_every_operation() -> None:
    volumes = []
    for k in (kernel, kernel_fake):
        block = k.extrude(rounded(rectangle(0, 0.04, 0, 0.02), 0.003), 0, 0.01)
        turned = k.move(block, QUARTER, np.array([0.02, -0.01, 0.004]))
        joined = k.fuse(block, turned, k.cone((0.02, 0.01, 0.0), 0.01, 0.004, 0.03))
        shape = k.cut(joined, k.box((0.005, -0.1, -0.1), (0.01, 0.1, 0.1)))
        volumes.append([k.volume(each) for each in (joined, shape, k.common(block, turned))])
    # one point in each of 400,000 cells: error below the count of cells on the surface, some 0.1 %
    assert volumes[0] == pytest.approx(volumes[1], rel=3e-3)


@pytest.mark.parametrize("diameter", [0.008, 0.016, 0.025])
def test_triangles_keep_volume_and_inertia_of_a_thin_tube(diameter: float) -> None:
    """To 0.1 %, as an independent library measures them: a ring of 1 mm, the hardest case."""
    bar = kernel.cone((0.0, 0.0, 0.0), diameter, diameter, 0.2)
    bore = kernel.cone((0.0, 0.0, -0.01), diameter - 2e-3, diameter - 2e-3, 0.22)
    tube = kernel.cut(bar, bore)
    mesh, exact = kernel.tessellate(tube), kernel.moments(tube)
    other = trimesh.Trimesh(1e3 * mesh.vertices, mesh.triangles, process=False)
    assert other.volume / 1e9 == pytest.approx(exact.size, rel=1e-3)
    away = np.abs(other.moment_inertia / 1e15 - exact.second).max()
    assert away < 1e-3 * exact.second.max()


def test_moments_of_a_mesh_are_those_of_an_independent_library() -> None:
    solid = kernel.move(drilled(), QUARTER, np.array([0.3, -0.2, 0.1]))
    mesh = kernel.tessellate(solid)
    size, second = mesh_moments(mesh)
    other = trimesh.Trimesh(mesh.vertices, mesh.triangles, process=False)
    assert size == pytest.approx(other.volume, rel=1e-9)
    assert np.allclose(second, other.moment_inertia, rtol=1e-6, atol=1e-6 * np.abs(second).max())


def test_a_body_gives_the_same_triangles_after_finer_ones() -> None:
    """The modeller keeps the finest it has made; ours must not depend on what came before."""
    solid = kernel.cone((0.0, 0.0, 0.0), 0.02, 0.02, 0.01)
    fine = kernel.tessellate(solid, 1e-6, 0.02)
    after = kernel.tessellate(solid)
    fresh = kernel.tessellate(kernel.cone((0.0, 0.0, 0.0), 0.02, 0.02, 0.01))
    assert len(fine.triangles) > 2 * len(after.triangles)
    assert len(after.triangles) == len(fresh.triangles)
    assert kernel.tessellate(solid) is after
