"""From a grown density to one closed body with exact seats and bores, and what it takes to print.

The seats are the drawn solid's own faces, cut into triangles: a level face stays level to the
nanometre, a bore is a polygon within the tessellation's tolerance.
"""

from dataclasses import dataclass
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
from refledge.shaping.surface import Enclosed, enclose
from refledge.shaping.surface_bodies import MM, SAME, body_of, box_of, joined, mesh_of
from refledge.shaping.surface_walls import ThinWall, thin_walls
from refledge.typed import Floats

FLAT_ENOUGH = 0.05
"""Share of a voxel that triangles may leave the smooth surface by when they are made fewer."""
WALL_LINES = 2
"""Extrusion widths that the thinnest wall takes: one line has no second to lean on."""
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


@dataclass(frozen=True)
class Laid:
    """A printable part as it lies on the bed."""

    size: tuple[float, float, float]  # m
    support: Support
    figures: PrintFigures


def printable(grown: Grown, least_wall: float) -> Printable:
    """The part to print. Raises GeometryError where the seats do not hang together.

    Walls thinner than ``least_wall`` (m) are listed, not mended: thickening would change the mass.
    """
    smooth = enclose(grown.density, grown.grid)
    whole = _with_seats(smooth.mesh, grown)
    body, islands, cavities = _single(whole, grown)
    mesh = mesh_of(body, "grown part")
    return Printable(
        mesh=mesh,
        volume=mesh_volume(mesh),
        area=float(body.surface_area()) / MM**2,
        smooth=smooth,
        flattened=FLAT_ENOUGH * grown.grid.spacing,
        islands=islands,
        cavities=cavities,
        thin=thin_walls(mesh, least_wall),
        least_wall=least_wall,
        print_rotation=grown.print_rotation,
    )


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
