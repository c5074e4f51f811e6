"""Triangle surfaces as solids of flat faces, by the kernel and by its fake."""

from pathlib import Path

import numpy as np
import pytest

from refledge.errors import GeometryError
from refledge.geometry import kernel, kernel_fake
from refledge.geometry.kernel.facets import facetted
from refledge.geometry.mesh import mesh_volume
from refledge.model.results import TriMesh


def drilled() -> TriMesh:
    """Triangles of a block with a hole; volume of the polygon's prism."""
    block = kernel.box((0, -0.005, -0.005), (0.02, 0.005, 0.005))
    return kernel.tessellate(kernel.cut(block, kernel.cone((0.01, 0, -0.01), 0.004, 0.004, 0.02)))


def test_the_solid_has_the_volume_and_faces_of_the_triangles() -> None:
    mesh = drilled()
    solid = kernel.facetted(mesh)
    assert kernel.is_valid_single(solid)
    assert kernel.volume(solid) == pytest.approx(mesh_volume(mesh), rel=1e-9)
    assert len(kernel.levels(solid)) == len(mesh.triangles)


def test_it_comes_back_from_step(tmp_path: Path) -> None:
    mesh = drilled()
    kernel.write_step({"arm": kernel.facetted(mesh)}, tmp_path / "arm.step")
    (back,) = kernel.read_step(tmp_path / "arm.step")
    assert kernel.volume(back) == pytest.approx(mesh_volume(mesh), rel=1e-6)


def test_the_fake_agrees() -> None:
    mesh = drilled()
    assert kernel_fake.volume(kernel_fake.facetted(mesh), 20_000) == pytest.approx(
        mesh_volume(mesh), rel=0.02
    )


def test_too_many_faces_are_refused_with_what_to_do() -> None:
    mesh = drilled()
    with pytest.raises(GeometryError, match=r"at most 50 .* STL or 3MF"):
        facetted(mesh, most=50)


def test_open_and_flat_triangles_are_refused() -> None:
    mesh = drilled()
    with pytest.raises(GeometryError, match="do not close"):
        facetted(TriMesh(mesh.vertices, mesh.triangles[1:]))
    flat = TriMesh(np.zeros((3, 3)), np.array([[0, 1, 2], [0, 2, 1]]))
    with pytest.raises(GeometryError, match="without area"):
        facetted(flat)
