"""Where a pose needs support: steep undersides that no short bridge can span."""

from dataclasses import dataclass

import numba
import numpy as np

from refledge.analysis.columns import Columns, cast_columns
from refledge.model.results import TriMesh
from refledge.typed import Bools, Floats, Ints

STEEPEST = 45.0
"""deg from upright that an underside may lean without support (common practice, no source)."""
BRIDGE = 25e-3
"""m; gap that cooled lines span in the air, held at both ends (common practice, no source)."""
DENSITY = 0.15
"""Share of the room under an overhang that support fills (from memory, typical)."""
LEVEL = 4e-4
"""m; undersides of neighbouring columns at heights closer than this are one ceiling (a choice)."""


@dataclass(frozen=True)
class Support:
    """What one pose needs below its overhangs."""

    area: float
    """m2 of underside that rests on support, seen from above."""
    plastic: float
    """m3, as printed."""


def find_support(mesh: TriMesh, step: float) -> Support:
    """Support of a part as it lies on the bed (z from 0, m), on columns ``step`` m apart."""
    columns = cast_columns(mesh.vertices, mesh.triangles, step)
    number, bottom, top = columns.inside
    needs = _needs(columns, bottom)
    below = _floor(number, top)
    cell = columns.step**2
    room = float(np.sum((bottom - below)[needs])) * cell
    return Support(float(needs.sum()) * cell, DENSITY * room)


def _needs(columns: Columns, bottom: Floats) -> Bools:
    """(n_stretches,): which stretches start with an underside that needs holding up."""
    rise = columns.rises[::2]
    steep = (rise < -np.cos(np.radians(90.0 - STEEPEST))) & (bottom > LEVEL)
    reach = int(np.ceil(BRIDGE / columns.step))
    starts = columns.starts // 2
    bridged = _bridged(starts, bottom, columns.heights[1::2], steep, *columns.shape, reach, LEVEL)
    return np.asarray(steep & ~bridged)


def _floor(number: Ints, top: Floats) -> Floats:
    """Height (m) of what lies under each stretch: the top of the one below it, or the bed."""
    below = np.zeros_like(top)
    follows = number[1:] == number[:-1]
    below[1:][follows] = top[:-1][follows]
    return below


@numba.njit(cache=True)
def _bridged(
    starts: Ints,
    bottom: Floats,
    top: Floats,
    steep: Bools,
    nx: int,
    ny: int,
    reach: int,
    level: float,
) -> Bools:
    """Which steep stretches lie between two standing sides, along x or along y."""
    found = np.zeros(len(bottom), np.bool_)
    for i in range(nx):
        for j in range(ny):
            for s in range(starts[i * ny + j], starts[i * ny + j + 1]):
                if steep[s]:
                    z = bottom[s]
                    found[s] = _spans(
                        starts, bottom, top, i, j, 1, 0, nx, ny, z, reach, level
                    ) or _spans(starts, bottom, top, i, j, 0, 1, nx, ny, z, reach, level)
    return found


@numba.njit(cache=True)
def _spans(
    starts: Ints,
    bottom: Floats,
    top: Floats,
    i: int,
    j: int,
    di: int,
    dj: int,
    nx: int,
    ny: int,
    z: float,
    reach: int,
    level: float,
) -> bool:
    """True where both ways along (di, dj) the ceiling at height ``z`` meets a standing side
    within ``reach`` cells in all."""
    length = 1
    for way in (-1, 1):
        held = False
        for k in range(1, reach + 1):
            a, b = i + way * di * k, j + way * dj * k
            if a < 0 or b < 0 or a >= nx or b >= ny:
                return False
            ceiling = False
            for s in range(starts[a * ny + b], starts[a * ny + b + 1]):
                if bottom[s] < z - level and top[s] > z - level:
                    held = True
                if abs(bottom[s] - z) <= level:
                    ceiling = True
            if held:
                break
            if not ceiling:
                return False
            length += 1
        if not held:
            return False
    return length <= reach
