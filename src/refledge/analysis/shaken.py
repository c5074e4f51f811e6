"""Steady answer of a free beam frame to forces that go round or to and fro."""

import numpy as np
from scipy import sparse
from scipy.sparse.linalg import splu

from refledge.analysis.assembly import matrices
from refledge.analysis.elements import beams
from refledge.analysis.frame import BeamFrame
from refledge.analysis.solve import ends_of
from refledge.errors import AnalysisError
from refledge.typed import Complexes


def steady(frame: BeamFrame, loads: Complexes, omega: float, loss: float) -> Complexes:
    """Displacements (..., n, 6), m and rad, under nodal ``loads`` times exp(i omega t).

    loads: (..., n, 6), N and N m. omega: rad/s. loss: of the stiffness, (1 + i loss) K, twice the
    damping of a mode. Solves (1 + i loss) K u - omega^2 M u = f (Clough and Penzien, Dynamics of
    Structures, hysteretic damping). Raises AnalysisError where nothing damps and it resonates.
    """
    K, M = matrices(frame)
    system = sparse.csc_matrix((1 + 1j * loss) * K - omega**2 * M)
    columns = np.asarray(loads, np.complex128).reshape(-1, 6 * len(frame.nodes)).T
    try:
        found = splu(system).solve(np.ascontiguousarray(columns))
    except RuntimeError as error:
        raise AnalysisError(f"nothing damps the frame at {omega:.1f} rad/s") from error
    if not np.all(np.isfinite(found)):
        raise AnalysisError(f"the frame has no steady answer at {omega:.1f} rad/s")
    return np.asarray(np.ascontiguousarray(found.T).reshape(np.shape(loads)))


def steady_ends(frame: BeamFrame, moved: Complexes, omega: float, loss: float) -> Complexes:
    """Forces and moments on both ends of each beam in its axes, (..., m, 2, 6), N and N m."""
    local = beams(frame)
    real, turned = (ends_of(frame, local.to_local, each) for each in (moved.real, moved.imag))
    ends = real + 1j * turned
    stiff = np.einsum("mij,...mj->...mi", local.K, ends)
    heavy = np.einsum("mij,...mj->...mi", local.M, ends)
    forces = (1 + 1j * loss) * stiff - omega**2 * heavy
    return np.asarray(forces.reshape(*forces.shape[:-1], 2, 6))
