"""Motion of cross-sections of a solid, so that beams and solids can be compared with their like."""

import numpy as np

from refledge.errors import AnalysisError
from refledge.solids.faces import rigid_motion
from refledge.solids.system import System
from refledge.typed import Floats


def section_motion(
    system: System,
    shapes: Floats,
    origin: Floats,
    direction: Floats,
    stations: Floats,
    half: float,
) -> Floats:
    """(k, s, 6): mean translation, m, and rotation, rad, of slices of displacements (k, n, 3).

    A slice holds the nodes within ``half`` (m) of the plane square to ``direction`` at a station
    (s,), m, from ``origin``; its motion about the point on the axis is the rigid one that fits
    best, nodes counting by the mass that belongs to them.
    """
    mesh = system.mesh
    axis = np.asarray(direction, np.float64) / np.linalg.norm(direction)
    along = (mesh.nodes - origin) @ axis
    weight = np.asarray(system.matrices.mass.sum(axis=1)).ravel()
    weight = np.maximum(weight, np.median(weight[mesh.corners :]) / 10)  # corners carry little
    found = np.empty((len(shapes), len(stations), 6))
    for column, station in enumerate(stations):
        mine = np.flatnonzero(np.abs(along - station) <= half)
        if mine.size < 4:
            raise AnalysisError(f"no slice of the mesh within {half:.2g} m of {station:.4g} m")
        R = rigid_motion(mesh.nodes[mine], np.asarray(origin) + station * axis)
        heavy = R * np.repeat(weight[mine], 3)[:, None]
        moved = shapes[:, mine].reshape(len(shapes), -1)
        found[:, column] = np.linalg.solve(R.T @ heavy, heavy.T @ moved.T).T
    return found
