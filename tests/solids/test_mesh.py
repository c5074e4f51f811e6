"""Meshes: mid-edge nodes, closed surfaces, named faces."""

from typing import Any

import numpy as np
import pytest

from refledge.errors import AnalysisError
from refledge.geometry import kernel
from refledge.geometry.mesh import is_watertight, mesh_volume
from refledge.solids import port
from refledge.solids.blocks import brick_mesh
from refledge.solids.mesh import TET_EDGES, quadratic, volumes
from refledge.solids.port import MeshSize
from refledge.solids.regions import Bore, Plane, pick
from refledge.solids.surface import coloured, outer_triangles
from tests.solids.bars import bar

CORNERS = np.array([[0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1], [1, 1, 1.0]])


def made(tets: list[list[int]], corners: np.ndarray = CORNERS):
    cells = np.array(tets)
    body = np.zeros(len(cells), dtype=np.int64)
    return quadratic(corners, cells, outer_triangles(corners, cells), {}, body, ("one",), 1.0)


def test_middles_lie_half_way_and_are_shared() -> None:
    mesh = made([[0, 1, 2, 3], [1, 2, 3, 4]])
    assert len(mesh.nodes) == 5 + 9  # 9 edges of two tetrahedra on one facet
    for k, (a, b) in enumerate(TET_EDGES):
        middle = (mesh.nodes[mesh.tets[:, a]] + mesh.nodes[mesh.tets[:, b]]) / 2
        np.testing.assert_array_equal(mesh.nodes[mesh.tets[:, 4 + k]], middle)


def test_left_handed_elements_are_turned() -> None:
    mesh = made([[1, 0, 2, 3]])
    assert volumes(mesh.nodes, mesh.tets)[0] == pytest.approx(1 / 6)


def test_flat_elements_are_refused() -> None:
    flat = CORNERS.copy()
    flat[3] = [0.5, 0.5, 0.0]
    with pytest.raises(AnalysisError, match="flat"):
        made([[0, 1, 2, 3], [1, 2, 3, 4]], flat)


def test_separate_pieces_are_named() -> None:
    corners = np.vstack((CORNERS[:4], CORNERS[:4] + 5.0))
    cells = np.array([[0, 1, 2, 3], [4, 5, 6, 7]])
    surface = outer_triangles(corners, cells)
    with pytest.raises(AnalysisError, match="2 separate pieces: arm; plate"):
        quadratic(corners, cells, surface, {}, np.array([0, 1]), ("arm", "plate"), 1.0)


def test_surface_is_closed_and_outwards() -> None:
    mesh = bar((4, 3, 2))
    surface, values = coloured(mesh, mesh.nodes[:, 0])
    assert is_watertight(surface)
    assert mesh_volume(surface) == pytest.approx(volumes(mesh.nodes, mesh.tets).sum(), rel=1e-12)
    np.testing.assert_array_equal(values, surface.vertices[:, 0])


def test_a_middle_belongs_to_a_face_only_with_both_its_corners() -> None:
    mesh = bar((4, 3, 2))
    nodes = mesh.face_nodes("x0")
    np.testing.assert_allclose(mesh.nodes[nodes, 0], 0.0)
    assert len(nodes) == 7 * 5  # corners and middles of a 3 x 2 grid with diagonals


def test_unknown_faces_are_named() -> None:
    with pytest.raises(AnalysisError, match="no face named 'seat'"):
        bar().face("seat")


def test_a_face_is_taken_whole_or_not_at_all() -> None:
    nodes = np.array([[0, 0, 0], [1, 0, 0], [1, 1, 0], [0, 1, 0], [2, 0, 0.0], [2, 1, 0]])
    triangles = np.array([[0, 1, 2], [0, 2, 3], [1, 4, 5], [1, 5, 2]])
    half = Plane((0, 0, 0), (0, 0, 1), high=(1, 1, 1))
    found = pick({"half": half}, nodes, triangles, np.array([0, 0, 1, 1]))
    np.testing.assert_array_equal(found["half"], [0, 1])
    with pytest.raises(AnalysisError, match="no face of the solid lies on: half"):
        pick({"half": half}, nodes, triangles, np.zeros(4, dtype=np.int64))


def test_the_cap_of_a_bore_is_not_the_bore() -> None:
    """All corners of a round cap lie on the cylinder; its normal tells it apart."""
    angle = np.linspace(0, 2 * np.pi, 12, endpoint=False)
    ring = np.column_stack((np.cos(angle), np.sin(angle), 0 * angle))
    cap = np.array([[0, k, k + 1] for k in range(1, 11)])
    with pytest.raises(AnalysisError, match="bore"):
        pick({"bore": Bore((0, 0, 0), (0, 0, 1), 1.0)}, ring, cap, np.zeros(10, dtype=np.int64))


def test_bores_are_found_by_axis_and_radius() -> None:
    def place(p: np.ndarray) -> np.ndarray:
        r, a = 1 + p[:, 0], p[:, 1] * np.pi
        return np.column_stack((r * np.cos(a), r * np.sin(a), p[:, 2]))

    regions = {
        "inner": Bore((0, 0, 0), (0, 0, 1), 1.0),
        "low": Bore((0, 0, 0), (0, 0, 1), 2.0, 0, 0.5),
    }
    mesh = brick_mesh((2, 24, 2), place, regions)
    np.testing.assert_array_equal(mesh.faces["inner"], mesh.faces["x0"])
    assert len(mesh.faces["low"]) == len(mesh.faces["x1"]) // 2


def test_a_mesh_that_fails_is_tried_again_with_more_elements_on_curves(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    asked: list[float] = []
    ask = port._WORKER.ask

    def failing(what: str, name: str, *arguments: Any) -> Any:
        if name == "mesh":
            asked.append(arguments[2])
            if len(asked) < 2:
                raise AnalysisError(f"{what} (first)")
        return ask(what, name, *arguments)

    monkeypatch.setattr(port._WORKER, "ask", failing)
    block = {"block": kernel.box((0.0, 0.0, 0.0), (1e-2, 1e-2, 1e-2))}
    size = MeshSize(5e-3)
    assert len(port.mesh_solids(block, {}, size).nodes) > 8
    assert asked == pytest.approx([size.round_elements, 1.4 * size.round_elements])


def test_the_first_failure_is_told_where_every_try_fails(monkeypatch: pytest.MonkeyPatch) -> None:
    ask = port._WORKER.ask
    tries: list[int] = []

    def failing(what: str, name: str, *arguments: Any) -> Any:
        if name != "mesh":
            return ask(what, name, *arguments)
        tries.append(1)
        raise AnalysisError(f"{what} (try {len(tries)})")

    monkeypatch.setattr(port._WORKER, "ask", failing)
    block = {"block": kernel.box((0.0, 0.0, 0.0), (1e-2, 1e-2, 1e-2))}
    with pytest.raises(AnalysisError, match=r"block: no mesh of 5\.00 mm .*\(try 1\)"):
        port.mesh_solids(block, {}, MeshSize(5e-3))
    assert len(tries) == 3
