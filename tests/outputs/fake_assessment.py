"""A hand-made beam frame and masses for the hand-made study: six plain arms clamped to a hub."""

from types import SimpleNamespace
from typing import Any

import numpy as np

from refledge.airframe.inventory import Lump, box_inertia, cylinder_inertia, rod_inertia
from refledge.analysis.frame import PointMass, frame_of
from refledge.analysis.sections import rectangle
from refledge.model.brief import Brief
from refledge.model.layout import Layout

E, G, RHO = 2.0e9, 0.7e9, 1270.0
WIDTH, DEPTH = 0.022, 0.016
ROOT = 0.05


def fake_assessment(brief: Brief, layout: Layout) -> Any:
    """Beams from a hub to the roots (part "plate") and from the roots to the motors ("arm")."""
    n, angles = layout.n_arms, layout.arm_angles
    out = np.column_stack([np.cos(angles), np.sin(angles), np.zeros(n)])
    nodes = np.concatenate([np.zeros((1, 3)), ROOT * out, layout.motor_radius * out])
    roots, tips = range(1, n + 1), range(n + 1, 2 * n + 1)
    elements = np.array([[0, r] for r in roots] + [[r, r + n] for r in roots], dtype=np.int64)
    section = rectangle(np.array([WIDTH] * 2 * n), np.array([DEPTH] * 2 * n))
    structure = SimpleNamespace(
        frame=frame_of(nodes, elements, section, E, G, RHO, masses=(_body(brief),)),
        bars=[SimpleNamespace(part="plate", index=k) for k in range(n)]
        + [SimpleNamespace(part="arm", index=k) for k in range(n)],
        tips=tuple(tips),
    )
    return SimpleNamespace(structure=structure, lumps=tuple(_lumps(brief, layout)))


def _body(brief: Brief) -> PointMass:
    """The battery at the hub, so that the frame has a body."""
    battery = brief.battery
    size = (battery.length, battery.width, battery.height)
    return PointMass(0, battery.mass, box_inertia(battery.mass, size))


def _lumps(brief: Brief, layout: Layout) -> list[Lump]:
    motor, propeller, battery = brief.motor, brief.propeller, brief.battery
    found = []
    for arm, disc in enumerate(layout.positions):
        spin = cylinder_inertia(motor.mass, motor.diameter, motor.height)
        blade = rod_inertia(propeller.mass, propeller.diameter)
        low = disc - [0.0, 0.0, motor.height / 2]
        found.append(Lump(motor.name, "items", motor.mass, low, spin, arm))
        found.append(Lump(propeller.name, "items", propeller.mass, disc, blade, arm))
    size = (battery.length, battery.width, battery.height)
    below = np.array([0.0, 0.0, -0.036])
    found.append(Lump(battery.name, "items", battery.mass, below, box_inertia(battery.mass, size)))
    load = brief.payload
    box = box_inertia(load.mass, (load.length, load.width, load.height))
    place = np.array([0.0, 0.0, -1.2])
    found.append(Lump(load.name, "payload", load.mass, place, box, fixed=False))
    found.append(Lump("arm", "printed", 0.046, np.zeros(3), np.zeros((3, 3)), part="arm"))
    return found
