"""Helpers that turn published problems into beam frames."""

from dataclasses import replace

import numpy as np

from refledge.analysis.beam import BeamFrame, all_dofs, frame_of, line_mesh


def slender(frame: BeamFrame) -> BeamFrame:
    """The same frame after Euler and Bernoulli: no shear deformation, no rotary inertia in bending.

    Torsion keeps its polar inertia.
    """
    m = len(frame.elements)
    none, rigid = np.zeros(m), np.full(m, np.inf)
    return replace(frame, Ay=rigid, Az=rigid, rotary_y=none, rotary_z=none)


def cantilever(section, E, G, rho, length, count, masses=()) -> BeamFrame:
    """Straight arm along x, clamped at node 0."""
    nodes, elements = line_mesh((0, 0, 0), (length, 0, 0), count)
    return frame_of(nodes, elements, section, E, G, rho, masses=tuple(masses))


ROOT = all_dofs(0)


def in_plane(n, *dofs):
    """All degrees of freedom of n nodes but the named ones (0..5): holds a frame in a plane."""
    return np.array([6 * i + d for i in range(n) for d in range(6) if d not in dofs])
