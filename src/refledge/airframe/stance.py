"""How safely it stands: from feet and centre of mass to the slope on which it tips over."""

from math import atan2, hypot, sqrt, tan

import numpy as np

from refledge.airframe.inventory import Lump, centre_of_mass
from refledge.airframe.structure import Structure
from refledge.flight.air import GRAVITY
from refledge.geometry.skid import skid_line, skid_rise
from refledge.model.fasteners import Hardware
from refledge.model.parts import FrameDesign
from refledge.typed import Floats

AIM = 1.1
"""Tipping angle that the legs lean for, over the one that is asked for: our choice."""


def least_radius(height: float, angle: float) -> float:
    """Distance from the middle to the nearest side of the feet's polygon that a slope of ``angle``
    (rad) asks for, m.

    Before masses are known the centre of mass is taken at the top of the legs, ``height`` (m) above
    the ground; the check takes the real one.
    """
    return tan(AIM * angle) * height


def ground_points(frame: FrameDesign, structure: Structure, hardware: Hardware) -> Floats:
    """Corners of what stands on the ground, (n, 3), m: the legs' ends, or the skids' level ends."""
    feet = structure.frame.nodes[list(structure.feet)].copy()
    if frame.foot is not None:
        feet[:, 2] -= frame.foot.sole
    if frame.skid is not None:
        half, _, _ = skid_line(frame, hardware)
        feet[:, 0] = np.sign(feet[:, 0]) * (half + frame.skid.nose - skid_rise(frame.skid))
        feet[:, 2] -= frame.skid.sole
    return feet


def nearest_side(points: Floats, at: Floats) -> float:
    """From ``at`` (2,) to the nearest side of the convex polygon round ``points`` (n, 2), m.

    Negative where it lies outside. Points are taken in turn about their middle.
    """
    middle = points.mean(axis=0)
    around = np.argsort(np.arctan2(*(points - middle).T[::-1]))
    ordered = points[around]
    sides = np.roll(ordered, -1, axis=0) - ordered
    across = sides[:, 0] * (at - ordered)[:, 1] - sides[:, 1] * (at - ordered)[:, 0]
    return float((across / np.linalg.norm(sides, axis=1)).min())


def stance(
    frame: FrameDesign, structure: Structure, lumps: tuple[Lump, ...], hardware: Hardware
) -> tuple[float, float]:
    """Centre of mass to the nearest edge it would tip over, and its height above ground, m.

    A slung payload is left out: on the ground it does not hang. Loose items stand on the airframe.
    """
    points = ground_points(frame, structure, hardware)
    centre = centre_of_mass(tuple(lump for lump in lumps if lump.fixed or lump.loose))
    return nearest_side(points[:, :2], centre[:2]), float(centre[2] - points[:, 2].min())


def tipping_angle(aside: float, height: float) -> float:
    """Slope on which a body tips about an edge ``aside`` (m) from under its centre of mass, rad."""
    return atan2(aside, height)


def tipping_speed(aside: float, height: float) -> float:
    """Sideways speed at which a body whose feet catch just tips over them, m/s.

    Its kinetic energy lifts the centre of mass over the edge: v^2 / 2 = g (r - h), with
    r = hypot(aside, height) (energy of a rigid body, any mechanics text; the loss in the blow is
    left out, which is careful).
    """
    return sqrt(2 * GRAVITY * (hypot(aside, height) - height)) if aside > 0.0 else 0.0
