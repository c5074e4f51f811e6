"""Strength as a limit of the growth: the plastic's, the brief's factors, and where it is judged.

One rule for voxels and for the solid that is cut from the grown surface (``solids/hotspot.py``):
points within its reach of what the clamp bolts hold do not count.
"""

from collections.abc import Mapping

import numpy as np
from scipy.ndimage import distance_transform_edt

from refledge.shaping.loads import TipLoad
from refledge.shaping.space import Space
from refledge.solids.hotspot import REACH
from refledge.study import Study
from refledge.typed import Bools
from refledge.verify.plastics import printed_body
from refledge.voxels.grid import Grid, touching
from refledge.voxels.problem import StrengthLimit
from refledge.voxels.strength import Strength

SINCE = 4.0
"""Sharpness of the projection from which strength is kept: before that the arm is still grey, grown
for stiffness alone. Our choice."""


def strength_limit(
    study: Study,
    space: Space,
    held: Bools,
    loads: tuple[TipLoad, ...],
    printed: Mapping[str, float],
) -> StrengthLimit:
    """Flight by the brief's flight factor, landing and handling by its landing factor, as the solid
    verification takes them; shaking is no load case and is not judged.

    printed: by load, use as printed over that of voxels, which is multiplied by it; a load that
    none was measured of takes the greatest.
    """
    plastic, limits = printed_body(study, "arm").plastic, study.brief.limits
    factors = {"flight": limits.flight_factor, "shake": 0.0}
    more = max(printed.values(), default=1.0)
    return StrengthLimit(
        strength=Strength(
            plane=plastic.strength_xy, across=plastic.strength_z, shear=plastic.shear_z
        ),
        factors={
            each.name: printed.get(each.name, more) * factors.get(each.kind, limits.landing_factor)
            for each in loads
        },
        counts=~space.void & ~near_held(space.grid, held),
        since=SINCE,
    )


def near_held(grid: Grid, held: Bools) -> Bools:
    """(nx, ny, nz): voxels that touch a held node, or whose middle lies within reach of one."""
    fixed: Bools = np.asarray(held.any(axis=0))
    fine = np.ones([2 * n - 1 for n in fixed.shape], bool)  # nodes and middles on one grid
    fine[::2, ::2, ::2] = ~fixed
    away = distance_transform_edt(fine)[1::2, 1::2, 1::2] * (grid.spacing / 2)
    return np.asarray((away <= REACH) | touching(fixed))
