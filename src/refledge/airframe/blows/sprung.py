"""The beam frame made ready to crash: battery on its straps, flight controller on its soft feet.

In flight both move with their plate; in a crash tray and feet give first, and what they give is
what spares or breaks them.
"""

from dataclasses import replace

import numpy as np

from refledge.airframe.assessment import Assessment
from refledge.airframe.inventory import BUILT_IN
from refledge.airframe.task import Task
from refledge.airframe.tray import STRAP_PLACE
from refledge.analysis.frame import BeamFrame, PointMass, Spring
from refledge.model.hung import TrayDesign
from refledge.model.parts import FrameDesign
from refledge.typed import Floats

SOFT_MOUNT = 120.0
"""Hz; flight controller on its soft feet: from memory, typical; check your own."""


def sprung(task: Task, frame: FrameDesign, found: Assessment) -> BeamFrame:
    """The frame with two nodes more, battery's and flight controller's, each held by a spring."""
    structure, beams = found.structure, found.structure.frame
    kept = [lump.name for lump in found.lumps if lump.fixed and lump.part not in BUILT_IN]
    E = task.materials[frame.tray.material].E
    controller = task.brief.flight_controller
    soft = controller.mass * (2 * np.pi * SOFT_MOUNT) ** 2
    turning = soft * (controller.length / 4) ** 2
    wanted = (
        (task.brief.battery.name, structure.belly, strap_stiffness(frame.tray, E), frame.tray.yaw),
        (controller.name, structure.hub, np.array([soft] * 3 + [turning] * 3), 0.0),
    )
    nodes, masses, springs = list(beams.nodes), list(beams.masses), list(beams.springs)
    for name, carrier, stiffness, yaw in wanted:
        body = beams.masses[kept.index(name)]
        masses = [each for each in masses if each is not body]
        masses.append(PointMass(len(nodes), body.mass, body.inertia))
        springs.append(Spring(carrier, len(nodes), stiffness, _turned(yaw)))
        nodes.append(beams.nodes[carrier] + body.offset)
    return replace(beams, nodes=np.array(nodes), masses=tuple(masses), springs=tuple(springs))


def strap_stiffness(tray: TrayDesign, E: float) -> Floats:
    """(6,), N/m and N m/rad: two cantilevers from the tray's screws to its straps.

    3 E I / L^3 each (Timoshenko, Strength of Materials); the same is taken sideways, where the
    straps hold by the same bending. Turning works on the straps' distance and the tray's width.
    """
    reach = max(STRAP_PLACE * tray.length - tray.pitch_x / 2, tray.thickness)
    each = 3 * E * (tray.width * tray.thickness**3 / 12) / reach**3
    up, along, across = 2 * each, (STRAP_PLACE * tray.length) ** 2, (tray.width / 4) ** 2
    return np.array([up, up, up, up * across, up * along, up * along])


def _turned(yaw: float) -> Floats:
    c, s = np.cos(yaw), np.sin(yaw)
    return np.array([[c, s, 0.0], [-s, c, 0.0], [0.0, 0.0, 1.0]])
