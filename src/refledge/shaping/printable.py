"""From a grown density to one closed body with exact seats and bores, and what it takes to print.

The seats are the drawn solid's own faces, cut into triangles: a level face stays level to the
nanometre, a bore is a polygon within the tessellation's tolerance.
"""

from dataclasses import dataclass, replace
from itertools import product
from typing import Any

import numpy as np

from refledge.errors import GeometryError
from refledge.geometry import kernel
from refledge.geometry.kernel import Solid
from refledge.geometry.mesh import mesh_volume
from refledge.model.printer import Printer
from refledge.model.results import TriMesh
from refledge.model.wishes import FrameWish
from refledge.printing.bed import turned_to_fit
from refledge.printing.orienting import COLUMNS
from refledge.printing.support import Support, find_support
from refledge.printing.timing import PrintFigures, time_part
from refledge.shaping.grown import Grown
from refledge.shaping.surface import Enclosed
from refledge.shaping.surface_bodies import MM, SAME, body_of, box_of, joined, mesh_of
from refledge.shaping.surface_thick import OVER, Raised, flush, raised
from refledge.shaping.surface_walls import SHORT, ThinSpots, ThinWall, thin_spots, thin_walls
from refledge.typed import Floats
from refledge.voxels.grid import Grid

FLAT_ENOUGH = 0.05
"""Share of a voxel that triangles may leave the smooth surface by when they are made fewer."""
WALL_LINES = 2
"""Extrusion widths that the thinnest wall takes: one line has no second to lean on."""
FILLED = (0.5, 1.0, 1.0)
"""Of the least wall: what is thinner is filled, time after time, before sides are moved. First grey
films, that have no sides to move; then whatever moving did not mend (a choice)."""
NEAR = 0.7
"""Voxels about such a place that are filled: a voxel or two."""
THICKEN = (0.5, 1.0, 1.0, 1.0, 1.0, 1.0)
"""Share of what a thin wall lacks that its sides move out by, time after time: half first, then
all, since one side may be cut exactly."""
UPRIGHT = 0.999
"""Cosine between an axis of the part and the bed's that counts as one."""
BELOW = 5
"""Voxels that the first layer is repeated by: as far as smoothing reaches, and one."""
_SPECK = 1e-3
"""mm3: a shell smaller than this is rounding between two surfaces, not a body."""


@dataclass(frozen=True)
class Shell:
    """A closed shell that was left out: an island dropped or a cavity filled."""

    volume: float
    """m3."""
    place: tuple[float, float, float]
    """Middle of its box, m."""


@dataclass(frozen=True, eq=False)
class Printable:
    """One closed body in the part's own axes."""

    mesh: TriMesh
    volume: float
    """m3, seats and bores included."""
    area: float
    """m2."""
    smooth: Enclosed
    """The surface before seats and bores."""
    flattened: float
    """m by which fewer triangles may have moved the surface."""
    islands: tuple[Shell, ...]
    """Loose bodies that were dropped."""
    cavities: tuple[Shell, ...]
    """Closed hollows that were filled."""
    thin: tuple[ThinWall, ...]
    least_wall: float
    """m, by which ``thin`` was judged."""
    print_rotation: Floats
    """(3, 3)."""
    thickened: float = 0.0
    """m3 of plastic put where walls came out too thin, and taken off all over."""


@dataclass(frozen=True)
class Laid:
    """A printable part as it lies on the bed."""

    size: tuple[float, float, float]  # m
    support: Support
    figures: PrintFigures


@dataclass(frozen=True, eq=False)
class _Drawn:
    """A part, the surface that it was drawn with, and where its walls are thin."""

    part: Printable
    skin: Raised
    spots: ThinSpots

    @property
    def lacking(self) -> float:
        """m3 of plastic that thin walls lack, counted from both sides."""
        least = self.part.least_wall
        thin = self.spots.below(SHORT * least)
        return float(((least - thin.thick) * thin.areas).sum())


def printable(grown: Grown, least_wall: float) -> Printable:
    """The part to print. Raises GeometryError where the seats do not hang together.

    Where walls come out thinner than ``least_wall`` (m), the smooth surface is moved out there, and
    in elsewhere by some hundredths of a millimetre; voxels about mere films are filled first. What
    is still thin is listed.
    """
    best = now = _drawn(grown, flush(*beyond_bed(grown)), least_wall)
    for film in FILLED:
        films = now.spots.below(film * SHORT * least_wall).places
        if len(films):
            grown, skin = _filled(grown, films, now.skin)
            now = _drawn(grown, skin, least_wall)
        best = min(best, _moved_out(grown, now, least_wall), key=lambda each: each.lacking)
        if not best.lacking:
            break
        now = best
    return best.part


def _filled(grown: Grown, places: Floats, skin: Raised) -> tuple[Grown, Raised]:
    """Voxels about ``places`` (n, 3), m, solid, and the surface round as much as before."""
    fuller = replace(grown, density=filled(grown, places))
    more = fuller.volume - grown.volume
    return fuller, flush(*beyond_bed(fuller), skin.smooth.volume, skin.filled + more)


def _moved_out(grown: Grown, drawn: _Drawn, least_wall: float) -> _Drawn:
    """Thin walls' sides moved out, again as long as less is thin for it."""
    for share in THICKEN:
        if not drawn.lacking:
            break
        skin = raised(drawn.skin, drawn.spots, least_wall, share, grown)
        following = _drawn(grown, skin, least_wall)
        if following.lacking >= drawn.lacking:
            break
        drawn = following
    return drawn


def filled(grown: Grown, places: Floats) -> Floats:
    """Densities with voxels solid whose middles lie within NEAR voxels of any of ``places`` (n, 3),
    m, but for those that must stay empty."""
    index = (places - grown.origin) / grown.grid.spacing - 0.5
    around = np.array(list(product((-1, 0, 1), repeat=3)))
    at = np.round(index[:, None]).astype(np.int64) + around
    near = np.linalg.norm(at - index[:, None], axis=-1) <= NEAR
    near &= ((at >= 0) & (at < grown.grid.shape)).all(axis=-1)
    found = grown.density.copy()
    found[tuple(at[near].T)] = 1.0
    return np.asarray(np.where(grown.void, grown.density, found))


def beyond_bed(grown: Grown) -> tuple[Floats, Grid]:
    """Densities and grid with the layer on the bed repeated below it.

    What lies there is cut off at the bed again: without it smoothing would round the first layer's
    edges, and they would hang. As they are where no axis of the part stands on the bed.
    """
    up, grid = grown.print_rotation[2], grown.grid
    axis = int(np.argmax(np.abs(up)))
    if abs(up[axis]) < UPRIGHT:
        return grown.density, grid
    low = up[axis] > 0
    pad, origin = [(0, 0)] * 3, list(grid.origin)
    pad[axis] = (BELOW, 0) if low else (0, BELOW)
    origin[axis] -= BELOW * grid.spacing if low else 0.0
    density = np.pad(grown.density, pad, mode="edge")
    x, y, z = density.shape
    return density, Grid((x, y, z), grid.spacing, (origin[0], origin[1], origin[2]))


def _drawn(grown: Grown, skin: Raised, least_wall: float) -> _Drawn:
    whole = _with_seats(skin.mesh, grown)
    body, islands, cavities = _single(whole, grown)
    mesh = mesh_of(body, "grown part")
    spots = thin_spots(mesh, OVER * least_wall)
    part = Printable(
        mesh=mesh,
        volume=mesh_volume(mesh),
        area=float(body.surface_area()) / MM**2,
        smooth=skin.smooth,
        flattened=FLAT_ENOUGH * grown.grid.spacing,
        islands=islands,
        cavities=cavities,
        thin=thin_walls(spots.below(SHORT * least_wall), 2 * least_wall),
        least_wall=least_wall,
        print_rotation=grown.print_rotation,
        thickened=skin.put,
    )
    return _Drawn(part, skin, spots)


def least_wall(printer: Printer) -> float:
    """m: two extrusion widths."""
    return WALL_LINES * printer.extrusion_width


def laid(mesh: TriMesh, rotation: Floats, wish: FrameWish, printer: Printer) -> Laid:
    """Size on the bed, support and time of a closed surface (part axes, m), by its print pose.

    rotation: (3, 3), part axes to the bed.
    """
    turned = mesh.vertices @ rotation.T
    turn, size = turned_to_fit(turned, printer.bed_length, printer.bed_width)
    points = turned @ turn.T
    posed = TriMesh(points - points.min(axis=0), mesh.triangles)
    step = float(np.ptp(posed.vertices[:, :2], axis=0).max()) / COLUMNS
    support = find_support(posed, step)
    figures = time_part(posed, wish, printer, support.plastic)
    return Laid((float(size[0]), float(size[1]), float(size[2])), support, figures)


def _with_seats(mesh: TriMesh, grown: Grown) -> Any:
    """Fewer triangles, kept inside the grid; seats put on, bores taken out."""
    grid = grown.grid
    room = box_of(grown.origin, grown.origin + np.array(grid.shape) * grid.spacing)
    skin = body_of(mesh, "grown surface").simplify(FLAT_ENOUGH * grid.spacing * MM)
    seats = body_of(kernel.tessellate(grown.seats), "seats")
    bores = body_of(kernel.tessellate(grown.bores), "bores")
    return (joined([skin ^ room, seats]) - bores).simplify(SAME)


def _single(whole: Any, grown: Grown) -> tuple[Any, tuple[Shell, ...], tuple[Shell, ...]]:
    """The one body that holds the seats; islands and cavities told apart."""
    shells = [each for each in whole.decompose() if abs(each.volume()) > _SPECK]
    cavities = [each for each in shells if each.volume() < 0]
    bodies = [each for each in shells if each.volume() > 0]
    seats = body_of(kernel.tessellate(grown.seats), "seats")
    holding = [each for each in bodies if (each ^ seats).volume() > _SPECK]
    if len(holding) != 1:
        places = "; ".join(_told(_shell(each)) for each in holding)
        raise GeometryError(
            f"the grown part falls into {len(holding)} pieces that each hold a seat: {places}. "
            "Allow more mass, use smaller voxels or let the optimiser run longer"
        )
    inside = [each for each in bodies if each is not holding[0]]
    return holding[0], tuple(map(_shell, inside)), tuple(map(_shell, cavities))


def _shell(body: Any) -> Shell:
    low, high = np.array(body.bounding_box()).reshape(2, 3)
    x, y, z = (float(each) for each in (low + high) / 2 / MM)
    return Shell(abs(float(body.volume())) / MM**3, (x, y, z))


def _told(shell: Shell) -> str:
    x, y, z = (each * MM for each in shell.place)
    return f"{shell.volume * 1e6:.2f} cm3 about ({x:.0f}, {y:.0f}, {z:.0f}) mm"


def of_drawn(solid: Solid, wall: float) -> Printable:
    """A drawn part's solid as triangles in the same frame, to be held against a grown one.

    wall: m, the least that the printer makes; nothing is dropped, filled or looked for in it.
    """
    mesh, volume = kernel.tessellate(solid), kernel.volume(solid)
    whole = Enclosed(mesh, 0.5, volume, 0.0, 0.0)
    return Printable(mesh, volume, kernel.area(solid), whole, 0.0, (), (), (), wall, np.eye(3))
