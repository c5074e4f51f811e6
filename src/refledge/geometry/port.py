"""What the part makers ask of a solid modeller: one real kernel, one light fake for tests."""

from collections.abc import Sequence
from typing import Protocol

from refledge.geometry.kernel import Solid
from refledge.geometry.profile import Loop
from refledge.model.results import TriMesh
from refledge.typed import Floats

Corner = tuple[float, float, float]


class Kernel(Protocol):
    """Makes and combines solids; lengths in m. ``refledge.geometry.kernel`` is one such."""

    def box(self, low: Corner, high: Corner) -> Solid:
        """Block between two opposite corners."""

    def cone(self, base: Corner, lower: float, upper: float, height: float) -> Solid:
        """Upright round bar of diameters ``lower`` and ``upper`` standing on ``base``."""

    def extrude(
        self, outline: Loop, low: float, high: float, holes: Sequence[Loop] = (), axis: str = "z"
    ) -> Solid:
        """Prism between ``low`` and ``high`` on ``axis``; outline in (x, y), (x, z) or (y, z)."""

    def fuse(self, *solids: Solid) -> Solid:
        """Everything that lies in any of them."""

    def cut(self, solid: Solid, *tools: Solid) -> Solid:
        """What is left of ``solid`` outside all ``tools``."""

    def common(self, one: Solid, other: Solid) -> Solid:
        """What lies in both."""

    def facetted(self, mesh: TriMesh) -> Solid:
        """One flat face a triangle of a closed surface (m)."""

    def move(self, solid: Solid, rotation: Floats, translation: Floats) -> Solid:
        """Turned by ``rotation`` (3, 3), then shifted by ``translation`` (3,), m."""

    def checked(self, solid: Solid, what: str) -> Solid:
        """``solid`` itself; raises GeometryError naming ``what`` unless it is one valid body."""
