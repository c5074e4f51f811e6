"""Skins and infill: stiffness and mass against closed forms."""

import numpy as np
import pytest

from refledge.analysis.fill import INFILL_EXPONENT, printed_volume
from refledge.solids.assembly import Material
from refledge.solids.blocks import brick_mesh
from refledge.solids.cases import FaceLoad, SolidCase
from refledge.solids.law import isotropic
from refledge.solids.mesh import SolidMesh, volumes
from refledge.solids.probe import section_motion
from refledge.solids.skin import Skin, shares, skin_depth
from refledge.solids.static import static
from refledge.solids.system import build

UP = np.array([0.0, 0.0, 1.0])
LENGTH, WIDTH, HEIGHT = 0.12, 0.02, 0.01


def block(counts: tuple[int, int, int]) -> SolidMesh:
    return brick_mesh(counts, lambda p: p * [LENGTH, WIDTH, HEIGHT])


def test_depth_is_the_distance_over_the_skin_in_each_direction() -> None:
    mesh = block((12, 4, 4))
    depth = skin_depth(mesh, Skin(0.002, 0.001, 0.2), UP)
    d = np.array([LENGTH, WIDTH, HEIGHT])
    walls = np.minimum(mesh.nodes, d - mesh.nodes) / [0.002, 0.002, 0.001]
    np.testing.assert_allclose(depth, walls.min(axis=1), atol=1e-9)


def test_mass_is_that_of_skin_and_core() -> None:
    mesh = block((24, 8, 8))
    skin = Skin(0.00125, 0.00125, 0.25)
    density = shares(mesh, skin, UP)[1]
    filled = float(volumes(mesh.nodes, mesh.tets) @ density)
    core = (LENGTH - 0.0025) * (WIDTH - 0.0025) * (HEIGHT - 0.0025)
    volume = LENGTH * WIDTH * HEIGHT
    assert filled == pytest.approx(volume - 0.75 * core, rel=0.01)
    area = 2 * (LENGTH * WIDTH + LENGTH * HEIGHT + WIDTH * HEIGHT)
    assert filled == pytest.approx(float(printed_volume(volume, area, 0.00125, 0.25)), rel=0.06)


@pytest.mark.parametrize(("layers", "band"), [(8, 0.01), (6, 0.05)])
def test_hollow_bar_bends_as_its_closed_form(layers: int, band: float) -> None:
    """Skins of an eighth of the height, on a mesh that fits them and on one that does not."""
    mesh = block((12, layers, layers))
    skin = Skin(WIDTH / 8, HEIGHT / 8, 0.5)
    share, _ = shares(mesh, skin, UP)
    core = 0.75**4 * WIDTH * HEIGHT**3 / 12
    second = WIDTH * HEIGHT**3 / 12 - (1 - 0.5**INFILL_EXPONENT) * core
    assert _bending_stiffness(mesh, share) == pytest.approx(3e9 * second, rel=band)
    solid = 3e9 * WIDTH * HEIGHT**3 / 12
    assert _bending_stiffness(mesh, np.ones_like(share)) == pytest.approx(solid, rel=1e-3)


def _bending_stiffness(mesh: SolidMesh, share: np.ndarray) -> float:
    """E I, N m2, from the turning of two sections of a free bar under opposite end moments."""
    m, law = len(mesh.tets), isotropic(3e9, 0.0, 1000.0).stiffness()
    system = build(mesh, Material(law[None], np.ones(m), share, np.zeros(1)))
    ends = [FaceLoad(face, np.zeros(3), np.zeros(3), np.array([0.0, sign, 0.0]))
            for face, sign in (("x1", 1.0), ("x0", -1.0))]  # fmt: skip
    moved = static(system, [SolidCase("bent", tuple(ends))]).displacements
    axis, stations = np.array([0.0, WIDTH / 2, HEIGHT / 2]), np.array([0.25, 0.75]) * LENGTH
    turned = section_motion(system, moved, axis, np.eye(3)[0], stations, 1e-9)[0, :, 4]
    return float((stations[1] - stations[0]) / (turned[1] - turned[0]))
