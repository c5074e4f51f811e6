"""What single pieces take on the printer, for comparisons: the arm of a build, bars of plastics."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from refledge.geometry.arm import make_arm, make_arm_part
from refledge.geometry.kernel import tessellate
from refledge.geometry.poses import print_pose
from refledge.model.fasteners import Hardware
from refledge.model.materials import MaterialCard
from refledge.model.parts import FrameDesign
from refledge.model.printer import Printer
from refledge.model.results import TriMesh
from refledge.model.wishes import FrameWish
from refledge.printing.calibration import calibrate
from refledge.printing.posed import time_posed
from refledge.typed import Floats

BAR = (80e-3, 10e-3, 4e-3)
"""m; length, width and thickness of the bar in the stiffest plastic: the bar of ISO 178
(recalled, standard not read)."""
TYPICAL = Printer(bed_length=0.25, bed_width=0.21, height=0.21, filaments=())
"""Where no brief names one: the model's usual speeds; a bar fits any bed."""
SOLID = FrameWish(infill=1.0)
"""Test pieces are printed solid."""


@dataclass(frozen=True)
class PieceFigures:
    """What one piece takes, by the time model before any record."""

    what: str
    """The piece, in words."""
    seconds: float
    spread: float
    """Relative standard uncertainty of the time."""
    price: float
    """Filament with support, middle of the card's range, in its currency."""


def arm_figures(
    frame: FrameDesign, hardware: Hardware, wish: FrameWish, printer: Printer, card: MaterialCard
) -> PieceFigures | None:
    """One arm as the build prints it, in one part or two; None for a bought tube."""
    arm = frame.arm
    if arm.family == "tube":
        return None
    if arm.split:
        keys: tuple[str, ...] = ("arm_inner", "arm_outer")
        solids = [make_arm_part(key[4:], arm, frame, hardware) for key in keys]
    else:
        keys, solids = ("arm",), [make_arm(arm, frame, hardware)]
    poses = [print_pose(key, frame)[0] for key in keys]
    pieces = [(tessellate(s), pose) for s, pose in zip(solids, poses, strict=True)]
    return _figures("its arm", pieces, wish, printer, card)


def bars_as_stiff(
    plastics: Sequence[tuple[MaterialCard, float]], printer: Printer = TYPICAL
) -> tuple[PieceFigures, ...]:
    """For each plastic (card, E in Pa) a flat bar that bends as the stiffest plastic's bar does.

    Length and width are the same, thickness goes with E^(-1/3): E b h^3 / 12 is the same for all
    (Timoshenko, Strength of Materials, bending of a rectangular bar).
    """
    length, width, least = BAR
    stiffest = max(E for _, E in plastics)
    found = []
    for card, E in plastics:
        high = least * (stiffest / E) ** (1 / 3)
        what = f"bar {1e3 * length:.0f} × {1e3 * width:.0f} × {1e3 * high:.1f} mm"
        bar = block((length, width, high))
        found.append(_figures(what, [(bar, np.eye(3))], SOLID, printer, card))
    return tuple(found)


def block(size: tuple[float, float, float]) -> TriMesh:
    """A closed block from the origin, m, triangles seen anticlockwise from outside."""
    corners = np.array([[x, y, z] for z in (0, 1) for y in (0, 1) for x in (0, 1)], dtype=float)
    sides = ((0, 2, 3, 1), (4, 5, 7, 6), (0, 1, 5, 4), (2, 6, 7, 3), (0, 4, 6, 2), (1, 3, 7, 5))
    triangles = [t for a, b, c, d in sides for t in ((a, b, c), (a, c, d))]
    return TriMesh(corners * np.array(size), np.array(triangles))


def _figures(
    what: str,
    pieces: Sequence[tuple[TriMesh, Floats]],
    wish: FrameWish,
    printer: Printer,
    card: MaterialCard,
) -> PieceFigures:
    """Meshes with their rotations to the bed; the model's error is common to them all."""
    model = calibrate()
    figures = [time_posed(mesh, rotation, wish, printer) for mesh, rotation in pieces]
    times = [model.seconds(each) for each in figures]
    seconds = sum(t for t, _ in times)
    price = (card.price_low.value + card.price_high.value) / 2
    mass = card.rho.value * sum(each.plastic for each in figures)
    return PieceFigures(what, seconds, sum(u for _, u in times) / seconds, mass * price)
