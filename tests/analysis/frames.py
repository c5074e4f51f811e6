"""A printed arm and a six-arm airframe as beam frames, for tests."""

import numpy as np

from refledge.analysis import sections
from refledge.analysis.beam import PointMass, all_dofs, frame_of, line_mesh
from tests.reference.six_arms import six_arms

E, G, RHO = 2.2e9, 0.8e9, 1270.0
BOX = sections.box(0.024, 0.022, 1.8e-3, 1.6e-3, 1.2e-3)
ROOT = all_dofs(0)


def arm(count=6, length=0.2, section=BOX, **more):
    nodes, elements = line_mesh((0, 0, 0), (length, 0, 0), count)
    return frame_of(nodes, elements, section, E, G, RHO, **more)


def airframe(parts=6, turn=None, shift=(0, 0, 0), odd=True):
    """Six arms, motors on offsets, a body; ``odd`` breaks the symmetry with one heavy motor."""
    case = six_arms(parts)
    R = np.eye(3) if turn is None else turn
    motor = 2e-5 * np.eye(3)
    masses = [
        PointMass(tip, 0.11 * (1 + 0.3 * (odd and i == 1)), motor, R @ [0.0, 0.004, 0.02])
        for i, tip in enumerate(case.tips)
    ]
    masses.append(PointMass(0, 1.6, R @ np.diag([4e-3, 5e-3, 7e-3]) @ R.T, R @ [0.01, 0, -0.03]))
    frame = frame_of(
        case.nodes @ R.T + np.asarray(shift),
        case.elements,
        case.section,
        E,
        G,
        RHO,
        R @ [0.0, 0.0, 1.0],
        masses=tuple(masses),
    )
    return frame, case.tips


def tip_load(frame, *load):
    loads = np.zeros((len(frame.nodes), 6))
    loads[-1] = load
    return loads
