"""Mesh errors, verdicts, VTU files, and a whole part in one call."""

import base64
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest

from refledge.errors import AnalysisError
from refledge.geometry import kernel
from refledge.model.checks import Verdict
from refledge.solids.cases import FaceLoad, PointMass, SolidCase, Support
from refledge.solids.honesty import Estimate, richardson
from refledge.solids.mesh import TET_EDGES
from refledge.solids.part import PrintedBody, solve_part, verdict
from refledge.solids.port import MeshSize
from refledge.solids.regions import Plane
from refledge.solids.vtu import at_all_nodes, write_vtu
from tests.solids.arm_part import PETG
from tests.solids.bars import bar


def test_richardson_finds_order_and_limit_of_a_power_law() -> None:
    sizes = [0.4, 0.25, 0.1]
    found = richardson([7 + 3 * h**2.5 for h in sizes], sizes)
    assert found.observed
    assert found.order == pytest.approx(2.5, rel=1e-6)
    assert found.extrapolated == pytest.approx(7.0, rel=1e-6)
    assert found.error == pytest.approx(3 * 0.1**2.5, rel=1e-6)


def test_two_meshes_give_the_whole_change_at_half_the_size() -> None:
    found = richardson([10.0, 10.5], [2.0, 1.0])
    assert not found.observed
    assert (found.extrapolated, found.error) == (11.0, 0.5)


def test_changes_that_do_not_shrink_steadily_fall_back_to_the_assumed_order() -> None:
    assert not richardson([1.0, 2.0, 1.5], [4.0, 2.0, 1.0]).observed


@pytest.mark.parametrize(("values", "sizes"), [([1.0], [1.0]), ([1.0, 2.0], [1.0, 2.0])])
def test_richardson_wants_two_meshes_coarse_to_fine(
    values: list[float], sizes: list[float]
) -> None:
    with pytest.raises(AnalysisError, match="coarse to fine"):
        richardson(values, sizes)


def test_a_margin_smaller_than_the_mesh_error_gives_no_verdict() -> None:
    found = Estimate(0.9, 0.95, 0.05, 1.0, False)
    assert verdict(found, 0.93) is Verdict.UNKNOWN
    assert verdict(found, 0.87) is Verdict.UNKNOWN
    assert verdict(found, 0.97) is Verdict.NARROWLY
    assert verdict(found, 2.0) is Verdict.HOLDS
    assert verdict(found, 0.5) is Verdict.FAILS


def test_vtu_reads_back(tmp_path: Path) -> None:
    mesh = bar((2, 1, 1))
    moved = np.arange(3.0 * len(mesh.nodes)).reshape(-1, 3)
    write_vtu(tmp_path / "bar.vtu", mesh, {"moved": moved}, {"body": mesh.body})
    piece = ElementTree.parse(tmp_path / "bar.vtu").getroot()[0][0]
    found = {each.get("Name"): each for each in piece.iter("DataArray")}
    read = {
        name: np.frombuffer(base64.b64decode(each.text)[8:], each.get("type").lower())
        for name, each in found.items()
    }
    np.testing.assert_array_equal(read["points"].reshape(-1, 3), mesh.nodes)
    np.testing.assert_array_equal(read["moved"].reshape(-1, 3), moved)
    np.testing.assert_array_equal(read["connectivity"].reshape(-1, 10), mesh.tets)
    assert read["offsets"][-1] == 10 * len(mesh.tets)
    assert set(read["types"]) == {24}
    length = np.frombuffer(base64.b64decode(found["types"].text)[:8], np.uint64)[0]
    assert length == len(mesh.tets)


def test_corner_values_are_carried_to_the_middles() -> None:
    mesh = bar((2, 2, 1))
    values = at_all_nodes(mesh, mesh.nodes[: mesh.corners, 0])
    np.testing.assert_allclose(values, mesh.nodes[:, 0], atol=1e-15)
    assert len(TET_EDGES) == 6


def test_a_part_in_one_call() -> None:
    """A printed bar: bending follows E in plane, and errors are given.

    No Poisson's ratio, as a clamp that keeps the root's width stiffens a wide bar by 2 %.
    """
    plastic = replace(PETG, nu_xy=0.0, nu_xz=0.0)
    bar_solid = kernel.box((0, 0, 0), (0.12, 0.012, 0.008))
    faces = {"root": Plane((0, 0, 0), (1, 0, 0)), "tip": Plane((0.12, 0, 0), (1, 0, 0))}
    tip = np.array([0.12, 0.006, 0.004])
    case = SolidCase("push", (FaceLoad("tip", np.array([0.0, 0.0, 2.0]), tip),))
    seen: list[str] = []
    found = solve_part(
        {"bar": PrintedBody(bar_solid, plastic, (0, 0, 1))}, faces, [Support(("root",))], [case],
        [PointMass("tip", 0.02, tip)], size=MeshSize(5e-3), watch=("tip",), n_modes=2,
        progress=lambda what, _: seen.append(what),
    )  # fmt: skip
    second = 0.012 * 0.008**3 / 12
    deflection = found.figure("push: deflection of tip").estimate
    beam = 2.0 * 0.12**3 / (3 * PETG.E_xy * second) + 2.0 * 1.2 * 0.12 / (PETG.G_xz * 0.012 * 0.008)
    assert deflection.finest == pytest.approx(beam, rel=0.01)
    assert 0 < deflection.relative < 0.02
    stiffness, mass = 3 * PETG.E_xy * second / 0.12**3, 0.02 + 33 / 140 * PETG.rho * 0.12 * 9.6e-5
    first = found.figure("mode 1").estimate.finest
    assert first == pytest.approx(np.sqrt(stiffness / mass) / (2 * np.pi), rel=0.02)
    use = found.figure("push: use of plastic").estimate.finest
    root = 2.0 * 0.12 * 0.004 / second / PETG.strength_xy
    assert 0.75 * root < use < root
    assert len(seen) == 3
    with pytest.raises(KeyError, match="there are push: deflection of tip"):
        found.figure("mode 9")
