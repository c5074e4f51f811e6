"""Plain bars meshed without the mesher."""

from refledge.solids.assembly import Material
from refledge.solids.blocks import brick_mesh
from refledge.solids.law import Plastic, isotropic
from refledge.solids.mesh import SolidMesh
from tests.verification.book import steel

PLAIN = isotropic(3e9, 0.0, 1240.0)
LENGTH, WIDTH, HEIGHT = 0.2, 0.02, 0.01
I_Y = WIDTH * HEIGHT**3 / 12
AREA = WIDTH * HEIGHT


def bar(counts: tuple[int, int, int] = (16, 2, 2)) -> SolidMesh:
    """From the origin along x."""
    return brick_mesh(counts, lambda p: p * [LENGTH, WIDTH, HEIGHT])


def plain(mesh: SolidMesh, plastic: Plastic = PLAIN) -> Material:
    return steel(mesh, plastic)
