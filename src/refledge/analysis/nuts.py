"""A plain nut in a slot of a round printed post: what pulls it out, what turns it.

Hand calculations of statics; the formulas are derived where they stand. SI.
"""

from math import sqrt

import numpy as np

STRIPS = 2000
"""Strips across the post in which its slotted section is summed."""


def ledge_shear(width: float, thickness: float) -> float:
    """Shear of a ledge round a hexagon pulled through it, Pa for each N: 1 / (6 a t), a = w/sqrt 3.

    width: of the nut across flats, m. thickness: of the ledge, m.
    """
    return 1.0 / (6.0 * width / sqrt(3.0) * thickness)


def slotted_pull(post: float, width: float) -> float:
    """Greatest tension in a post beside its slot, Pa for each N pulled along the post's axis.

    The slot opens to +x and ends in half a hexagon round the axis; what is left of the circle lies
    to one side, so that the pull bends it too: sigma = 1/A + c x / I, c from axis to centroid.
    post: diameter, m. width: of the slot, m.
    """
    radius = post / 2
    y = (np.arange(STRIPS) + 0.5) / STRIPS * post - radius
    edge = np.sqrt(radius**2 - y**2)
    inner = -(width - np.abs(y)) / sqrt(3.0)
    high = np.where(np.abs(y) < width / 2, np.maximum(inner, -edge), edge)
    step = post / STRIPS
    area = float(np.sum(high + edge)) * step
    centroid = float(np.sum(high**2 - edge**2)) / 2 * step / area
    about = float(np.sum(high**3 + edge**3)) / 3 * step - area * centroid**2
    reach = max(float(high.max()) - centroid, 0.0)
    return 1.0 / area + abs(centroid) * reach / about


def nut_turning(width: float, height: float, pressure: float) -> float:
    """Torque at which a nut crushes the walls of its slot, N m.

    Turned a little, it bears on half of each of two flats a = w/sqrt 3 long, with a pressure that
    rises from nothing in the middle to ``pressure`` (Pa) at the corner: force p h a/4 on each,
    a/3 from the middle: T = p h a^2 / 6. width across flats and height of the nut, m.
    """
    flat = width / sqrt(3.0)
    return pressure * height * flat**2 / 6.0
