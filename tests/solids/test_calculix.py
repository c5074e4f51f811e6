"""A whole arm and a two-body block through CalculiX on the same mesh: agreement to six digits."""

from pathlib import Path

import numpy as np
import pytest

from refledge.errors import AnalysisError
from refledge.geometry import kernel
from refledge.solids import calculix
from refledge.solids.cases import FaceLoad, SolidCase, Support
from refledge.solids.modal import modes
from refledge.solids.part import PrintedBody, material_of
from refledge.solids.port import MeshSize, mesh_solids
from refledge.solids.regions import Plane
from refledge.solids.skin import Skin
from refledge.solids.static import case_load, static
from refledge.solids.system import build
from tests.solids.arm_part import PETG
from tests.verification.arm_compare import compare_arm

needs_ccx = pytest.mark.skipif(not calculix.available(), reason="needs the package calculix-ccx")


@needs_ccx
@pytest.mark.slow
def test_arm_agrees_to_six_digits(tmp_path: Path) -> None:
    """Both solve one mesh, so a coarse one will do; docs/solid-analysis.md has a finer one's."""
    for row in compare_arm(tmp_path, size=8e-3, round_elements=0.5):
        assert row.difference < 1e-6, row.name


@needs_ccx
def test_two_plastics_that_touch_agree(tmp_path: Path) -> None:
    lower = kernel.box((0, 0, 0), (0.03, 0.01, 0.004))
    upper = kernel.box((0.01, 0, 0.004), (0.03, 0.01, 0.008))
    bodies = {
        "lower": PrintedBody(lower, PETG, (0, 0, 1)),
        "upper": PrintedBody(upper, PETG.scaled(0.5), (1, 0.5, 0)),
    }
    faces = {"root": Plane((0, 0, 0), (1, 0, 0)), "tip": Plane((0.03, 0, 0), (1, 0, 0))}
    solids = {name: each.solid for name, each in bodies.items()}
    mesh = mesh_solids(solids, faces, MeshSize(4e-3))
    system = build(mesh, material_of(mesh, bodies), [Support(("root",))])
    push = FaceLoad("tip", np.array([1.0, 2.0, 3.0]), np.array([0.03, 0.005, 0.0]))
    case = SolidCase("push", (push,))
    ours = static(system, [case])
    found = modes(calculix.as_calculix_weighs(system), 3)
    other = calculix.run(system, case_load(system, case)[None], tmp_path, 3, threads=1)
    scale = np.abs(ours.displacements).max()
    np.testing.assert_allclose(other.displacements, ours.displacements, atol=1e-6 * scale)
    np.testing.assert_allclose(other.frequencies, found.frequencies, rtol=1e-6)


def test_infill_is_not_sent() -> None:
    block = kernel.box((0, 0, 0), (0.02, 0.02, 0.02))
    body = {"block": PrintedBody(block, PETG, (0, 0, 1), Skin(0.001, 0.001, 0.2))}
    mesh = mesh_solids({"block": block}, {"root": Plane((0, 0, 0), (1, 0, 0))}, MeshSize(8e-3))
    system = build(mesh, material_of(mesh, body), [Support(("root",))])
    with pytest.raises(AnalysisError, match="without infill"):
        calculix.deck(system, np.zeros((1, mesh.dofs)), 0)
