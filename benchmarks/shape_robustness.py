"""Iterations of the voxel solver on random two-phase stiffness, and on textures that are harder.

Run: .venv/bin/python benchmarks/shape_robustness.py [side ...]   sides: 40 60 80

A clamped cube under an even shear load at the far face, relative residual 1e-5, 200 iterations
allowed. "coin": each voxel stiff or soft by a coin. The harder textures are not in the bar: "thin"
has three stiff voxels in ten, most in pieces that hang in the soft phase; "blobs" are round pieces
(random field smoothed over 1.5 voxels), many of them afloat.
"""

import os
import sys
import time

import numpy as np
from scipy.ndimage import gaussian_filter

from refledge.errors import AnalysisError
from refledge.voxels.elasticity import Body
from refledge.voxels.grid import Grid
from refledge.voxels.material import isotropic

CONTRASTS = (1e2, 1e4, 1e6)
TEXTURES = {"coin": (0.5, 0.0), "thin": (0.3, 0.0), "blobs": (0.3, 1.5)}
ALLOWED = 200


def stiffness(side: int, share: float, smooth: float, contrast: float) -> np.ndarray:
    """(side, side, side): 1 or 1 / contrast, seeded."""
    field = np.random.default_rng(0).random((side,) * 3)
    if smooth:
        field = gaussian_filter(field, smooth, mode="wrap")
    return np.where(field <= np.quantile(field, share), 1.0, 1 / contrast)


def iterations(side: int, scale: np.ndarray) -> str:
    """Iterations and processor seconds, or the residual after those allowed."""
    grid = Grid((side,) * 3, 1.0)
    held = np.zeros(grid.field, bool)
    held[:, 0] = True
    loads = np.zeros((1, *grid.field))
    loads[0, 2, -1] = -1
    began = time.process_time()
    try:
        solved = Body(grid, isotropic(1.0, 0.3), held).at(scale).solve(loads, limit=ALLOWED)
    except AnalysisError as error:
        return str(error).split(",", maxsplit=1)[0]
    return f"{solved.iterations[0]} iterations, {time.process_time() - began:.1f} s of processor"


def main(sides: list[int]) -> None:
    """One line a case."""
    print(f"load average {os.getloadavg()[0]:.1f}")
    for texture, (share, smooth) in TEXTURES.items():
        for side in sides:
            for contrast in CONTRASTS:
                scale = stiffness(side, share, smooth, contrast)
                found = iterations(side, scale)
                print(
                    f"{texture} {side**3 // 1000}k elements, contrast {contrast:.0e}: {found}",
                    flush=True,
                )


if __name__ == "__main__":
    main([int(each) for each in sys.argv[1:]] or [40, 60, 80])
