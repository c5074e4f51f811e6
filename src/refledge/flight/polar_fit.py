"""The section polar of one blade identified from its own measured runs, held by what is known.

Weighted least squares with each parameter's stated spread as one more observation (the maximum of
a Gaussian posterior), so that a few rows cannot drive a parameter beyond what is plausible.
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from scipy.optimize import least_squares

from refledge.errors import AnalysisError
from refledge.flight.blade_element import rotor_load
from refledge.flight.polar import LITERATURE, Polar
from refledge.flight.rotor import TURN
from refledge.model.rotors import BladeGeometry
from refledge.typed import Floats

PRIOR = {  # parameter -> spread, as stated beside each field of Polar
    "zero_lift": np.radians(1.0),
    "loss": 0.05,
    "most_lift": 0.15,
    "least_drag": 0.005,
    "camber_power": 0.2,
}
RUN_SPREAD = 0.03  # of CT and CP of one row: from memory, typical of repeated runs


def identify_polar(
    blade: BladeGeometry, rows: Sequence[tuple[float, float, float, float]]
) -> Polar:
    """The polar that best explains ``rows`` of (rad/s, advance ratio, CT, CP), density cancels."""
    names = list(PRIOR)
    start = LITERATURE
    first = np.array([getattr(start, name) for name in names])
    spread = np.array([PRIOR[name] for name in names])

    def polar_of(x: Floats) -> Polar:
        return replace(start, **dict(zip(names, (first + spread * x).tolist(), strict=True)))

    def residual(x: Floats) -> Floats:
        polar, found = polar_of(x), []
        for speed, J, CT, CP in rows:
            axial = J * speed / TURN * blade.diameter
            load = rotor_load(blade, speed, 1.0, axial, polar)
            found += [load.CT / CT - 1, load.CP / CP - 1]
        return np.concatenate((np.array(found) / RUN_SPREAD, x))

    solved = least_squares(
        residual, np.zeros(len(names)), bounds=(-3.0, 3.0), diff_step=np.array(1e-3)
    )
    if not solved.success:
        raise AnalysisError(f"the polar could not be identified: {solved.message}")
    return polar_of(np.asarray(solved.x))
