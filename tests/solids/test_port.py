"""The mesher port: named faces of real solids, bodies that touch, clear errors."""

import gc
import sys

import numpy as np
import pytest

from refledge.errors import AnalysisError
from refledge.geometry import kernel
from refledge.solids import port
from refledge.solids.cases import Support
from refledge.solids.mesh import area_vectors, edge_at, volumes
from refledge.solids.port import MeshSize, mesh_solids
from refledge.solids.regions import Bore, Plane, Rectangle, Ring
from refledge.solids.system import build
from tests.geometry.frames import arm
from tests.solids.arm_part import arm_mesh, body
from tests.solids.bars import bar, plain

SIZE = MeshSize(3e-3)
BLOCK = kernel.box((0, 0, 0), (0.03, 0.02, 0.01))
HOLE = kernel.cone((0.01, 0.01, -0.001), 0.006, 0.006, 0.02)
DRILLED = kernel.cut(BLOCK, HOLE)


def area(mesh, name: str) -> float:
    return float(np.linalg.norm(area_vectors(mesh.nodes, mesh.face(name)), axis=1).sum())


def test_faces_are_found_and_cut_into_the_surface() -> None:
    regions = {
        "bore": Bore((0.01, 0.01, 0), (0, 0, 1), 0.003),
        "washer": Ring((0.01, 0.01, 0.01), (0, 0, 1), 0.003, 0.006),
        "pad": Rectangle((0.024, 0.01, 0.0), (0, 0, 1), (1, 0, 0), 0.008, 0.01),
        "end": Plane((0.03, 0, 0), (1, 0, 0)),
        "edge band": Rectangle((0.024, 0.0, 0.005), (0, 1, 0), (1, 0, 0), 0.004, 0.01),
    }
    mesh = mesh_solids({"block": DRILLED}, regions, MeshSize(3e-3, {"bore": 0.7e-3}))
    assert area(mesh, "bore") == pytest.approx(2 * np.pi * 0.003 * 0.01, rel=0.02)
    assert area(mesh, "washer") == pytest.approx(np.pi * (0.006**2 - 0.003**2), rel=0.06)
    assert area(mesh, "pad") == pytest.approx(8e-5, rel=1e-9)
    assert area(mesh, "end") == pytest.approx(2e-4, rel=1e-9)
    assert area(mesh, "edge band") == pytest.approx(4e-5, rel=1e-9)
    assert volumes(mesh.nodes, mesh.tets).sum() == pytest.approx(kernel.volume(DRILLED), rel=0.004)


def test_mesh_is_finer_near_a_named_face() -> None:
    regions = {"bore": Bore((0.01, 0.01, 0), (0, 0, 1), 0.003)}
    plain = mesh_solids({"block": DRILLED}, regions, SIZE)
    fine = mesh_solids({"block": DRILLED}, regions, MeshSize(3e-3, {"bore": 0.7e-3}))
    assert len(fine.face("bore")) > 4 * len(plain.face("bore"))


def test_mesh_is_finer_at_a_spot_and_only_there() -> None:
    spot, away = np.array([0.024, 0.004, 0.01]), np.array([0.0, 0.02, 0.0])
    plain = mesh_solids({"block": BLOCK}, {}, SIZE)
    fine = mesh_solids({"block": BLOCK}, {}, MeshSize(3e-3, spots=((*spot, 0.6e-3),)))
    assert edge_at(fine, spot) < 0.6 * edge_at(plain, spot)
    assert edge_at(fine, away) > 0.8 * edge_at(plain, away)
    assert MeshSize(3e-3, spots=((*spot, 0.6e-3),)).finer(2.0).spots[0][3] == 0.3e-3


def test_a_missing_face_is_named_with_its_place() -> None:
    regions = {"bore": Bore((0.02, 0.01, 0), (0, 0, 1), 0.003)}
    with pytest.raises(AnalysisError, match=r"no face of the solid lies on: bore \(Bore"):
        mesh_solids({"block": DRILLED}, regions, SIZE)


def test_refining_near_an_unknown_face_is_refused() -> None:
    with pytest.raises(AnalysisError, match="unknown faces: bolt"):
        mesh_solids({"block": BLOCK}, {}, MeshSize(3e-3, {"bolt": 1e-3}))


def test_bodies_that_touch_share_nodes_and_keep_their_names() -> None:
    small = kernel.box((0.005, 0.005, 0.01), (0.015, 0.015, 0.018))
    mesh = mesh_solids({"small": small, "block": BLOCK}, {}, SIZE)
    filled = volumes(mesh.nodes, mesh.tets)
    assert filled[mesh.body == mesh.bodies.index("small")].sum() == pytest.approx(8e-7)
    assert filled[mesh.body == mesh.bodies.index("block")].sum() == pytest.approx(6e-6)


def test_bodies_that_do_not_touch_are_named() -> None:
    far = kernel.box((0.1, 0, 0), (0.11, 0.01, 0.01))
    with pytest.raises(AnalysisError, match="2 separate pieces: block; far"):
        mesh_solids({"block": BLOCK, "far": far}, {}, SIZE)


def test_a_mesher_that_fails_says_so() -> None:
    with pytest.raises(AnalysisError, match=r"block: no mesh of -3\.00 mm could be made \("):
        mesh_solids({"block": BLOCK}, {}, MeshSize(-3e-3))


def test_a_crash_of_the_other_process_is_an_error_and_it_starts_again() -> None:
    mesh = bar((2, 1, 1))
    system = build(mesh, plain(mesh), [Support(("x0",))])
    assert port._WORKER._process is not None
    port._WORKER._process.kill()
    port._WORKER._process.wait()
    with pytest.raises(AnalysisError, match="the solve failed"):
        system.solve(np.ones(mesh.dofs))
    again = build(mesh, plain(mesh), [Support(("x0",))])
    assert np.isfinite(again.solve(np.ones(mesh.dofs))).all()


def test_factors_are_forgotten_with_their_system() -> None:
    mesh = bar((2, 1, 1))
    system = build(mesh, plain(mesh), [Support(("x0",))])
    key = system.factor._key  # type: ignore[attr-defined]
    del system
    gc.collect()
    with pytest.raises(AnalysisError, match="KeyError"):
        port._WORKER.ask("gone", "solve", key, np.ones(3))


def test_modeller_and_mesher_do_not_meet_in_one_process() -> None:
    mesh_solids({"block": BLOCK}, {}, SIZE)
    assert not {"netgen", "ngsolve"} & {name.split(".")[0] for name in sys.modules}


def test_arm_has_its_clamp_bolts_and_seat() -> None:
    mesh, a = arm_mesh(5e-3), arm()
    holes = 4 * np.pi / 4 * 0.0036**2
    assert area(mesh, "clamp") == pytest.approx(2 * (a.root_length * a.width - holes), rel=0.01)
    assert area(mesh, "seat") == pytest.approx(a.tenon_length * a.width - holes, rel=0.01)
    solid = kernel.volume(body().solid)
    assert volumes(mesh.nodes, mesh.tets).sum() == pytest.approx(solid, rel=0.01)
