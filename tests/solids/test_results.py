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
from refledge.solids.figures import MeshRun, mode_figures
from refledge.solids.honesty import Estimate, richardson
from refledge.solids.mesh import TET_EDGES
from refledge.solids.modal import Modes
from refledge.solids.part import PrintedBody, refine, solve_part, verdict
from refledge.solids.port import MeshSize, factor_plain
from refledge.solids.regions import Plane
from refledge.solids.system import build
from refledge.solids.vtu import at_all_nodes, write_vtu
from tests.solids.arm_part import PETG
from tests.solids.bars import bar, plain


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


def test_no_order_above_the_believable_is_believed() -> None:
    values, sizes = [7 + 3 * h**6 for h in (4.0, 2.0, 1.0)], [4.0, 2.0, 1.0]
    free, capped = richardson(values, sizes), richardson(values, sizes, most=1.0)
    assert free.order == pytest.approx(6.0)
    assert capped.error == pytest.approx(abs(values[2] - values[1]))


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


def swapped(first: float, second: float, size: float, turn: float = 0.0) -> MeshRun:
    """A bar whose two modes are its swaying in y and in z, in order of frequency; ``turn`` mixes
    them with a third shape."""
    mesh = replace(bar((6, 1, 1)), size=size)
    system = build(mesh, plain(mesh), factorize=factor_plain)
    sway = np.sin(np.pi * mesh.nodes[:, :1] / mesh.nodes[:, 0].max())
    other = np.cos(7 * np.pi * mesh.nodes[:, :1] / mesh.nodes[:, 0].max())
    c, s = np.cos(turn), np.sin(turn)
    y, z = (sway * c + other * s) * [0.0, 1.0, 0.0], sway * [0.0, 0.0, 1.0]
    pairs = sorted([(first, y), (second, z)], key=lambda pair: pair[0])
    shapes = np.stack([shape for _, shape in pairs])
    found = Modes(system, np.array([f for f, _ in pairs]), shapes, 0.0)
    return MeshRun(mesh, system, None, (), (), found, system)


def test_mesh_errors_of_modes_compare_like_with_like() -> None:
    """y falls from 105 to 100 Hz, z rises from 99 to 101 Hz: by order both changes would be 1 Hz
    and 4 Hz."""
    runs = swapped(105.0, 99.0, 2.0), swapped(100.0, 101.0, 1.0)
    figures = mode_figures(runs, 2)
    assert [each.estimate.finest for each in figures] == [100.0, 101.0]
    assert [each.estimate.error for each in figures] == pytest.approx([5.0, 2.0])


def test_a_mode_without_its_like_has_no_known_error() -> None:
    runs = swapped(105.0, 99.0, 2.0, turn=1.2), swapped(100.0, 101.0, 1.0)
    errors = [each.estimate.error for each in mode_figures(runs, 2)]
    assert errors[0] == np.inf
    assert errors[1] == pytest.approx(2.0)


def test_refining_at_the_worst_point_changes_uses_and_nothing_else() -> None:
    """A bar with a sharp notch: the use there rises; deflection and modes keep their figures."""
    block = kernel.box((0, 0, 0), (0.06, 0.012, 0.008))
    solid = kernel.cut(block, kernel.box((0.02, -1, 0.005), (0.024, 1, 0.01)))
    bodies = {"bar": PrintedBody(solid, PETG, (0, 0, 1))}
    faces = {"root": Plane((0, 0, 0), (1, 0, 0)), "tip": Plane((0.06, 0, 0), (1, 0, 0))}
    held, tip = [Support(("root",))], np.array([0.06, 0.006, 0.004])
    case = SolidCase("push", (FaceLoad("tip", np.array([0.0, 0.0, 2.0]), tip),))
    size = MeshSize(4e-3)
    known = solve_part(bodies, faces, held, [case], size=size, watch=("tip",))
    worst = known.finest.uses[0].worst_plastic.point
    fine = replace(size, spots=((*map(float, worst), 0.7e-3),))
    found = refine(known, [worst], bodies, faces, held, [case], size=fine)
    assert len(found.sizes) == 3
    assert found.sizes[2] < 0.6 * found.sizes[1]
    name = "push: use of plastic"
    assert found.figure(name).estimate.finest != known.figure(name).estimate.finest
    deflection = "push: deflection of tip"
    assert found.figure(deflection) == known.figure(deflection)
    assert refine(known, [worst], bodies, faces, held, [case], size=size) is known
