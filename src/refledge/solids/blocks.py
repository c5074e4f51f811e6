"""Structured meshes of mapped bricks: for tests and published problems, without the mesher."""

from collections.abc import Callable, Mapping
from itertools import permutations

import numpy as np

from refledge.solids.mesh import SolidMesh, quadratic
from refledge.solids.regions import Region, pick
from refledge.solids.surface import outer_triangles
from refledge.typed import Floats, Ints

SIDES = ("x0", "x1", "y0", "y1", "z0", "z1")


def brick_mesh(
    counts: tuple[int, int, int],
    place: Callable[[Floats], Floats],
    regions: Mapping[str, Region] | None = None,
) -> SolidMesh:
    """Unit cube of ``counts`` cells, six tetrahedra each (Kuhn), put in ``place``.

    place: maps parameters (n, 3) in 0..1 to points (n, 3), m, keeping handedness. The six sides are
    named x0, x1, y0, y1, z0, z1 by parameter; ``regions`` name more.
    """
    axes = [np.linspace(0, 1, n + 1) for n in counts]
    grid = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 3)
    number = np.arange(len(grid), dtype=np.int64).reshape([n + 1 for n in counts])
    tets = []
    for order in permutations(range(3)):
        step, path = np.zeros(3, np.int64), [np.zeros(3, np.int64)]
        for axis in order:
            step = step.copy()
            step[axis] = 1
            path.append(step)
        tets.append(np.stack([_shifted(number, each) for each in path], axis=-1).reshape(-1, 4))
    cells = np.concatenate(tets)
    corners = place(grid)
    triangles = outer_triangles(corners, cells)
    side = _sides(grid[triangles])
    faces = {name: np.flatnonzero(side == k) for k, name in enumerate(SIDES)}
    faces |= pick(regions or {}, corners, triangles, np.arange(len(triangles)))
    size = float(np.max(np.ptp(corners, axis=0))) / max(counts)
    body = np.zeros(len(cells), dtype=np.int64)
    return quadratic(corners, cells, triangles, faces, body, ("block",), size)


def _shifted(number: Ints, step: Ints) -> Ints:
    at = tuple(slice(s, n - 1 + s) for s, n in zip(step, number.shape, strict=True))
    return np.asarray(number[at])


def _sides(parameters: Floats) -> Ints:
    """(t,): 0..5 in the order of SIDES. parameters: (t, 3, 3)."""
    found = np.full(len(parameters), -1, dtype=np.int64)
    for axis in range(3):
        for end in (0, 1):
            found[np.all(np.abs(parameters[:, :, axis] - end) < 1e-12, axis=1)] = 2 * axis + end
    return found
