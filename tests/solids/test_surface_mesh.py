"""Tetrahedra of a triangle surface: volume, named faces, and the answer of the usual path."""

from functools import cache
from math import pi

import numpy as np
import pytest

from refledge.errors import AnalysisError
from refledge.geometry import kernel
from refledge.geometry.mesh import is_watertight, mesh_volume
from refledge.model.results import TriMesh
from refledge.solids.cases import FaceLoad, SolidCase, Support
from refledge.solids.mesh import SolidMesh, area_vectors, volumes
from refledge.solids.part import PrintedBody, solve_on
from refledge.solids.port import MeshSize, mesh_solids
from refledge.solids.regions import Bore, Plane, Rectangle, Ring
from refledge.solids.remesh import Given, even
from refledge.solids.remesh_skin import Skin, edges_of, normals_of
from refledge.solids.surface_mesh import mesh_surface
from tests.solids.arm_part import PETG

LENGTH, SIDE = 0.06, 0.012
REGIONS = {
    "root": Plane((0, 0, 0), (1, 0, 0)),
    "ring": Ring((0.052, 0, SIDE / 2), (0, 0, 1), 0.0016, 0.0035),
    "pad": Rectangle((0.03, 0, SIDE / 2), (0, 0, 1), (1, 0, 0), 0.010, 0.008),
    "bore": Bore((0.052, 0, 0), (0, 0, 1), 0.0016),
}


@cache
def bar() -> kernel.Solid:
    """A bar with an upright hole near its tip."""
    block = kernel.box((0, -SIDE / 2, -SIDE / 2), (LENGTH, SIDE / 2, SIDE / 2))
    return kernel.cut(block, kernel.cone((0.052, 0, -0.01), 0.0032, 0.0032, 0.02))


@cache
def meshed(size: float = 2.5e-3) -> SolidMesh:
    return mesh_surface("bar", kernel.tessellate(bar()), REGIONS, MeshSize(size))


def area(mesh: SolidMesh, name: str) -> float:
    return float(np.linalg.norm(area_vectors(mesh.nodes, mesh.face(name)), axis=1).sum())


def test_volume_and_surface_are_the_bars() -> None:
    mesh = meshed()
    whole = LENGTH * SIDE**2 - pi * 0.0016**2 * SIDE
    assert volumes(mesh.nodes, mesh.tets).sum() == pytest.approx(whole, rel=2e-3)
    outer = TriMesh(mesh.nodes[: mesh.corners], mesh.triangles[:, :3])
    assert is_watertight(outer)


def test_named_faces_have_their_own_areas() -> None:
    """Outlines are followed by chords: rings lack a few per cent, a corner may be cut."""
    mesh = meshed()
    assert area(mesh, "root") == pytest.approx(SIDE**2, rel=1e-6)
    assert area(mesh, "pad") == pytest.approx(0.010 * 0.008, rel=0.03)
    assert area(mesh, "ring") == pytest.approx(pi * (0.0035**2 - 0.0016**2), rel=0.08)
    assert area(mesh, "bore") == pytest.approx(2 * pi * 0.0016 * SIDE, rel=0.04)
    points = mesh.nodes[mesh.face_nodes("pad")]
    np.testing.assert_allclose(points[:, 2], SIDE / 2, atol=1e-9)
    assert np.abs(points[:, 0] - 0.03).max() == pytest.approx(0.005, abs=1e-5)


def test_the_usual_path_gives_the_same_deflection() -> None:
    """Two meshes of one bar: both are within a per cent of the limit at this size."""
    load = FaceLoad("ring", np.array([0, 0, 10.0]), np.array([0.052, 0, SIDE / 2]))
    body = {"bar": PrintedBody(bar(), PETG, (0.0, 0.0, 1.0))}
    usual = mesh_solids({"bar": bar()}, REGIONS, MeshSize(2.5e-3))
    found = []
    for mesh in (meshed(), usual):
        run = solve_on(mesh, body, (Support(("root",)),), (SolidCase("push", (load,)),), n_modes=2)
        assert run.static is not None
        assert run.modes is not None
        found.append([run.static.motion("ring")[0][2], *run.modes.frequencies[:2]])
    np.testing.assert_allclose(found[0], found[1], rtol=0.01)


def test_a_covered_face_is_told() -> None:
    away = {"seat": Rectangle((0.03, 0, 0.02), (0, 0, 1), (1, 0, 0), 0.01, 0.01)}
    with pytest.raises(AnalysisError, match="no face of the surface lies on: seat"):
        mesh_surface("bar", kernel.tessellate(bar()), away, MeshSize(4e-3))


def test_an_open_surface_is_refused() -> None:
    mesh = kernel.tessellate(bar())
    with pytest.raises(AnalysisError, match="no closed body"):
        mesh_surface("bar", TriMesh(mesh.vertices, mesh.triangles[1:]), {}, MeshSize(4e-3))


@pytest.mark.parametrize("size", [2e-3, 4e-3])
def test_even_triangles_keep_the_body(size: float) -> None:
    given = kernel.tessellate(bar())
    label = np.zeros(len(given.triangles), np.int64)
    skin = even(Skin(given.vertices, given.triangles, label), size)
    made = TriMesh(skin.points, skin.tris)
    assert is_watertight(made)
    assert mesh_volume(made) == pytest.approx(mesh_volume(given), rel=3e-3)
    normal, areas = normals_of(skin.points, skin.tris)
    edges = edges_of(skin.tris)
    bend = np.sum(normal[edges.sides[:, 0]] * normal[edges.sides[:, 1]], axis=1)
    assert bend.min() > -0.5  # none is folded back on its neighbour
    far = skin.points[skin.tris].mean(axis=1)[:, 0] < 0.045
    even_area = 3**0.5 / 4 * size**2
    assert 0.5 * even_area < np.median(areas[far]) < 1.6 * even_area


def test_a_point_is_put_back_on_its_own_face_of_a_thin_wall() -> None:
    """A wall of 0.7 mm: coarse above, so fine below that all the nearest triangles lie there."""
    n, wide, thick = 24, 0.012, 7e-4
    at = np.linspace(-wide, wide, n + 1)
    x, y = (each.ravel() for each in np.meshgrid(at, at, indexing="ij"))
    below = np.column_stack((x, y, np.zeros_like(x)))
    corner = (np.arange(n)[:, None] * (n + 1) + np.arange(n)).ravel()
    fine = [corner[:, None] + each for each in ((0, 1, n + 1), (1, n + 2, n + 1))]
    above = np.array([[-wide, -wide], [wide, -wide], [wide, wide], [-wide, wide]])
    tris = np.vstack((*fine, len(below) + np.array([[0, 1, 2], [0, 2, 3]])))
    points = np.vstack((below, np.column_stack((above, np.full(4, thick)))))
    given = Given(Skin(points, tris, np.zeros(len(tris), np.int64)))
    asked = np.array([[-0.011, -0.011, thick + 1e-5], [-0.011, -0.011, -1e-5]])
    up = np.array([[0.0, 0.0, 1.0], [0.0, 0.0, -1.0]])
    found, away = given.nearest(asked, up)
    np.testing.assert_allclose(found[1], [-0.011, -0.011, 0.0], atol=1e-12)
    assert away[1] == pytest.approx(1e-5)
    np.testing.assert_allclose(found[0, 2], asked[0, 2])  # stays: none of its face is near
    assert given.beyond(1e-3)(asked, up)[0] == np.inf


def test_edges_are_short_round_a_spot_and_grow_away_from_it() -> None:
    spot, edge = (0.03, SIDE / 2, 0.0), 6e-4
    size = MeshSize(4e-3, grading=0.5, spots=((*spot, edge),))
    mesh = mesh_surface("bar", kernel.tessellate(bar()), {"root": REGIONS["root"]}, size)
    away = np.linalg.norm(mesh.nodes[mesh.triangles[:, :3]].mean(axis=1) - spot, axis=1)
    area_each = np.linalg.norm(area_vectors(mesh.nodes, mesh.triangles), axis=1)
    found = np.sqrt(area_each * 4 / 3**0.5)
    for least, most in ((0.0, 1.5e-3), (3e-3, 4.5e-3)):
        ring = (away >= least) & (away < most)
        asked = edge + size.grading * away[ring].mean()
        assert 0.6 * asked < np.median(found[ring]) < 1.5 * asked
    assert volumes(mesh.nodes, mesh.tets).sum() == pytest.approx(
        volumes(meshed().nodes, meshed().tets).sum(), rel=5e-3
    )
