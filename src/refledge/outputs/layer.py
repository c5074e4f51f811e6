"""Some bodies drawn together: what is seen at each pixel, its colour in the light, its edges."""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from refledge.geometry.raster import Seen, rasterise
from refledge.model.results import TriMesh
from refledge.outputs.camera import Camera
from refledge.outputs.colours import colour_scale
from refledge.outputs.normals import CREASE, corner_normals, unit
from refledge.typed import Bools, Floats, Ints

# Two lights fixed to the camera (right, up, towards the eye) and an even glow; our own choice.
_KEY, _FILL = np.array([-0.45, 0.70, 0.55]), np.array([0.75, 0.05, 0.45])
_GLOW, _KEY_SHARE, _FILL_SHARE = 0.55, 0.40, 0.17
_STEP = 4.0  # pixels of depth that the slope does not explain: one part of a body before another
_STEEP = 40.0  # pixels of depth per pixel: steeper surfaces are seen edge on


@dataclass(frozen=True, eq=False)
class Body:
    """One surface in its place, with its colour."""

    mesh: TriMesh
    rgb: tuple[float, float, float]
    opacity: float = 1.0
    scalars: Floats | None = None
    """(n_vertices,), shares from 0 to 1 on the colour scale, in place of ``rgb``."""
    rotation: Floats = field(default_factory=lambda: np.eye(3))
    """(3, 3), from the mesh's own axes."""
    translation: Floats = field(default_factory=lambda: np.zeros(3))
    """(3,), m."""

    @property
    def vertices(self) -> Floats:
        """(n, 3), m, in their place."""
        placed: Floats = self.mesh.vertices @ self.rotation.T + self.translation
        return placed


@dataclass(frozen=True, eq=False)
class Layer:
    """Bodies drawn together, over the part of the picture that they cover."""

    window: tuple[slice, slice]
    """Rows and columns of the picture."""
    seen: Seen
    hit: Bools
    owner: Ints
    """(rows, columns), index of the body, -1 where there is none."""
    normal: Floats
    """(rows, columns, 3), right, up, towards the eye."""
    colour: Floats
    """(n_hit, 3), in the order of ``hit``."""
    per_metre: float
    """Pixels per metre."""

    def edges(self) -> Bools:
        """Pixels on outlines and creases: owner, normal or depth changes to the next pixel."""
        marked = np.zeros_like(self.hit)
        depth = self.per_metre * np.where(self.hit, self.seen.depth, 1e3)
        for axis in (0, 1):
            one, two = _neighbours(axis)
            change = self.owner[one] != self.owner[two]
            both = self.hit[one] & self.hit[two]
            bend = np.einsum("ijk,ijk->ij", self.normal[one], self.normal[two]) < np.cos(CREASE)
            slope = np.maximum(self._slope(one, axis), self._slope(two, axis))
            step = np.abs(depth[one] - depth[two]) > _STEP + 2 * slope
            mark = change | (both & (bend | step))
            nearer_first = depth[one] <= depth[two]
            marked[one] |= mark & nearer_first
            marked[two] |= mark & ~nearer_first
        return marked

    def _slope(self, where: tuple[slice, slice], axis: int) -> Floats:
        """Depth per pixel, both in pixels, of the surface seen, down or right, without sign."""
        normal = self.normal[where]
        across = np.abs(normal[..., 1 if axis == 0 else 0])
        towards = np.maximum(np.abs(normal[..., 2]), 1 / _STEEP)
        slope: Floats = across / towards
        return slope


def drawn(bodies: Sequence[Body], camera: Camera, width: int, height: int) -> Layer:
    """Draw ``bodies`` into a picture of ``width`` by ``height`` pixels."""
    corners = np.concatenate([camera.project(b.vertices)[b.mesh.triangles] for b in bodies])
    low, high = _covered(corners, width, height)
    corners[..., :2] -= low
    columns, rows = high - low
    seen = rasterise(corners, int(columns), int(rows))
    hit = seen.triangle >= 0
    owner = np.full(hit.shape, -1)
    counts = [len(body.mesh.triangles) for body in bodies]
    owner[hit] = np.repeat(np.arange(len(bodies)), counts)[seen.triangle[hit]]
    facing = _to_camera(_at_pixels(_normals(bodies), seen, hit), camera)
    base = _at_pixels(np.concatenate([_corner_colours(body) for body in bodies]), seen, hit)
    normal = np.zeros((*hit.shape, 3))
    normal[hit] = facing
    colour = np.clip(base * _light(facing)[:, None], 0, 1)
    window = (slice(int(low[1]), int(high[1])), slice(int(low[0]), int(high[0])))
    return Layer(window, seen, hit, owner, normal, colour, camera.scale)


def _covered(corners: Floats, width: int, height: int) -> tuple[Ints, Ints]:
    """First pixel (right, down) and one past the last that the corners cover, with a rim."""
    flat, size = corners[..., :2], np.array([width, height])
    low = np.clip(np.floor(flat.min(axis=(0, 1))) - 2, 0, size - 1).astype(np.int64)
    high = np.clip(np.ceil(flat.max(axis=(0, 1))) + 2, low + 1, size).astype(np.int64)
    return low, high


def _neighbours(axis: int) -> tuple[tuple[slice, slice], tuple[slice, slice]]:
    every, first, second = slice(None), slice(None, -1), slice(1, None)
    return ((first, every), (second, every)) if axis == 0 else ((every, first), (every, second))


def _normals(bodies: Sequence[Body]) -> Floats:
    """(m, 3, 3) normals at the corners of all bodies; a mesh used often is worked out once."""
    own = {id(body.mesh): body.mesh for body in bodies}
    found = {key: corner_normals(mesh) for key, mesh in own.items()}
    return np.concatenate([found[id(body.mesh)] @ body.rotation.T for body in bodies])


def _corner_colours(body: Body) -> Floats:
    """(m, 3, 3) colour at each corner."""
    if body.scalars is None:
        return np.broadcast_to(np.array(body.rgb), (len(body.mesh.triangles), 3, 3))
    return colour_scale(body.scalars)[body.mesh.triangles]


def _at_pixels(corner_values: Floats, seen: Seen, hit: Bools) -> Floats:
    """(m, 3, k) values at corners to (n_hit, k) values at the pixels that were hit."""
    values = corner_values[seen.triangle[hit]]
    found: Floats = np.einsum("nc,nck->nk", seen.weights[hit], values)
    return found


def _to_camera(normals: Floats, camera: Camera) -> Floats:
    """(n, 3) normals as right, up, towards the eye; those of inner faces are turned outwards."""
    local = unit(normals @ np.column_stack([camera.right, camera.up, -camera.forward]))
    turned: Floats = local * np.where(local[:, 2:] < 0, -1.0, 1.0)
    return turned


def _light(facing: Floats) -> Floats:
    """(n,) brightness of surfaces that face the camera as ``facing``."""
    key = np.clip(facing @ (_KEY / np.linalg.norm(_KEY)), 0, None)
    fill = np.clip(facing @ (_FILL / np.linalg.norm(_FILL)), 0, None)
    brightness: Floats = _GLOW + _KEY_SHARE * key + _FILL_SHARE * fill
    return brightness
