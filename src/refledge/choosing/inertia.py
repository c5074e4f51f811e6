"""The whole aircraft as one rigid body, from its beam frame and all that it carries."""

from dataclasses import dataclass

import numpy as np

from refledge.airframe.assessment import Assessment
from refledge.typed import Floats


@dataclass(frozen=True, eq=False)
class Body:
    """One rigid body."""

    mass: float  # kg
    centre: Floats  # (3,), m, body axes
    inertia: Floats  # (3, 3), kg m2, about the centre


def whole_body(assessment: Assessment) -> Body:
    """Beams as thin rods, items and parts as rigid bodies in their places.

    A payload on a line does not turn with the aircraft and is left out, as it is from the beam
    frame's masses. Rod between a and b about the origin: m/3 (a a + b b + (a b + b a)/2), traces
    taken as for any body (parallel axes; any mechanics text).
    """
    frame = assessment.structure.frame
    a = frame.nodes[frame.elements[:, 0]] + frame.offsets[:, 0]
    b = frame.nodes[frame.elements[:, 1]] + frame.offsets[:, 1]
    rods = frame.mass_per_length * np.linalg.norm(b - a, axis=1)
    first = rods @ (a + b) / 2
    cross = np.einsum("m,mi,mj->ij", rods, a, b)
    second = np.einsum("m,mi,mj->ij", rods, a, a) + np.einsum("m,mi,mj->ij", rods, b, b)
    second = (second + (cross + cross.T) / 2) / 3
    own = np.zeros((3, 3))
    total = float(np.sum(rods))
    for body in frame.masses:
        place = frame.nodes[body.node] + body.offset
        first, second = first + body.mass * place, second + body.mass * np.outer(place, place)
        own, total = own + body.inertia, total + body.mass
    centre = first / total
    about = second - total * np.outer(centre, centre)
    return Body(total, centre, own + np.trace(about) * np.eye(3) - about)
