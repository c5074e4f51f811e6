"""Frame mass from the layout alone: a surrogate, until a candidate's frame is sized in full.

m = FIXED + PER_ARM n_arms radius^2, least squares of relative errors over 48 frames that
``refledge.airframe.sizing.screen`` sized for the example lake-sampler (printed PETG box arms, six
layout kinds, propellers of 9 to 15 in, payloads of 0.3 and 0.9 kg; tests/sweeps/data/
frame_masses.csv). Root mean square error 10 %, worst 30 %; 34 of the 48 frames miss one of that
brief's limits, some by a lot, so their masses lie rather low. Other materials and limits:
calibrate anew with ``calibrate``.
"""

from dataclasses import dataclass

import numpy as np

from refledge.errors import AnalysisError
from refledge.typed import Floats


@dataclass(frozen=True)
class FrameMass:
    """The surrogate's two numbers and how far it strays."""

    fixed: float  # kg
    per_arm: float  # kg/m2
    spread: float  # relative, root mean square

    def __call__(self, arms: Floats, radius: Floats) -> Floats:
        """(n,), kg, for ``arms`` (n,) and motor ``radius`` (n,), m."""
        return self.fixed + self.per_arm * arms * radius**2


PETG_BOX = FrameMass(fixed=0.446, per_arm=1.23, spread=0.10)


def calibrate(arms: Floats, radius: Floats, mass: Floats) -> FrameMass:
    """The surrogate through frames already sized: (n,) arms, motor radius, m, and mass, kg."""
    if len(mass) < 3:
        raise AnalysisError("at least three sized frames are needed to calibrate their mass")
    terms = np.column_stack((np.ones_like(mass), arms * radius**2)) / mass[:, None]
    found, *_ = np.linalg.lstsq(terms, np.ones_like(mass), rcond=None)
    off = terms @ found - 1
    return FrameMass(float(found[0]), float(found[1]), float(np.sqrt(np.mean(off**2))))
