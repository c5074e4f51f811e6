"""A free solid reduced to what its joints and its low modes can do.

Rubin, Improved component-mode representation for structural dynamic analysis (1975): rigid
motions, elastic modes of the free part, and the static answer to a unit force and moment at every
port, taken from the part in balance with its own inertia. Copies of a part share one reduction.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.linalg import eigh

from refledge.errors import AnalysisError
from refledge.solids import faces
from refledge.solids.assembly import dofs
from refledge.solids.modal import modes
from refledge.solids.system import System
from refledge.typed import Floats

_AT_ONCE = 24  # right-hand sides solved together: bounds the memory
_DEPENDENT = 1e-12  # of the greatest: shapes that the others already hold, squared


@dataclass(frozen=True, eq=False)
class Component:
    """A reduced part in its own axes; coordinates are M-orthonormal and stiffness is diagonal."""

    stiffness: Floats
    """(k,), N/m per kg: squares of angular frequencies, the six rigid motions first (0)."""
    ports: Mapping[str, Floats]
    """(6, k): mean translation, m, and rotation, rad, of each port's face about its centre."""
    centres: Mapping[str, Floats]
    """(3,), m."""
    dofs: int
    """Unknowns before the reduction."""


def reduce(system: System, ports: Sequence[str], n_modes: int) -> Component:
    """Reduce a part that floats free. Raises AnalysisError where something holds it.

    A port whose face the system couples rigidly moves as one piece; any other passes on forces
    that vary linearly over it and follows by the mean only.
    """
    if system.loose.shape[1] != 6:
        raise AnalysisError("only a part that floats free can be reduced for joining")
    patches = {name: faces.patch(system.mesh, name) for name in ports}
    R = _orthonormal_rigid(system)
    elastic = modes(system, n_modes).shapes.reshape(n_modes, -1).T
    answers = _attachments(system, R, list(patches.values()))
    own, basis = _independent(system, np.hstack((elastic, answers)))
    basis = np.hstack((R, basis))
    return Component(
        stiffness=np.concatenate((np.zeros(6), own)),
        ports={name: p.mean @ basis[dofs(p.nodes)] for name, p in patches.items()},
        centres={name: p.centre for name, p in patches.items()},
        dofs=system.mesh.dofs,
    )


def _orthonormal_rigid(system: System) -> Floats:
    """(3n, 6): rigid motions, M-orthonormal."""
    R = system.loose
    mass, turn = np.linalg.eigh(R.T @ system.mass_times(R))
    return np.asarray(R @ (turn / np.sqrt(mass)))


def _attachments(system: System, R: Floats, patches: list[faces.Patch]) -> Floats:
    """(3n, 6 p): static answer to a unit force and moment at each patch, free of rigid motion."""
    MR = system.mass_times(R)
    count = 6 * len(patches)
    found = np.empty((system.mesh.dofs, count))
    for start in range(0, count, _AT_ONCE):
        columns = range(start, min(start + _AT_ONCE, count))
        load = np.zeros((system.mesh.dofs, len(columns)))
        for place, column in enumerate(columns):
            patch = patches[column // 6]
            load[dofs(patch.nodes), place] = patch.mean[column % 6]
        u = system.solve(load - MR @ (R.T @ load))
        found[:, start : start + len(columns)] = u - R @ (MR.T @ u)
    return found


def _independent(system: System, shapes: Floats) -> tuple[Floats, Floats]:
    """Squares of frequencies (k,) and M-orthonormal shapes (3n, k) that span ``shapes``.

    Shapes are scaled to unit energy first; those that the others hold already are dropped.
    """
    K = np.empty((shapes.shape[1],) * 2)
    M = np.empty_like(K)
    for start in range(0, len(K), _AT_ONCE):
        part = slice(start, start + _AT_ONCE)
        K[:, part] = shapes.T @ (system.matrices.stiffness @ shapes[:, part])
        M[:, part] = shapes.T @ system.mass_times(shapes[:, part])
    scale = 1.0 / np.sqrt(np.diag(K))
    K, M = (scale[:, None] * (each + each.T) / 2 * scale for each in (K, M))
    squares, turn = eigh(K)
    apart = squares > _DEPENDENT * squares[-1]
    kept = turn[:, apart] / np.sqrt(squares[apart])
    weight, mixed = eigh(kept.T @ M @ kept)
    usable = weight > _DEPENDENT * weight[-1]
    change = scale[:, None] * (kept @ (mixed[:, usable] / np.sqrt(weight[usable])))
    return np.asarray(1.0 / weight[usable])[::-1], np.asarray(shapes @ change)[:, ::-1]
