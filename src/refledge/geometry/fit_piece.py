"""Fit piece: holes, sockets and a peg in steps, which say what a printer's allowances should be."""

from refledge.errors import GeometryError
from refledge.geometry.kernel import Solid
from refledge.geometry.port import Kernel
from refledge.geometry.profile import Loop, circle, polygon, rectangle, rounded
from refledge.model.fasteners import Screw

HOLE_STEPS = (0.0, 1e-4, 2e-4, 3e-4, 4e-4, 5e-4)
"""Allowance on each hole's diameter, m; its number of dots counts from 1. Ours: common printers
need 0.1 to 0.4 mm, from memory."""
GAP_STEPS = (5e-5, 1e-4, 1.5e-4, 2e-4, 2.5e-4, 3e-4)
"""Gap on each side of the peg in each socket, m; ours."""
PEG = 8e-3
"""Side of the square peg and its height over the plate, m: ours, as a lap's tongue is deep."""
THICKNESS = 5e-3
"""Of the plate, m: that of a centre plate."""
PITCH = 14e-3
"""From step to step, m: ours."""
WIDTH = 36e-3
"""Of the plate, m: ours."""
CORNER = 1.2e-3
"""Cut off each corner of a peg, m: a socket's corners print round. Ours."""
DOT, DOT_PITCH, DOT_DEPTH = 1.2e-3, 1.9e-3, 0.6e-3
"""Marks beside each step, m: three lines wide, three layers deep. Ours."""
_PAST = 1e-3  # cutters reach this far beyond what they cut, m
_HOLES_AT, _SOCKETS_AT, _DOTS_AT = 10e-3, -5.5e-3, 2.7e-3
LARGEST = 6e-3
"""Clearance hole that the plate has room for, m."""


def fit_piece(screw: Screw, kernel: Kernel) -> Solid:
    """The plate, x along the steps from the first, its underside at z = 0; the peg on its end."""
    if screw.clearance_hole > LARGEST:
        raise GeometryError(
            f"fit piece: {screw.size} holes of {screw.clearance_hole * 1e3:.1f} mm; the plate has "
            f"room for {LARGEST * 1e3:.0f} mm"
        )
    n = len(HOLE_STEPS)
    long, half = (n + 1) * PITCH, WIDTH / 2
    outline = rounded(rectangle(-PITCH / 2, long - PITCH / 2, -half, half), 2e-3)
    through = [*_holes(screw), *_sockets()]
    plate = kernel.extrude(outline, 0.0, THICKNESS, through)
    peg = kernel.extrude(_square((n * PITCH, 0.0), PEG), THICKNESS / 2, THICKNESS + PEG)
    low, high = THICKNESS - DOT_DEPTH, DOT_DEPTH + _PAST
    dots = [kernel.cone((x, y, low), DOT, DOT, high) for x, y in _dots()]
    return kernel.cut(kernel.fuse(plate, peg), *dots)


def _holes(screw: Screw) -> list[Loop]:
    wide = screw.clearance_hole
    return [circle((k * PITCH, _HOLES_AT), wide + step) for k, step in enumerate(HOLE_STEPS)]


def _sockets() -> list[Loop]:
    """Square, with sharp corners: the pegs have theirs cut off."""
    found = []
    for k, gap in enumerate(GAP_STEPS):
        side = PEG / 2 + gap
        x, y = k * PITCH, _SOCKETS_AT
        found.append(polygon(rectangle(x - side, x + side, y - side, y + side)))
    return found


def _square(at: tuple[float, float], side: float) -> Loop:
    """A square with its corners cut off."""
    (x, y), a, b = at, side / 2, side / 2 - CORNER
    points = [(-b, -a), (b, -a), (a, -b), (a, b), (b, a), (-b, a), (-a, b), (-a, -b)]
    return polygon([(x + u, y + v) for u, v in points])


def _dots() -> list[tuple[float, float]]:
    """One for the first step, two for the second: between its hole and its socket."""
    return [
        (k * PITCH + (i - k / 2) * DOT_PITCH, _DOTS_AT)
        for k in range(len(HOLE_STEPS))
        for i in range(k + 1)
    ]
