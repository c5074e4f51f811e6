"""How a part may lie on the bed, and what each way costs.

A pose is a rotation that takes part axes to the bed's. Candidates are the pose that the frame's
sizing assumes, every face of the convex hull on which the part stands by itself, and a spread of
directions over the sphere. Each is scored on the layer boundaries under the part's own loads,
support, height, time, bed and mating faces.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.spatial import ConvexHull

from refledge.analysis.strength import interlayer_use
from refledge.model.printer import Printer
from refledge.model.results import TriMesh
from refledge.model.wishes import FrameWish
from refledge.printing.bed import about_z, turned_to_fit
from refledge.printing.support import STEEPEST, Support, find_support
from refledge.printing.timing import PrintFigures, time_part
from refledge.typed import Floats

COLUMNS = 110
"""Columns along the longer side of a posed part in the search for support (a choice)."""
HULL_FACES = 8
"""Most hull faces tried, largest first."""
SPREAD = 24
"""Directions over the sphere tried beside them."""
KEPT = 4
"""Poses, of those with least support, that are timed in full."""
REMOVAL = 60.0 / 1e-4
"""s for each m2 of underside that support must be broken off: a minute a cm2 (a choice)."""
EQUAL = 1e-9
"""Share by which two boxes on the bed may differ and count as equal: far above rounding."""
SCAR = 0.5
"""Share by which a pose whose mating faces all lie on support is made dearer (a choice)."""


@dataclass(frozen=True, eq=False)
class Fibre:
    """One stressed line of a part in the load case that uses it hardest."""

    axis: Floats
    """(3,), unit, part axes: the way its normal stress runs."""
    normal: float  # Pa, times its factor
    shear: float  # Pa, times its factor
    strength_z: float  # Pa
    shear_z: float  # Pa
    title: str
    """The load case."""


@dataclass(frozen=True, eq=False)
class Facing:
    """One mating face: where it looks, part axes, and its size."""

    normal: Floats
    """(3,), unit, out of the plastic."""
    area: float  # m2


@dataclass(frozen=True, eq=False)
class PoseScore:
    """One way to lay a part down."""

    label: str
    rotation: Floats
    """(3, 3), part axes to the bed, z up."""
    size: tuple[float, float, float]  # m, on the bed
    fits: bool
    layer_use: float
    """Use of the layer boundary under the part's own loads (1); 0 where it has no such results."""
    as_sized: bool
    """True where the layers lie as sizing assumed, so that its beams stay true."""
    support: Support
    figures: PrintFigures
    scarred: float
    """Share of the mating faces' area that would lie on support (1)."""
    cost: float
    """Seconds of printing and of breaking support off, dearer where mating faces are scarred."""


def poses(mesh: TriMesh, assumed: Floats) -> list[tuple[str, Floats]]:
    """Candidate poses of a part in its own axes: label and rotation (3, 3)."""
    hull = ConvexHull(mesh.vertices)
    found = [("as sized", _squared(mesh, assumed, hull))]
    down = [(f"hull face {k + 1}", n) for k, n in enumerate(_stable(mesh, hull)[:HULL_FACES])]
    down += [(f"direction {k + 1}", n) for k, n in enumerate(_sphere(SPREAD))]
    for label, normal in down:
        if all(normal @ rotation[2] > -0.999 for _, rotation in found):
            found.append((label, _squared(mesh, _laying(normal), hull)))
    return found


def layer_use(fibres: Sequence[Fibre], build: Floats) -> float:
    """Greatest use of the layer boundary, 1, with the layers' normal along ``build`` (3,).

    The axial stress is resolved on the boundary (Mohr's circle); the fibre's own shear counts
    in full in every pose, which is on the safe side.
    """
    uses = [0.0]
    for f in fibres:
        along = min(abs(float(f.axis @ build)), 1.0)
        pull, slide = f.normal * along**2, f.normal * along * (1 - along**2) ** 0.5
        uses.append(float(interlayer_use(pull, slide + f.shear, f.strength_z, f.shear_z)))
    return max(uses)


def score_poses(
    mesh: TriMesh,
    assumed: Floats,
    fibres: Sequence[Fibre],
    faces: Sequence[Facing],
    wish: FrameWish,
    printer: Printer,
) -> list[PoseScore]:
    """The pose that sizing assumes and the best of the others, cheapest first.

    A pose that breaks a layer boundary, or leaves the bed, comes last. mesh: part axes, m.
    """
    found = []
    for label, rotation in poses(mesh, assumed):
        posed = _posed(mesh, rotation)  # bridges run along its sides; the turn on the bed is free
        turn, size = turned_to_fit(posed.vertices, printer.bed_length, printer.bed_width)
        found.append((label, turn @ rotation, size, posed, find_support(posed, _step(posed))))
    order = sorted(range(1, len(found)), key=lambda i: _rough(found[i], fibres, printer))
    chosen = [found[i] for i in [0, *order[:KEPT]]]
    scores = [_score(each, found[0][1], fibres, faces, wish, printer) for each in chosen]
    return sorted(scores, key=_rank)


def figures_as_laid(
    mesh: TriMesh, rotation: Floats, wish: FrameWish, printer: Printer
) -> PrintFigures:
    """Figures of one copy laid down by ``rotation`` (3, 3), support included."""
    posed = _posed(mesh, _squared(mesh, rotation, ConvexHull(mesh.vertices)))
    return time_part(posed, wish, printer, find_support(posed, _step(posed)).plastic)


Found = tuple[str, Floats, Floats, TriMesh, Support]


def _rough(found: Found, fibres: Sequence[Fibre], printer: Printer) -> tuple[bool, float]:
    """Order before the poses are timed: what holds and fits first, then height and support."""
    _, rotation, size, _, support = found
    bad = layer_use(fibres, rotation[2]) > 1.0 or not _fits(size, printer)
    base = max(float(size[0] * size[1]), 1e-9)
    return bad, float(size[2]) + 2 * support.plastic / base


def _score(
    found: Found,
    assumed: Floats,
    fibres: Sequence[Fibre],
    faces: Sequence[Facing],
    wish: FrameWish,
    printer: Printer,
) -> PoseScore:
    label, rotation, size, posed, support = found
    figures = time_part(posed, wish, printer, support.plastic)
    scarred = _scarred(rotation, faces)
    return PoseScore(
        label=label,
        rotation=rotation,
        size=(float(size[0]), float(size[1]), float(size[2])),
        fits=_fits(size, printer),
        layer_use=layer_use(fibres, rotation[2]),
        as_sized=bool(abs(rotation[2] @ assumed[2]) > 0.999),
        support=support,
        figures=figures,
        scarred=scarred,
        cost=(figures.seconds + REMOVAL * support.area) * (1 + SCAR * scarred),
    )


def _rank(score: PoseScore) -> tuple[bool, bool, float]:
    return not score.fits, score.layer_use > 1.0, score.cost


def _fits(size: Floats, printer: Printer) -> bool:
    bed = (printer.bed_length, printer.bed_width, printer.height)
    return bool(np.all(np.asarray(size) <= np.array(bed) + 1e-9))


def _scarred(rotation: Floats, faces: Sequence[Facing]) -> float:
    """Share of mating area that faces down at a slant: it lies on support or on ragged steps."""
    total = sum(face.area for face in faces)
    if total == 0.0:
        return 0.0
    limit = -np.sin(np.radians(STEEPEST))
    down = [(float((rotation @ face.normal)[2]), face.area) for face in faces]
    return sum(area for z, area in down if -0.999 < z < limit) / total


def _squared(mesh: TriMesh, rotation: Floats, hull: ConvexHull) -> Floats:
    """The pose turned upright so that the part's box on the bed is smallest.

    The hull's corners sort out the turns; rounding between equals is left to all points.
    """
    outer = hull.points[hull.vertices] @ rotation.T
    angles = np.radians(np.arange(90.0))[:, None]
    c, s, x, y = np.cos(angles), np.sin(angles), outer[:, 0], outer[:, 1]
    areas = np.ptp(c * x - s * y, axis=1) * np.ptp(s * x + c * y, axis=1)
    near = np.flatnonzero(areas <= areas.min() * (1 + EQUAL))
    points, turns = mesh.vertices @ rotation.T, [about_z(float(angles[k, 0])) for k in near]
    exact = [float(np.prod(np.ptp(points @ turn.T, axis=0)[:2])) for turn in turns]
    return np.asarray(turns[int(np.argmin(exact))] @ rotation)


def _posed(mesh: TriMesh, rotation: Floats) -> TriMesh:
    turned = mesh.vertices @ rotation.T
    return TriMesh(turned - turned.min(axis=0), mesh.triangles)


def _step(mesh: TriMesh) -> float:
    return float(np.ptp(mesh.vertices[:, :2], axis=0).max()) / COLUMNS


def _stable(mesh: TriMesh, hull: ConvexHull) -> list[Floats]:
    """Outward normals of hull faces on which the part stands by itself, largest face first."""
    normals = hull.equations[:, :3]
    corners = hull.points[hull.simplices]
    areas = np.linalg.norm(
        np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1
    )
    centre = _centroid(mesh)
    faces: list[tuple[float, Floats]] = []
    for group in _groups(normals, hull.equations[:, 3]):
        if _stands(hull.points[hull.simplices[group]].reshape(-1, 3), normals[group[0]], centre):
            faces.append((float(areas[group].sum()), normals[group[0]]))
    return [normal for _, normal in sorted(faces, key=lambda face: -face[0])]


def _groups(normals: Floats, offsets: Floats) -> list[list[int]]:
    """Facets of one plane together."""
    keys = np.round(np.c_[normals, offsets / max(float(np.abs(offsets).max()), 1e-12)], 4)
    _, group = np.unique(keys + 0.0, axis=0, return_inverse=True)
    group = group.ravel()
    return [np.flatnonzero(group == k).tolist() for k in range(int(group.max()) + 1)]


def _stands(points: Floats, normal: Floats, centre: Floats) -> bool:
    """True where the centre of mass lies above the face, well inside its outline."""
    flat = _laying(normal) @ np.vstack([points, centre]).T
    outline, above = flat[:2, :-1].T, flat[:2, -1]
    edges = ConvexHull(outline).equations
    return bool(np.all(edges[:, :2] @ above + edges[:, 2] < 0.0))


def _centroid(mesh: TriMesh) -> Floats:
    """(3,), m, of the body: tetrahedra from the origin (divergence theorem)."""
    a, b, c = np.moveaxis(mesh.vertices[mesh.triangles], 1, 0)
    volumes = np.einsum("ij,ij->i", a, np.cross(b, c)) / 6
    return np.asarray(((a + b + c) / 4 * volumes[:, None]).sum(axis=0) / volumes.sum())


def _sphere(number: int) -> list[Floats]:
    """Directions spread evenly over the sphere (Fibonacci spiral)."""
    k = np.arange(number) + 0.5
    z, turn = 1 - 2 * k / number, np.pi * (1 + 5**0.5) * k
    radius = np.sqrt(1 - z**2)
    return list(np.c_[radius * np.cos(turn), radius * np.sin(turn), z])


def _laying(normal: Floats) -> Floats:
    """(3, 3) rotation that turns ``normal`` straight down."""
    side = np.eye(3)[int(np.argmin(np.abs(normal)))]
    x = np.cross(side, normal)
    x /= np.linalg.norm(x)
    return np.array([x, np.cross(-normal, x), -normal])
