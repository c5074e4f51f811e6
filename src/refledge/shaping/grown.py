"""What the optimiser hands to the surface maker."""

from dataclasses import dataclass

import numpy as np

from refledge.errors import AnalysisError
from refledge.geometry.kernel import Solid
from refledge.typed import Bools, Floats
from refledge.voxels.grid import Grid


@dataclass(frozen=True, eq=False, kw_only=True)
class Grown:
    """A density field with what must be exact about the part; all in the part's own axes, m."""

    grid: Grid
    """Its ``origin`` is the low corner of voxel (0, 0, 0)."""
    density: Floats
    """(nx, ny, nz), 0 to 1: share of each voxel that is plastic."""
    keep: Bools
    """(nx, ny, nz): always solid."""
    void: Bools
    """(nx, ny, nz): always empty."""
    seats: Solid
    """United with the surface exactly: blocks at the bolts, with their level faces."""
    bores: Solid
    """Cut last: bolt holes and wire path."""
    print_rotation: Floats
    """(3, 3), from part axes to the bed (z up), as in PartSpec."""

    def __post_init__(self) -> None:
        for name in ("density", "keep", "void"):
            shape = getattr(self, name).shape
            if shape != self.grid.shape:
                raise AnalysisError(
                    f"grown {name} has shape {shape}; {self.grid.shape} of the grid is needed"
                )
        if np.any(self.keep & self.void):
            raise AnalysisError("some voxels of a grown part are both always solid and empty")
        if not (np.min(self.density) >= 0 and np.max(self.density) <= 1):
            raise AnalysisError("a grown density lies outside 0 to 1")

    @property
    def origin(self) -> Floats:
        """(3,), m: low corner of voxel (0, 0, 0)."""
        return np.array(self.grid.origin)

    @property
    def volume(self) -> float:
        """Of the plastic, by the density field, m3."""
        return float(self.density.sum(dtype=np.float64)) * self.grid.spacing**3
