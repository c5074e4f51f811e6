"""Strains in the middle of each voxel from motions of nodes, and the transpose of that.

Zienkiewicz and Taylor, The Finite Element Method, trilinear brick at its centre, where bending
stresses of the brick are most exact. Voigt order xx, yy, zz, yz, xz, xy, engineering shear.
"""

from typing import Any

from refledge.voxels.backend import Array


def middle_strains(xp: Any, u: Array, spacing: float) -> Array:
    """(6, nx, ny, nz): strains in the middle of each voxel from motions (3, nodes), m."""
    x, y, z = ([_middle(each, axis, spacing) for each in u] for axis in range(3))
    pairs = (y[2] + z[1], x[2] + z[0], x[1] + y[0])
    return xp.stack([x[0], y[1], z[2], *pairs])


def middle_forces(xp: Any, stress: Array, spacing: float) -> Array:
    """(3, nodes): the transpose of ``middle_strains`` on (6, nx, ny, nz)."""
    parts = ((0, 5, 4), (5, 1, 3), (4, 3, 2))
    found = [
        sum(_spread(xp, stress[row], axis, spacing) for axis, row in enumerate(rows))
        for rows in parts
    ]
    return xp.stack(found)


def _middle(values: Array, axis: int, spacing: float) -> Array:
    """Slope along ``axis`` of nodal values in the middle of each voxel."""
    for k in range(3):
        low, high = _ends(k)
        values = (values[high] - values[low]) / spacing if k == axis else (
            values[high] + values[low]) / 2  # fmt: skip
    return values


def _spread(xp: Any, values: Array, axis: int, spacing: float) -> Array:
    """The transpose of ``_middle``."""
    for k in range(3):
        shape = list(values.shape)
        shape[k] += 1
        low, high = _ends(k)
        part = values / (spacing if k == axis else 2)
        values = xp.zeros(shape, part.dtype)
        values[high] += part
        values[low] += -part if k == axis else part
    return values


def _ends(axis: int) -> tuple[tuple[slice, ...], tuple[slice, ...]]:
    """All but the last and all but the first along ``axis``."""
    every: list[slice] = [slice(None)] * 3
    low, high = list(every), list(every)
    low[axis], high[axis] = slice(None, -1), slice(1, None)
    return tuple(low), tuple(high)
