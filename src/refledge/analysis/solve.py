"""Static solves of a beam frame: held at supports, or free with inertia relief."""

from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from scipy import sparse
from scipy.sparse.linalg import SuperLU, splu

from refledge.analysis.assembly import assemble, matrices, rigid_shapes
from refledge.analysis.elements import beams, skew
from refledge.analysis.frame import BeamFrame, Spring
from refledge.errors import AnalysisError
from refledge.typed import Floats, Ints

# A pivot this much smaller than its diagonal is rounding, not stiffness: a mechanism.
_SINGULAR = 1e-12
# Loads and inertia must balance to this, relative to the loads.
_BALANCE = 1e-9


@dataclass(frozen=True, eq=False)
class Static:
    """Held frame under load; leading axes of the loads are kept."""

    displacements: Floats  # (..., n, 6), m and rad
    reactions: Floats  # (..., n, 6), N and N m, on the frame, zero where nothing is held


@dataclass(frozen=True, eq=False)
class FreeStatic:
    """Free frame under load, balanced by its own inertia."""

    displacements: Floats
    """(..., n, 6), m and rad, with no rigid motion left in them (weighted by mass)."""
    acceleration: Floats
    """(..., 6), m/s2 and rad/s2, of the frame as one body, at the origin of its axes."""
    imbalance: Floats
    """(...,), what loads and inertia leave unbalanced, relative to the loads."""


class RigidBody(NamedTuple):
    """The frame as one rigid body."""

    mass: float  # kg
    centre: Floats  # (3,), m
    inertia: Floats  # (3, 3), kg m2, about the centre


def solve_static(
    frame: BeamFrame, loads: Floats, fixed: Ints, extra: tuple[Spring, ...] = ()
) -> Static:
    """Displacements under nodal ``loads`` (..., n, 6) with degrees of freedom ``fixed`` held.

    ``extra`` springs act in this solve only.
    """
    K, _ = assemble(frame, beams(frame), extra) if extra else matrices(frame)
    vectors = _columns(frame, loads)
    u = np.zeros_like(vectors)
    free = free_dofs(frame, fixed)
    u[free] = factor(K[free][:, free], free).solve(vectors[free])
    reactions = K @ u - vectors
    reactions[free] = 0.0
    return Static(_nodal(u, loads), _nodal(reactions, loads))


def solve_free(frame: BeamFrame, loads: Floats) -> FreeStatic:
    """Displacements of the free frame under ``loads`` (..., n, 6), inertia relief.

    The frame accelerates as one body; each mass pulls back with its own inertia. The solve holds
    one node, where then no force arises, and takes the rigid motion out afterwards, so the answer
    does not depend on which node it was.
    """
    _, M = matrices(frame)
    f = _columns(frame, loads)
    R = rigid_shapes(frame.nodes)
    MR = M @ R
    body = _body_matrix(MR, R)
    acceleration: Floats = np.linalg.solve(body, R.T @ f).astype(np.float64)
    balanced = f - MR @ acceleration
    imbalance = _imbalance(frame, R, f, balanced)
    free = free_dofs(frame, np.arange(6))
    u = np.zeros_like(f)
    u[free] = free_factor(frame).solve(balanced[free])
    u -= R @ np.linalg.solve(body, MR.T @ u)
    shape = np.shape(loads)[:-2]
    return FreeStatic(_nodal(u, loads), acceleration.T.reshape(*shape, 6), imbalance.reshape(shape))


def end_forces(
    frame: BeamFrame, displacements: Floats, acceleration: Floats | None = None
) -> Floats:
    """Forces and moments on both ends of each beam in its local axes, (..., m, 2, 6), N and N m.

    ``acceleration`` (..., 6), that of ``FreeStatic``, or minus gravity for a frame whose weight was
    put in as nodal loads, adds each beam's own inertia so that the ends are right on their own.
    """
    local = beams(frame)
    ends = ends_of(frame, local.to_local, displacements)
    forces = np.einsum("mij,...mj->...mi", local.K, ends)
    if acceleration is not None:
        rigid = np.einsum("ij,...j->...i", rigid_shapes(frame.nodes), acceleration)
        moving = ends_of(frame, local.to_local, rigid.reshape(*rigid.shape[:-1], -1, 6))
        forces = forces + np.einsum("mij,...mj->...mi", local.M, moving)
    return np.asarray(forces.reshape(*forces.shape[:-1], 2, 6))


def rigid_body_mass(frame: BeamFrame) -> RigidBody:
    """Mass, centre and inertia of the whole frame with all it carries."""
    _, M = matrices(frame)
    R = rigid_shapes(frame.nodes)
    body = R.T @ (M @ R)
    mass = float(body[0, 0])
    if mass <= 0:
        raise AnalysisError("the frame has no mass")
    moment = body[3:, :3] / mass
    centre = np.array([moment[2, 1], moment[0, 2], moment[1, 0]])
    arm = skew(centre)
    return RigidBody(mass, centre, body[3:, 3:] + mass * arm @ arm)


def free_dofs(frame: BeamFrame, fixed: Ints) -> Ints:
    """Degrees of freedom that are not in ``fixed``."""
    keep = np.ones(6 * len(frame.nodes), dtype=bool)
    keep[np.asarray(fixed, dtype=np.int64)] = False
    return np.flatnonzero(keep)


def factor(K: sparse.csc_array, free: Ints) -> SuperLU:
    """LU factors of a symmetric stiffness; AnalysisError names the node of a mechanism."""
    diagonal = K.diagonal()
    if np.any(diagonal <= 0):
        raise _mechanism(int(free[int(np.argmin(diagonal))]))
    try:
        lu = splu(
            sparse.csc_matrix(K),
            permc_spec="MMD_AT_PLUS_A",
            diag_pivot_thresh=0.0,
            options={"SymmetricMode": True},
        )
    except RuntimeError as error:
        raise AnalysisError("the frame is a mechanism: its stiffness is singular") from error
    pivots = lu.U.diagonal()[lu.perm_c] / diagonal
    if np.any(pivots < _SINGULAR):
        raise _mechanism(int(free[int(np.argmin(pivots))]))
    return lu


@lru_cache(maxsize=2)
def free_factor(frame: BeamFrame) -> SuperLU:
    """Factors of a free frame's stiffness with its first node held, remembered like its matrices.

    Under loads that inertia balances no force arises there.
    """
    free = free_dofs(frame, np.arange(6))
    return factor(matrices(frame)[0][free][:, free], free)


def _mechanism(dof: int) -> AnalysisError:
    name = ("x", "y", "z", "rotation about x", "rotation about y", "rotation about z")[dof % 6]
    return AnalysisError(
        f"the frame is a mechanism: nothing holds node {dof // 6} in {name}; "
        "connect it, or hold it with a support or a spring"
    )


def _body_matrix(MR: Floats, R: Floats) -> Floats:
    body = R.T @ MR
    if np.any(np.linalg.eigvalsh(body) <= 0):
        raise AnalysisError("a free frame needs mass and inertia about every axis")
    return np.asarray(body)


def _imbalance(frame: BeamFrame, R: Floats, f: Floats, balanced: Floats) -> Floats:
    size = float(np.max(np.ptp(frame.nodes, axis=0)))
    scale = np.array([1.0, 1.0, 1.0, size, size, size])
    left = np.max(np.abs(R.T @ balanced) / scale[:, None], axis=0)
    given = np.max(np.abs(f) / np.tile(scale, len(frame.nodes))[:, None], axis=0)
    relative = left / np.maximum(given, np.finfo(float).tiny)
    if np.any(relative > _BALANCE):
        raise AnalysisError(f"loads and inertia do not balance: {relative.max():.1e} of the loads")
    return np.asarray(relative)


def _columns(frame: BeamFrame, loads: Floats) -> Floats:
    loads = np.asarray(loads, np.float64)
    if loads.shape[-2:] != (len(frame.nodes), 6):
        raise AnalysisError(f"loads have shape {loads.shape}, wanted (..., {len(frame.nodes)}, 6)")
    return loads.reshape(-1, 6 * len(frame.nodes)).T.copy()


def _nodal(columns: Floats, loads: Floats) -> Floats:
    return np.ascontiguousarray(columns.T).reshape(np.shape(loads))


def ends_of(frame: BeamFrame, to_local: Floats, motion: Floats) -> Floats:
    """Motion of both ends of each beam in its axes, (..., m, 12); motion: (..., n, 6)."""
    both = motion[..., frame.elements, :]
    ends = np.einsum("mij,...mj->...mi", to_local, both.reshape(*both.shape[:-2], 12))
    return np.asarray(ends)
