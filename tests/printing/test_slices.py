"""Layers and columns of plain bodies against their closed forms, and against trimesh's volume."""

import numpy as np
import pytest
import trimesh

from refledge.analysis.columns import cast_columns, filled
from refledge.errors import GeometryError
from refledge.model.results import TriMesh
from refledge.printing.slices import slice_part


def _mesh(body: trimesh.Trimesh) -> TriMesh:
    body.apply_translation((0, 0, -body.bounds[0, 2]))
    return TriMesh(np.asarray(body.vertices, float), np.asarray(body.faces, np.int64))


def _plate() -> TriMesh:
    """100 x 20 x 10 mm with a bore of 8 mm; the cut is made in single precision."""
    block = trimesh.creation.box((0.1, 0.02, 0.01))
    bore = trimesh.creation.cylinder(0.004, 0.05, sections=64)
    return _mesh(trimesh.boolean.difference([block, bore], engine="manifold"))


def test_area_and_outline_of_a_bored_plate() -> None:
    cuts = slice_part(_plate(), 2e-4)
    polygon = 0.5 * 64 * 0.004**2 * np.sin(2 * np.pi / 64)
    around = 64 * 2 * 0.004 * np.sin(np.pi / 64)
    assert len(cuts.levels) == 50
    np.testing.assert_allclose(cuts.areas, 0.1 * 0.02 - polygon, rtol=1e-7)
    np.testing.assert_allclose(cuts.outlines, 0.24 + around, rtol=1e-7)


def test_straight_runs_join_across_triangles() -> None:
    """Each long side is one run, however many triangles it is made of."""
    body = trimesh.creation.box((0.1, 0.02, 0.01)).subdivide().subdivide()
    cuts = slice_part(_mesh(body), 2e-4)
    assert len(cuts.runs) == 4 * len(cuts.levels)
    np.testing.assert_allclose(np.unique(np.round(cuts.runs, 9)), [0.02, 0.1])


def test_layers_add_up_to_the_volume() -> None:
    ball = trimesh.creation.icosphere(subdivisions=4, radius=0.03)
    cuts = slice_part(_mesh(ball), 1e-4)
    assert cuts.areas.sum() * 1e-4 == pytest.approx(ball.volume, rel=1e-4)


def test_columns_add_up_to_the_volume_and_layers_agree() -> None:
    mesh = _plate()
    columns = cast_columns(mesh.vertices, mesh.triangles, 2.5e-4)
    _, bottom, top = columns.inside
    volume = float(np.sum(top - bottom)) * columns.step**2
    cuts = slice_part(mesh, 2e-4)
    assert volume == pytest.approx(cuts.areas.sum() * 2e-4, rel=2e-3)
    cells = filled(columns, cuts.levels)
    assert cells.sum() * columns.step**2 * 2e-4 == pytest.approx(volume, rel=1e-9)


def test_entries_face_down_and_exits_up() -> None:
    mesh = _mesh(trimesh.creation.icosphere(subdivisions=3, radius=0.02))
    columns = cast_columns(mesh.vertices, mesh.triangles, 5e-4)
    assert np.all(columns.rises[::2] < 0)
    assert np.all(columns.rises[1::2] > 0)


def test_open_surface_is_refused() -> None:
    mesh = _plate()
    with pytest.raises(GeometryError, match="not closed"):
        cast_columns(mesh.vertices, mesh.triangles[: len(mesh.triangles) // 2], 5e-4)
