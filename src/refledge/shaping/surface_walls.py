"""Walls thinner than the printer can lay, found by rays from the surface into the plastic."""

from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy import sparse
from scipy.spatial import KDTree

from refledge.model.results import TriMesh
from refledge.shaping.surface_bodies import MM, body_of
from refledge.typed import Floats

SHORT = 0.99
"""Share of the least wall below which a wall counts as thin: triangles' own error."""
FACING = -0.5
"""Cosine between the normals of two faces below which they are the two sides of one wall: sides
that lean less than 60 degrees together. Sharper would miss fins; edges of 90 degrees stay out."""
SAMPLES = 1.0
"""Length of the triangles that rays start from, in least walls."""
SPECK = 1e-8
"""m2 of one side: what is smaller is rounding where surfaces cross, no wall (a tenth of a
millimetre square)."""
_OFF = 1e-4  # mm that a ray starts below its own triangle


@dataclass(frozen=True)
class ThinWall:
    """One place where the plastic is thinner than the least wall."""

    thickness: float
    """Least, m."""
    place: tuple[float, float, float]
    """m, middle of the wall there."""
    area: float
    """Of one side, m2."""


@dataclass(frozen=True, eq=False)
class ThinSpots:
    """Every spot of a closed surface at which the plastic under it is too thin."""

    starts: Floats
    """(n, 3), m: on the surface."""
    normals: Floats
    """(n, 3): outwards there."""
    thick: Floats
    """(n,), m."""
    areas: Floats
    """(n,), m2, of the surface."""

    def below(self, thick: float) -> "ThinSpots":
        """Those thinner than ``thick``, m."""
        mine = self.thick < thick
        return ThinSpots(self.starts[mine], self.normals[mine], self.thick[mine], self.areas[mine])

    @property
    def places(self) -> Floats:
        """(n, 3), m: middle of the plastic there."""
        return (self.starts + self.ends) / 2

    @property
    def ends(self) -> Floats:
        """(n, 3), m: on the other side."""
        return self.starts - self.normals * self.thick[:, None]


def thin_spots(mesh: TriMesh, least: float) -> ThinSpots:
    """Spots of a closed surface thinner than ``least`` (m)."""
    body = body_of(mesh, "surface").refine_to_length(SAMPLES * least * MM)
    found = body.to_mesh64()
    corners = np.asarray(found.vert_properties[:, :3])[np.asarray(found.tri_verts, np.int64)]
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    twice = np.linalg.norm(across, axis=1)
    use = twice > 0
    normals, middles = across[use] / twice[use, None], corners[use].mean(axis=1)
    starts, ends = middles - _OFF * normals, middles - least * MM * normals
    thick = _through(body, starts, ends, normals)
    thin = np.isfinite(thick)
    return ThinSpots(
        middles[thin] / MM, normals[thin], thick[thin] / MM, twice[use][thin] / 2 / MM**2
    )


def _through(body: Any, starts: Floats, ends: Floats, normals: Floats) -> Floats:
    """(n,), mm: how far rays go to the other side of a wall; infinite where they meet none."""
    rays, places, faces = [], [], []
    for k, (start, end) in enumerate(zip(starts, ends, strict=True)):
        hits = body.ray_cast(start, end)
        if hits:
            rays.append(k)
            places.append(hits[0].position)
            faces.append(hits[0].normal)
    found = np.full(len(starts), np.inf)
    if rays:
        facing = np.einsum("ij,ij->i", np.array(faces), normals[rays]) < FACING
        away = np.linalg.norm(np.array(places) - starts[rays], axis=1)
        found[rays] = np.where(facing, away, np.inf)
    return found


def thin_walls(spots: ThinSpots, reach: float) -> tuple[ThinWall, ...]:
    """Spots within ``reach`` (m) of one another as one place, largest first, specks left out."""
    places, thick, areas = spots.places, spots.thick, spots.areas
    if not len(places):
        return ()
    pairs = KDTree(places).query_pairs(reach, output_type="ndarray")
    links = sparse.coo_array((np.ones(len(pairs)), pairs.T), shape=(len(places),) * 2)
    count, group = sparse.csgraph.connected_components(links, directed=False)
    made = []
    for number in range(count):
        mine = np.flatnonzero(group == number)
        worst = mine[np.argmin(thick[mine])]
        x, y, z = (float(each) for each in places[worst])
        made.append(ThinWall(float(thick[worst]), (x, y, z), float(areas[mine].sum()) / 2))
    real = [each for each in made if each.area > SPECK]
    return tuple(sorted(real, key=lambda each: -each.area))
