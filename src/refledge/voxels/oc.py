"""Optimality criteria: the stiffest design for a mass, by one multiplier.

Bendsoe and Sigmund, Topology Optimization: Theory, Methods and Applications, 2003, the heuristic
update with exponent one half; mass is linear about the iterate.
"""

from typing import Any

import numpy as np

from refledge.voxels.backend import Array

_BISECTIONS = 60
_LEAST = 1e-30


def oc_step(xp: Any, x: Array, slope: Array, mass: float, mass_slope: Array, move: float) -> Array:
    """Next ``x`` (n,) in 0 to 1 for an objective of gradient ``slope`` and ``mass`` at most 0.

    Variables that would gain by less material shrink to their move limit.
    """
    gain = xp.maximum(-slope, 0) / xp.maximum(mass_slope, _LEAST)
    least, most = xp.maximum(x - move, 0), xp.minimum(x + move, 1)
    root = x * xp.sqrt(gain)
    low, high = 0.0, max(float((root / xp.maximum(least, 1e-3)).max()), _LEAST)
    new = x
    for _ in range(_BISECTIONS):  # on the root of the multiplier
        middle = (low + high) / 2
        new = xp.clip(root / middle, least, most)
        change = float((mass_slope * (new - x)).sum(dtype=np.float64))
        low, high = (middle, high) if mass + change > 0 else (low, middle)
        if high - low < 1e-7 * high:
            break
    return new
