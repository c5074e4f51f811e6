"""Small grown parts whose volume and shape are known."""

import numpy as np

from refledge.geometry import kernel
from refledge.shaping.grown import Grown
from refledge.voxels.grid import Grid

H = 1e-3
RADIUS = 8e-3


def sphere(crisp: bool) -> tuple[np.ndarray, Grid]:
    """A ball of RADIUS; voxels crisp, or with their share of plastic at the border."""
    grid = Grid((20, 20, 20), H, (-0.01, -0.01, -0.01))
    x, y, z = grid.centres()
    inside = (RADIUS - np.sqrt(x * x + y * y + z * z)) / H
    return (inside > 0).astype(float) if crisp else np.clip(0.5 + inside, 0, 1), grid


def beam(shape: tuple[int, int, int] = (40, 10, 10)) -> Grown:
    """A solid bar of voxels with exact blocks of 8 mm at both ends and an upright bore in each."""
    grid = Grid(shape, H, (0.0, -shape[1] * H / 2, -shape[2] * H / 2))
    length, y, z = (n * H for n in shape)
    ends = [(0.0, 0.008), (length - 0.008, length)]
    blocks = [kernel.box((a, -y / 2, -z / 2), (b, y / 2, z / 2)) for a, b in ends]
    bores = [kernel.cone(((a + b) / 2, 0.0, -z), 0.003, 0.003, 2 * z) for a, b in ends]
    none = np.zeros(shape, bool)
    return Grown(
        grid=grid, density=np.ones(shape), keep=none, void=none, seats=kernel.fuse(*blocks),
        bores=kernel.fuse(*bores), print_rotation=np.eye(3),
    )  # fmt: skip
