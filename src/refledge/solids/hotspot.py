"""The worst point of a part, away from corners where theory knows no finite stress.

Rule. Stresses are averaged over the plastic within a fixed reach of a point, and points on or
within that reach of a supported or rigidly moved face do not count. A sharp inner corner has an
infinite stress in theory, so the figure at a node there grows as the mesh shrinks, while the
average over a fixed volume settles, because the stress is integrable; and a crack only starts when
a volume of plastic is overloaded (Taylor, The Theory of Critical Distances, volume method).
Supports are left out because a real clamp yields a little where ours cannot.
"""

from dataclasses import dataclass

import numpy as np
from scipy.spatial import KDTree

from refledge.errors import AnalysisError
from refledge.solids.law import Plastic
from refledge.solids.mesh import SolidMesh
from refledge.solids.strength import uses
from refledge.solids.stress import Stress, volume_averaged
from refledge.typed import Floats, Ints

REACH = 1e-3
"""m; critical distances of glassy plastics lie between some tenths and two millimetres: from
memory, typical. About two lines of a common nozzle."""


@dataclass(frozen=True, eq=False)
class WorstPoint:
    """Greatest use of strength, by the rule and without it."""

    use: float
    """By the rule, 1."""
    point: Floats
    """(3,), m."""
    unrestricted: float
    """At the worst node, no rule applied: grows without end at sharp corners."""
    unrestricted_point: Floats


@dataclass(frozen=True, eq=False)
class Uses:
    """Use of strength at every corner node, by the interaction law and on the layer boundaries."""

    plastic: Floats
    """(n_corners,): Tsai and Wu's criterion, from averaged nodal stresses."""
    layers: Floats
    """(n_corners,): layer boundaries."""
    worst_plastic: WorstPoint
    worst_layers: WorstPoint


def utilisation(
    mesh: SolidMesh,
    stress: Stress,
    plastics: tuple[Plastic, ...],
    axes: tuple[Floats, ...],
    exclude: tuple[str, ...] = (),
    reach: float = REACH,
) -> Uses:
    """Uses of one load case. plastics, axes: of each body; exclude: supported or rigid faces."""
    nodes = np.arange(mesh.corners)
    owner = _owner(mesh)
    judged = nodes[_far(mesh, exclude, reach)]
    if not judged.size:
        raise AnalysisError(f"no point of the part is {reach * 1e3:.1f} mm away from its supports")
    plain = _by_body(stress.nodes, owner, plastics, axes)
    mean = volume_averaged(mesh, stress, judged, reach)
    ruled = _by_body(mean, owner[judged], plastics, axes)
    worst = [_worst(mesh, judged, rule, free) for rule, free in zip(ruled, plain, strict=True)]
    return Uses(plain[0], plain[1], worst[0], worst[1])


def _by_body(
    stress: Floats, owner: Ints, plastics: tuple[Plastic, ...], axes: tuple[Floats, ...]
) -> tuple[Floats, Floats]:
    both = np.zeros((2, len(stress)))
    for k, (plastic, turn) in enumerate(zip(plastics, axes, strict=True)):
        both[:, owner == k] = uses(stress[owner == k], plastic, turn)
    return both[0], both[1]


def _worst(mesh: SolidMesh, judged: Ints, rule: Floats, free: Floats) -> WorstPoint:
    at, anywhere = int(np.argmax(rule)), int(np.argmax(free))
    return WorstPoint(
        float(rule[at]), mesh.nodes[judged[at]], float(free[anywhere]), mesh.nodes[anywhere]
    )


def _owner(mesh: SolidMesh) -> Ints:
    """(n_corners,): body of each corner node; the last listed where bodies meet."""
    found = np.zeros(mesh.corners, dtype=np.int64)
    np.maximum.at(found, mesh.tets[:, :4].ravel(), np.repeat(mesh.body, 4))
    return found


def _far(mesh: SolidMesh, exclude: tuple[str, ...], reach: float) -> Floats:
    if not exclude:
        return np.ones(mesh.corners, dtype=np.bool_)
    held = np.unique(np.concatenate([mesh.face_nodes(name) for name in exclude]))
    distance, _ = KDTree(mesh.nodes[held]).query(mesh.nodes[: mesh.corners])
    return np.asarray(distance > reach)
