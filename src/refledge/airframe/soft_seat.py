"""The body that rides on the standoffs of a damped flight-controller seat."""

from dataclasses import replace

import numpy as np

from refledge.airframe.inventory import Lump, box_inertia, centre_of_mass, total_mass
from refledge.analysis.isolation import SprungBody, rigid
from refledge.geometry.plate import seat_points
from refledge.model.brief import Brief
from refledge.model.parts import FrameDesign
from refledge.typed import Floats


def on_standoffs(brief: Brief, frame: FrameDesign, lumps: tuple[Lump, ...]) -> tuple[Lump, ...]:
    """Carrier and flight controller, with their inertia; needs a damped seat."""
    seat, box = frame.seat, brief.flight_controller
    found = [each for each in lumps if each.name == box.name and each.arm < 0]
    carrier = next(each for each in lumps if each.part == "seat")
    own = box_inertia(carrier.mass, (seat.side, seat.side, seat.thickness))
    return (*found, replace(carrier, inertia=own))


def sprung(
    brief: Brief, frame: FrameDesign, lumps: tuple[Lump, ...], share: float = 1.0
) -> SprungBody:
    """Carrier and controller with the upper halves of the four standoffs' masses.

    share: of the stated stiffnesses, for their spread.
    """
    standoffs, riding = brief.standoffs, on_standoffs(brief, frame, lumps)
    mass, centre = total_mass(riding), centre_of_mass(riding)
    middle = frame.plate_gap / 2 + frame.plate.thickness + frame.seat.rise / 2
    mounts = np.array([[x, y, middle] for x, y in seat_points(frame)]) - centre
    inertia = sum((_about(each, centre) for each in riding), start=np.zeros((3, 3)))
    half = standoffs.mass / 2
    inertia = inertia + sum((_point(half, at) for at in mounts), start=np.zeros((3, 3)))
    side = standoffs.side_stiffness
    stiffness = share * np.array([side, side, standoffs.stiffness])
    return SprungBody(mass + 4 * half, inertia, mounts, stiffness, standoffs.loss)


def _about(lump: Lump, centre: Floats) -> Floats:
    """Inertia of a lump about ``centre``, (3, 3), kg m2: Steiner."""
    return lump.inertia + _point(lump.mass, lump.centre - centre)


def _point(mass: float, arm: Floats) -> Floats:
    """Of a point mass at ``arm`` (3,), m."""
    found: Floats = mass * (float(arm @ arm) * np.eye(3) - np.outer(arm, arm))
    return found


def riding_motion(
    body: SprungBody, centre: Floats, hub: Floats, moved: Floats, frequencies: Floats
) -> Floats:
    """How far the controller moves in each mode of the frame, (k,), m.

    centre: of what rides; hub: the node that carries it, (3,), m. moved: the hub's six motions in
    each mode, (k, 6), m and rad. frequencies: (k,), Hz.
    """
    lever = rigid(centre - hub)
    found = np.zeros(len(moved))
    for row, (shape, frequency) in enumerate(zip(moved, frequencies, strict=True)):
        base = np.concatenate([lever @ shape, shape[3:]])
        found[row] = np.linalg.norm((body.passed(float(frequency)) @ base)[:3])
    return found
