"""Solid skins around an infill core, as shares of the solid plastic's law inside each element.

The core follows the solid's law times fraction^n (Gibson and Ashby, Cellular Solids; the exponent
stands in ``analysis.fill``). Skins are as thick across the layers as the top and bottom layers,
and as thick along them as the perimeters.
"""

from dataclasses import dataclass

import numpy as np
from scipy.spatial import KDTree

from refledge.analysis.fill import infill_modulus
from refledge.solids import element
from refledge.solids.law import in_axes
from refledge.solids.mesh import SolidMesh
from refledge.typed import Bools, Floats

_NEAREST = 12  # triangles tried for each point: those around the nearest centre


@dataclass(frozen=True)
class Skin:
    """How a part is printed inside; lengths in m."""

    side: float
    """Thickness of all perimeters."""
    face: float
    """Thickness of the bottom and top layers."""
    infill: float
    """Fraction of the core that is plastic (1)."""


def shares(mesh: SolidMesh, skin: Skin, normal: Floats, body: int = 0) -> tuple[Floats, Floats]:
    """Stiffness share (k, 4) at the quadrature points and density share (k,) of a body's elements.

    Each quadrature point stands for the part of the element that is nearest to it.
    """
    tets = mesh.tets[mesh.body == body]
    depth = skin_depth(mesh, skin, normal)
    points, weights = element.collapsed_rule(3, 4)
    solid = (depth[tets] @ element.shapes(points).T) < 1.0
    near = np.argmin(np.linalg.norm(points[:, None] - element.POINTS, axis=2), axis=1)
    gather = np.zeros((len(points), 4))
    gather[np.arange(len(points)), near] = weights
    part = (solid @ gather) / gather.sum(axis=0)
    core = float(infill_modulus(skin.infill))
    fraction = solid @ weights
    return core + (1 - core) * part, skin.infill + (1 - skin.infill) * fraction


def core(mesh: SolidMesh, skin: Skin, normal: Floats, body: int = 0) -> Bools:
    """(n_corners,): whether a corner of the mesh lies in the infill of a body."""
    inside = skin_depth(mesh, skin, normal)[: mesh.corners] >= 1.0
    mine = np.zeros(mesh.corners, dtype=np.bool_)
    mine[mesh.tets[mesh.body == body, :4].ravel()] = True
    return np.asarray(inside & mine)


def in_walls(stress: Floats, inside: Bools, infill: float, axes: Floats) -> Floats:
    """(n, 6), Pa, part axes: stress in the infill's walls where ``inside``, else as it is.

    stress: (n, 6), of solid plastic at the same strain, so the core as a whole carries the law's
    share of it. Walls stand upright through all layers, a fraction f of the area: across the
    layers they carry the core's stress over f, in shear along them twice that where a wall lies
    along the force, as only half of all walls' area works in one direction (Gibson and Ashby,
    Cellular Solids, honeycombs out of plane: E = f E_s, G about f G_s / 2). In the plane of the
    layers walls bend, and the solid's stress stands. axes: rows are the layers' axes.
    """
    share = float(infill_modulus(infill)) / infill
    own = in_axes(stress[inside], axes)
    own[:, 2] *= min(share, 1.0)
    own[:, 3:5] *= min(2.0 * share, 1.0)
    found = stress.copy()
    found[inside] = in_axes(own, axes.T)
    return found


def skin_depth(mesh: SolidMesh, skin: Skin, normal: Floats) -> Floats:
    """(n,): distance of each node from the surface over the skin's thickness there; 1 is its edge.

    Distances are taken in space squeezed along ``normal`` so that both thicknesses become 1.
    """
    z = np.asarray(normal, np.float64) / np.linalg.norm(normal)
    squeeze = (np.eye(3) - np.outer(z, z)) / skin.side + np.outer(z, z) / skin.face
    points = mesh.nodes @ squeeze
    corners = points[mesh.triangles[:, :3]]
    tries = min(_NEAREST, len(corners))
    _, near = KDTree(corners.mean(axis=1)).query(points, k=tries)
    found = np.full(len(points), np.inf)
    for column in near.reshape(len(points), tries).T:
        found = np.minimum(found, _distance(points, corners[column]))
    found[np.unique(mesh.triangles)] = 0.0
    return found


def _distance(points: Floats, triangles: Floats) -> Floats:
    """(n,): distance of points (n, 3) from triangles (n, 3, 3)."""
    a, ab, ac = (
        triangles[:, 0],
        triangles[:, 1] - triangles[:, 0],
        triangles[:, 2] - triangles[:, 0],
    )
    normal = np.cross(ab, ac)
    normal = normal / np.linalg.norm(normal, axis=1)[:, None]
    rest = points - a
    height = np.sum(rest * normal, axis=1)
    u, v = _within(ab, ac, rest)
    inside = (u >= 0) & (v >= 0) & (u + v <= 1)
    sides = [_from_line(points, triangles[:, i], triangles[:, (i + 1) % 3]) for i in range(3)]
    return np.asarray(np.where(inside, np.abs(height), np.min(sides, axis=0)))


def _within(ab: Floats, ac: Floats, rest: Floats) -> tuple[Floats, Floats]:
    """Coordinates along ab and ac of the foot of ``rest`` in the triangle's plane."""
    dot = [np.sum(p * q, axis=1) for p, q in ((ab, ab), (ab, ac), (ac, ac), (ab, rest), (ac, rest))]
    scale = dot[0] * dot[2] - dot[1] ** 2
    return (dot[2] * dot[3] - dot[1] * dot[4]) / scale, (dot[0] * dot[4] - dot[1] * dot[3]) / scale


def _from_line(points: Floats, start: Floats, end: Floats) -> Floats:
    d = end - start
    t = np.clip(np.sum((points - start) * d, axis=1) / np.sum(d * d, axis=1), 0, 1)
    return np.asarray(np.linalg.norm(points - start - t[:, None] * d, axis=1))
