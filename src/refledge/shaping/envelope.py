"""The room that a grown arm may fill: its outline, and what of the airframe stands in the way."""

from collections.abc import Iterator
from math import ceil

import numpy as np
from scipy.ndimage import distance_transform_edt

from refledge.airframe.candidates import DEPTHS
from refledge.airframe.fit_checks import LEAST_DISC_GAP
from refledge.geometry.profile import Point
from refledge.model.parts import ArmDesign, FrameDesign
from refledge.model.results import Placement, TriMesh
from refledge.shaping.voxelise import mesh_shares
from refledge.study import Study
from refledge.typed import Bools, Floats
from refledge.verify.beam_forces import arm_axes
from refledge.voxels.grid import Grid

PART_GAP = 2e-3
"""m; from the arm to parts and items that it does not touch: our choice."""
SWELL = 0.25
"""Voxels by which the smooth surface may stand out from whole ones, added to the gap; measured on a
ball of voxels."""
FINE = 0.7e-3
"""m, greatest edge of the cells that the gap is measured by, whatever the voxels: our choice."""
_TOUCHING = ("upper_plate", "lower_plate", "mount")
_INSIDE = 0.5  # share of a voxel from which it counts as inside
_CUT = 0.25  # share of a voxel that exact cuts may take off a wall one voxel thick: our choice


def deepest(arm: ArmDesign) -> float:
    """Depth beyond the plates, m: the families' tallest section, or the arm's own."""
    return max(float(DEPTHS.max()), arm.depth_root)


def free_from(frame: FrameDesign) -> float:
    """Where the arm has left the plates, m from its inner end: what is below it may be deeper."""
    beyond = frame.plate.outer_radius - frame.clamp.root_radius + PART_GAP
    return max(frame.arm.root_length, beyond)


def outline(frame: FrameDesign, grid: Grid) -> list[Point]:
    """Corners in (x, z), m: as deep as the plates allow, then down to the grid's last voxel, then
    the tenon."""
    arm = frame.arm
    top, end = arm.depth_root / 2, arm.length - arm.tenon_length
    low, tip = -arm.depth_root / 2, arm.depth_root / 2 - arm.depth_tip
    start, under = free_from(frame), grid.origin[2]
    return [
        (0.0, low), (start, low), (start, under), (end, under), (end, tip), (arm.length, tip),
        (arm.length, top), (0.0, top),
    ]  # fmt: skip


def obstacles(study: Study, grid: Grid) -> Bools:
    """(nx, ny, nz): voxels too near to another body of the airframe, seen from the first arm.

    Plates and mounts touch the arm and keep no distance; neighbouring arms meet nowhere, since
    each stays within its own width. A slung payload hangs clear.
    """
    cells = max(1, ceil(grid.spacing / FINE))
    fine = _finer(grid, cells)
    wide = _wider(fine, LEAST_DISC_GAP + SWELL * grid.spacing)
    there: dict[float, Bools] = {}
    for place, mesh in _others(study):
        found = mesh_shares(mesh, wide, lines=2) > _INSIDE
        gap = _gap(place)
        there[gap] = there[gap] | found if gap in there else found
    near = np.zeros(wide.shape, bool)
    for gap, found in there.items():
        if found.any():
            far = gap + SWELL * grid.spacing
            near |= distance_transform_edt(~found) * wide.spacing < far if gap else found
    pad = (wide.shape[0] - fine.shape[0]) // 2
    return _any_of(near[pad:-pad, pad:-pad, pad:-pad], cells)


def _any_of(fine: Bools, cells: int) -> Bools:
    """(nx, ny, nz) of (cells nx, cells ny, cells nz): voxels of which any cell is marked."""
    nx, ny, nz = (count // cells for count in fine.shape)
    return np.asarray(fine.reshape(nx, cells, ny, cells, nz, cells).any(axis=(1, 3, 5)))


def _finer(grid: Grid, cells: int) -> Grid:
    nx, ny, nz = (cells * count for count in grid.shape)
    return Grid((nx, ny, nz), grid.spacing / cells, grid.origin)


def _gap(place: Placement) -> float:
    if place.key in _TOUCHING:
        return 0.0
    return LEAST_DISC_GAP if place.group == "disc" else PART_GAP


def _others(study: Study) -> Iterator[tuple[Placement, TriMesh]]:
    """Bodies other than arms and what hangs on a line, in the axes of the first arm."""
    turn = arm_axes(float(study.layout.arm_angles[0]))
    root = np.array([study.frame.clamp.root_radius, 0.0, 0.0])
    for place in study.assembly.placements:
        slung = place.key == "payload" and study.brief.payload.slung
        if place.key == "arm" or slung:
            continue
        mesh = study.assembly.meshes[place.key]
        body = mesh.vertices @ place.rotation.T + place.translation
        yield place, TriMesh(body @ turn.T - root, mesh.triangles)


def _wider(grid: Grid, by: float) -> Grid:
    """The same voxels with ``by`` m more on every side."""
    pad = int(np.ceil(by / grid.spacing))
    nx, ny, nz = (count + 2 * pad for count in grid.shape)
    x, y, z = (at - pad * grid.spacing for at in grid.origin)
    return Grid((nx, ny, nz), grid.spacing, (x, y, z))


def fitted(frame: FrameDesign, voxel: float) -> Grid:
    """Cubes of about ``voxel`` m about the outline; planes of nodes lie on both plates' faces.

    Ends and sides round to whole voxels: what the surface must meet exactly is cut exactly later.
    """
    arm = frame.arm
    spacing = arm.depth_root / max(1, round(arm.depth_root / voxel))
    size = np.array([arm.length, arm.width, deepest(arm)])
    nx, ny, nz = (max(1, round(each / spacing)) for each in size)
    top = arm.depth_root / 2
    return Grid((nx, ny, nz), spacing, (0.0, -ny * spacing / 2, top - nz * spacing))


def within(share: Floats) -> Bools:
    """Voxels of which at least half is inside."""
    return np.asarray(share >= _INSIDE)


def touched_by(share: Floats) -> Bools:
    """Voxels of which so much is inside that an exact cut would leave too thin a wall."""
    return np.asarray(share > _CUT)
