"""A body known by its triangles answers as the drawn body does that they were taken from."""

import numpy as np
import pytest

from refledge.errors import GeometryError
from refledge.geometry import kernel
from refledge.geometry.kernel import MeshSolid, Solid
from refledge.geometry.mesh_lines import chained
from refledge.model.results import TriMesh
from refledge.outputs.drawing.lines import tidy

FRONT, RIGHT = (0.0, -1.0, 0.0), (1.0, 0.0, 0.0)


@pytest.fixture(scope="module")
def drawn() -> Solid:
    """A block with a step and a blind square pocket from its back, which the front view hides."""
    block = kernel.box((0, 0, 0), (0.06, 0.02, 0.03))
    step = kernel.box((0.04, -0.01, 0.02), (0.07, 0.03, 0.04))
    pocket = kernel.box((0.01, 0.01, 0.005), (0.025, 0.03, 0.015))
    return kernel.cut(block, step, pocket)


@pytest.fixture(scope="module")
def meshed(drawn: Solid) -> MeshSolid:
    return MeshSolid(kernel.tessellate(drawn), drawn)


def test_it_measures_the_same(drawn: Solid, meshed: MeshSolid) -> None:
    one, other = kernel.moments(drawn), kernel.moments(meshed)
    assert other.size == pytest.approx(one.size)
    assert other.centroid == pytest.approx(one.centroid)
    assert other.second == pytest.approx(one.second)
    assert kernel.area(meshed) == pytest.approx(kernel.area(drawn))
    assert kernel.bounds(meshed) == pytest.approx(kernel.bounds(drawn), abs=1e-9)
    for place, normal in (((0.02, 0, 0), (1, 0, 0)), ((0, 0.015, 0), (0, 1, 0))):
        cut, own = kernel.section(meshed, place, normal), kernel.section(drawn, place, normal)
        assert cut.size == pytest.approx(own.size)
        assert cut.centroid == pytest.approx(own.centroid, abs=1e-9)
        assert cut.second == pytest.approx(own.second, abs=1e-15)


def test_it_moves_meets_and_is_cut_the_same(drawn: Solid, meshed: MeshSolid) -> None:
    turn, shift = np.array([[0.0, -1, 0], [1, 0, 0], [0, 0, 1]]), np.array([0.01, 0.02, 0.0])
    there, own = kernel.move(meshed, turn, shift), kernel.move(drawn, turn, shift)
    assert kernel.moments(there).centroid == pytest.approx(kernel.moments(own).centroid)
    other = kernel.box((-0.01, 0.01, 0.01), (0.02, 0.05, 0.02))
    wanted = kernel.volume(kernel.common(own, other))
    assert wanted > 1e-7
    assert kernel.volume(kernel.common(there, other)) == pytest.approx(wanted)
    assert kernel.volume(kernel.common(other, there)) == pytest.approx(wanted)
    beside = kernel.box((1, 1, 1), (2, 2, 2))
    assert kernel.volume(kernel.common(there, beside)) == 0.0
    rest = kernel.behind(meshed, (0.0, 0.015, 0.0), FRONT)
    assert kernel.volume(rest) == pytest.approx(
        kernel.volume(kernel.behind(drawn, (0.0, 0.015, 0.0), FRONT))
    )


def test_its_faces_are_those_of_what_is_drawn_exactly(drawn: Solid, meshed: MeshSolid) -> None:
    assert len(kernel.levels(meshed)) == len(kernel.levels(drawn))
    inside = np.array([[0.005, 0.01, 0.01], [0.02, 0.015, 0.01]])
    assert kernel.holds(meshed, inside) == [True, False]


def test_its_view_has_the_same_lines_seen_and_hidden(drawn: Solid, meshed: MeshSolid) -> None:
    def long(lines: tuple[np.ndarray, ...]) -> float:
        return sum(float(np.linalg.norm(np.diff(each, axis=0), axis=1).sum()) for each in lines)

    away = np.array([0.013, 0.0, -0.021])  # no corner of the paper in the origin
    found, wanted = (
        tidy(kernel.project(kernel.move(each, np.eye(3), away), FRONT, RIGHT))
        for each in (meshed, drawn)
    )
    outline = 2 * (0.06 + 0.03)  # a step does not change the length round it
    assert long(wanted.visible) == pytest.approx(outline)
    assert long(found.visible) == pytest.approx(outline, rel=0.02)
    pocket = 2 * (0.015 + 0.01)
    assert long(wanted.hidden) == pytest.approx(pocket)
    assert long(found.hidden) == pytest.approx(pocket, rel=0.05)


def test_one_body_hides_another(meshed: MeshSolid) -> None:
    wall = kernel.box((-0.01, -0.03, -0.01), (0.07, -0.02, 0.05))
    mine, walls = kernel.project_together([meshed, wall], FRONT, RIGHT)
    assert mine == ()
    assert np.concatenate(walls).max(axis=0) == pytest.approx([0.07, 0.05], abs=1e-3)
    mine, _ = kernel.project_together([meshed, wall], (0.0, 1.0, 0.0), (-1.0, 0.0, 0.0))
    assert len(mine) > 0


def test_stretches_join_end_to_end() -> None:
    line = np.array([[[0, 0], [1, 0]], [[2, 0], [1, 0]], [[2, 0], [2, 1]], [[5, 5], [6, 5]]], float)
    found = sorted(chained(line), key=len)
    assert [len(each) for each in found] == [2, 4]
    assert found[1].tolist() in ([[0, 0], [1, 0], [2, 0], [2, 1]], [[2, 1], [2, 0], [1, 0], [0, 0]])


def test_faces_for_step_keep_the_volume(drawn: Solid, meshed: MeshSolid) -> None:
    assert kernel.with_faces(drawn) is drawn
    assert kernel.volume(kernel.with_faces(meshed)) == pytest.approx(kernel.volume(drawn), rel=1e-6)


def test_open_triangles_are_no_body(drawn: Solid) -> None:
    mesh = kernel.tessellate(drawn)
    with pytest.raises(GeometryError, match="do not close"):
        MeshSolid(TriMesh(mesh.vertices, mesh.triangles[:-1]), drawn)
