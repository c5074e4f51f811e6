"""Arms to choose from: dimensions in whole lines and layers over one arm width."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil

import numpy as np

from refledge.airframe.body import Body
from refledge.airframe.rooting import WIRE_BORE
from refledge.analysis.arm_model import ArmShape
from refledge.model.brief import Brief
from refledge.model.grown import GrownArm
from refledge.model.materials import MaterialCard
from refledge.model.parts import ArmDesign
from refledge.typed import Bools, Floats

WALLS = (2, 3, 4, 6)
"""Side walls in printed lines."""
SKINS = (0.8e-3, 1.2e-3, 1.6e-3, 2.4e-3, 3.2e-3)
"""Top and bottom walls, rounded up to whole layers, m."""
TRUSS_WIDTHS = (4, 6, 9, 12)
"""Width of each side truss in printed lines."""
CHORDS = (1.6e-3, 2.4e-3, 3.2e-3, 4.8e-3)
"""Top plate and bottom chord of trusses, rounded up to whole layers, m."""
DIAGONALS = (3, 4, 6, 8)
"""Diagonals of trusses in printed lines."""
DEPTHS = np.arange(12e-3, 42.1e-3, 2e-3)
"""Depth at the root, m."""
TAPERS = (1.0, 0.75, 0.55)
"""Tip depth over root depth."""
LEAST_TIP = 10e-3
"""m; room for the cross-section of a tenon around the mount's bolts: our choice."""
WIDTH_STEPS = 6
"""Arm widths tried, four lines apart, from the least that the screws allow."""
SPAN_FRACTION_OF_RIB = 1.0
"""Rib pitch over inner width: ribs near 45 degrees brace best for their mass."""


@dataclass(frozen=True, eq=False)
class Candidates:
    """N arms of one family and width; arrays (N,), m."""

    family: str
    body: Body
    length: float
    depth_root: Floats
    depth_tip: Floats
    side: Floats
    top: Floats
    bottom: Floats
    pitch: Floats
    web: Floats
    bore: float
    width: float
    split: float = 0.0
    """Inner end to the middle of the lap, m; 0 for arms in one piece."""
    lap: float = 0.0
    lap_screw: str = ""
    grown: GrownArm | None = None
    """family grown only: the one arm that was kept."""

    @property
    def count(self) -> int:
        return len(self.depth_root)

    def only(self, keep: Bools) -> "Candidates":
        """Those candidates where ``keep`` (N,) is true."""
        rows = ("depth_root", "depth_tip", "side", "top", "bottom", "pitch", "web")
        return replace(self, **{name: getattr(self, name)[keep] for name in rows})

    def shape(self) -> ArmShape:
        """For the evaluator."""
        return ArmShape(
            length=self.length,
            width=self.width,
            depth_root=self.depth_root,
            depth_tip=self.depth_tip,
            root_length=self.body.root_length,
            tenon_length=self.body.mount.length,
            side=self.side,
            top=self.top,
            bottom=self.bottom,
            pitch=self.pitch,
            web=self.web,
            bore=self.bore,
        )

    def arm(self, row: int, material: str) -> ArmDesign:
        """One of them as a design."""
        return ArmDesign(
            family=self.family,
            length=self.length,
            width=self.width,
            depth_root=float(self.depth_root[row]),
            depth_tip=float(self.depth_tip[row]),
            root_length=self.body.root_length,
            tenon_length=self.body.mount.length,
            side=float(self.side[row]),
            top=float(self.top[row]),
            bottom=float(self.bottom[row]),
            pitch=float(self.pitch[row]),
            web=float(self.web[row]),
            bore=self.bore,
            material=material,
            split=self.split,
            lap=self.lap,
            lap_screw=self.lap_screw,
            grown=self.grown,
        )


def printed_candidates(
    brief: Brief, family: str, body: Body, length: float, deepest: tuple[float, float]
) -> Candidates:
    """Every combination of depths and walls of a family at one width.

    deepest: greatest depth at root and tip, m, that the longest bolts pass.
    """
    line, layer = brief.printer.extrusion_width, brief.printer.layer
    walls = np.array(WALLS) * line
    skins = np.array([ceil(round(skin / layer, 6)) * layer for skin in SKINS])
    depths = DEPTHS[(2 * line + WIRE_BORE + 2 * skins[0] <= DEPTHS) & (deepest[0] >= DEPTHS)]
    axes: tuple[Sequence[float] | Floats, ...]
    if family == "box":
        axes = (depths, TAPERS, walls, skins, skins, (0.0,))
    elif family == "channel":
        axes = (depths, TAPERS, walls, skins, (0.0,), walls[:2])
    else:
        chords = np.array([ceil(round(chord / layer, 6)) * layer for chord in CHORDS])
        widths, diagonals = np.array(TRUSS_WIDTHS) * line, np.array(DIAGONALS) * line
        axes = (depths, TAPERS, widths, chords, chords, diagonals)
    grid = [np.ravel(each) for each in np.meshgrid(*axes, indexing="ij")]
    depth, taper, side, top, bottom, web = grid
    tip = np.maximum(depth * taper, np.minimum(depth, LEAST_TIP))
    span = length - body.root_length - body.mount.length
    pitch = _pitch(family, span, tip, body.arm_width, side)
    keep = _printable(family, depth, tip, side, top, bottom, body.arm_width) & (tip <= deepest[1])
    return Candidates(
        family=family,
        body=body,
        length=length,
        depth_root=depth[keep],
        depth_tip=tip[keep],
        side=side[keep],
        top=top[keep],
        bottom=bottom[keep],
        pitch=pitch[keep],
        web=web[keep],
        bore=WIRE_BORE,
        width=body.arm_width,
    )


def tube_candidate(body: Body, length: float, card: MaterialCard) -> Candidates:
    """The one tube that was asked for."""
    one, none = np.ones(1), np.zeros(1)
    return Candidates(
        family="tube",
        body=body,
        length=length,
        depth_root=one * card.outer,
        depth_tip=one * card.outer,
        side=none,
        top=none,
        bottom=none,
        pitch=none,
        web=none,
        bore=card.bore,
        width=card.outer,
    )


def _pitch(family: str, span: float, tip: Floats, width: float, side: Floats) -> Floats:
    """Rib spacing of channels, panel length of trusses: whole numbers of them in the span, m."""
    if family == "channel":
        panels = np.maximum(1.0, np.round(span / (SPAN_FRACTION_OF_RIB * (width - 2 * side))))
    elif family == "truss":
        panels = np.maximum(1.0, np.ceil(span / (2.0 * tip) - 1e-9))
    else:
        return np.zeros_like(tip)
    pitch: Floats = span / panels
    return pitch


def _printable(
    family: str, depth: Floats, tip: Floats, side: Floats, top: Floats, bottom: Floats, width: float
) -> Bools:
    """Shapes that leave room inside for what must pass: bridges, wires, diagonals."""
    clear = tip - top - bottom
    room = clear >= (4e-3 if family == "truss" else 3e-3)
    return room & (width - 2 * side >= 5e-3) & (tip <= depth + 1e-12)
