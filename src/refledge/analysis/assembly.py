"""From beams, point masses and springs to the matrices of the whole frame."""

from collections.abc import Iterable, Sequence
from functools import lru_cache

import numpy as np
from scipy import sparse

from refledge.analysis.elements import Beams, beams, skew
from refledge.analysis.frame import BeamFrame, PointMass, Spring
from refledge.errors import AnalysisError
from refledge.typed import Floats, Ints


@lru_cache(maxsize=4)
def matrices(frame: BeamFrame) -> tuple[sparse.csc_array, sparse.csc_array]:
    """Stiffness K and mass M of the free frame, (6 n, 6 n) sparse, SI, six to a node.

    Remembered for the last few frames (told apart by identity, never changed); not to be written.
    """
    found = assemble(frame, beams(frame))
    for each in found:
        each.data.flags.writeable = False
    return found


def assemble(
    frame: BeamFrame, local: Beams, extra: Iterable[Spring] = ()
) -> tuple[sparse.csc_array, sparse.csc_array]:
    """K and M from beams already computed, with ``extra`` springs."""
    place = _places(frame.elements)
    turn = local.to_local
    back = turn.transpose(0, 2, 1)
    K = [(place, back @ local.K @ turn)]
    M = [(place, back @ local.M @ turn)]
    K += _springs(frame, (*frame.springs, *extra))
    M += _point_masses(frame.masses)
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


def _point_masses(bodies: Sequence[PointMass]) -> list[tuple[Ints, Floats]]:
    """Mass matrices (k, 6, 6) at their nodes of bodies whose centres stand ``offset`` away."""
    if not bodies:
        return []
    arm = skew(np.array([body.offset for body in bodies], dtype=np.float64))
    mass = np.array([body.mass for body in bodies])[:, None, None]
    M = np.zeros((len(bodies), 6, 6))
    M[:, :3, :3] = mass * np.eye(3)
    M[:, :3, 3:] = -mass * arm
    M[:, 3:, :3] = mass * arm
    M[:, 3:, 3:] = np.array([body.inertia for body in bodies]) - mass * arm @ arm
    return [(_places(np.array([[body.node] for body in bodies])), M)]


def _springs(frame: BeamFrame, springs: Sequence[Spring]) -> list[tuple[Ints, Floats]]:
    """Stiffness of springs between nodes (k, 12, 12), and of those to the ground (k, 6, 6)."""
    between = [spring for spring in springs if spring.node_b != -1]
    grounded = [spring for spring in springs if spring.node_b == -1]
    made = []
    if between:
        nodes = np.array([[spring.node_a, spring.node_b] for spring in between])
        relative = np.zeros((len(between), 6, 12))
        relative[:, :, 6:] = np.eye(6)
        relative[:, :, :6] = -np.eye(6)
        relative[:, :3, 3:6] = skew(frame.nodes[nodes[:, 1]] - frame.nodes[nodes[:, 0]])
        k = relative.transpose(0, 2, 1) @ _turned(between) @ relative
        made.append((_places(nodes), k))
    if grounded:
        nodes = np.array([[spring.node_a] for spring in grounded])
        made.append((_places(nodes), _turned(grounded)))
    return made


def _turned(springs: Sequence[Spring]) -> Floats:
    """(k, 6, 6) stiffness of springs in global axes."""
    turn = np.zeros((len(springs), 6, 6))
    axes = np.array([spring.axes for spring in springs], dtype=np.float64)
    turn[:, :3, :3] = turn[:, 3:, 3:] = axes
    k = np.array([_full(spring) for spring in springs])
    return np.asarray(turn.transpose(0, 2, 1) @ k @ turn)


def _full(spring: Spring) -> Floats:
    """(6, 6) stiffness along the spring's own axes."""
    stiffness = np.asarray(spring.stiffness, np.float64)
    k = np.diag(stiffness) if stiffness.ndim == 1 else stiffness
    if k.shape != (6, 6):
        raise AnalysisError(f"spring at node {spring.node_a}: stiffness has shape {k.shape}")
    return k
