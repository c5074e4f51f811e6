"""From beams, point masses and springs to the matrices of the whole frame."""

from collections.abc import Iterable

import numpy as np
from scipy import sparse

from refledge.analysis.elements import Beams, beams, skew
from refledge.analysis.frame import BeamFrame, PointMass, Spring
from refledge.errors import AnalysisError
from refledge.typed import Floats, Ints


def matrices(frame: BeamFrame) -> tuple[sparse.csc_array, sparse.csc_array]:
    """Stiffness K and mass M of the free frame, (6 n, 6 n) sparse, SI, six to a node."""
    return assemble(frame, beams(frame))


def assemble(
    frame: BeamFrame, local: Beams, extra: Iterable[Spring] = ()
) -> tuple[sparse.csc_array, sparse.csc_array]:
    """K and M from beams already computed, with ``extra`` springs."""
    place = _places(frame.elements)
    turn = local.to_local
    back = turn.transpose(0, 2, 1)
    K = [(place, back @ local.K @ turn)]
    M = [(place, back @ local.M @ turn)]
    for spring in (*frame.springs, *extra):
        K.append(_spring(frame, spring))
    M += [(_places(np.array([[mass.node]])), _point_mass(mass)[None]) for mass in frame.masses]
    size = 6 * len(frame.nodes)
    return _gather(K, size), _gather(M, size)


def rigid_shapes(nodes: Floats, origin: Floats | None = None) -> Floats:
    """(6 n, 6) motions of the frame as one body: three shifts, three turns about ``origin``."""
    arms = nodes if origin is None else nodes - origin
    shapes = np.zeros((len(nodes), 6, 6))
    shapes[:, :3, :3] = shapes[:, 3:, 3:] = np.eye(3)
    shapes[:, :3, 3:] = -skew(arms)
    return shapes.reshape(-1, 6)


def _places(elements: Ints) -> Ints:
    """(m, 6 k) degrees of freedom of elements with k nodes."""
    return (elements[:, :, None] * 6 + np.arange(6)).reshape(len(elements), -1)


def _gather(parts: list[tuple[Ints, Floats]], size: int) -> sparse.csc_array:
    rows = [np.repeat(place, place.shape[1], axis=1).ravel() for place, _ in parts]
    columns = [np.tile(place, (1, place.shape[1])).ravel() for place, _ in parts]
    values = np.concatenate([block.ravel() for _, block in parts])
    index = (np.concatenate(rows), np.concatenate(columns))
    return sparse.csc_array(sparse.coo_array((values, index), shape=(size, size)))


def _point_mass(body: PointMass) -> Floats:
    """(6, 6) mass matrix at its node of a body whose centre stands ``offset`` away."""
    arm = skew(np.asarray(body.offset, np.float64))
    M = np.zeros((6, 6))
    M[:3, :3] = body.mass * np.eye(3)
    M[:3, 3:] = -body.mass * arm
    M[3:, :3] = body.mass * arm
    M[3:, 3:] = np.asarray(body.inertia) - body.mass * arm @ arm
    return M


def _spring(frame: BeamFrame, spring: Spring) -> tuple[Ints, Floats]:
    stiffness = np.asarray(spring.stiffness, np.float64)
    k = np.diag(stiffness) if stiffness.ndim == 1 else stiffness
    if k.shape != (6, 6):
        raise AnalysisError(f"spring at node {spring.node_a}: stiffness has shape {k.shape}")
    turn = np.kron(np.eye(2), np.asarray(spring.axes, np.float64))
    k = turn.T @ k @ turn
    if spring.node_b == -1:
        return _places(np.array([[spring.node_a]])), k[None]
    carry = np.eye(6)
    carry[:3, 3:] = -skew(frame.nodes[spring.node_b] - frame.nodes[spring.node_a])
    relative = np.hstack([-carry, np.eye(6)])
    return _places(np.array([[spring.node_a, spring.node_b]])), (relative.T @ k @ relative)[None]
