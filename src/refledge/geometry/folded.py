"""The airframe with its arms folded: its size, and the way of the wires past the hinges."""

from dataclasses import dataclass
from math import asin, cos, hypot, pi, sin

import numpy as np

from refledge.geometry.folding import fold_places
from refledge.geometry.hinge import hinge_of, pivot_point
from refledge.model.layout import Layout
from refledge.model.parts import FrameDesign
from refledge.model.results import Assembly, Placement
from refledge.typed import Floats

HUNG = frozenset({"payload", "battery", "carrier"})
"""What comes off before it is carried folded."""


@dataclass(frozen=True)
class WireWay:
    """An arm's wires between its inner end and the middle of the plates, folded."""

    radius: float
    """Of the circle on which they can lie, m."""
    slack: float
    """How much longer the way is than with the arm open, m."""


def wire_way(frame: FrameDesign) -> WireWay:
    """The circle through the plates' middle that leaves the folded arm along it: where its bore
    ends, or at its innermost clip.

    Chord and tangent: a circle that leaves a point along a line and meets another ``d`` away, ``h``
    beside that line, has radius d2 / (2 h), and its arc the length 2 r asin(d / (2 r)), or the
    rest of the circle where the other point lies behind.
    """
    root, turn = frame.clamp.root_radius, hinge_of(frame).turn
    x, y = pivot_point(frame.clamp)
    start = wires_start(frame)
    # where the wires leave it, from the pivot, turned clockwise; the pivot at (root + x, y)
    c, s = cos(turn), sin(turn)
    along, aside = start - x, -y
    at = np.array([root + x + c * along + s * aside, y - s * along + c * aside])
    inwards = np.array([-c, s])
    far = hypot(*at)
    beside = abs(float(inwards[0] * -at[1] - inwards[1] * -at[0]))
    if beside < 1e-6 * far:
        return WireWay(float("inf"), max(0.0, far - root - start))
    radius = far**2 / (2 * beside)
    arc = 2 * asin(min(1.0, far / (2 * radius)))
    if float(inwards @ -at) < 0.0:
        arc = 2 * pi - arc
    return WireWay(radius, max(0.0, radius * arc - root - start))


def wires_start(frame: FrameDesign) -> float:
    """Where the wires leave an arm, from its inner end, m: the bore's mouth, or a clip's end."""
    clip = frame.clip
    return clip.places[0] - clip.length / 2 if clip is not None else 0.0


@dataclass(frozen=True)
class FoldedSize:
    """The airframe folded, propellers, battery and payload off, m."""

    length: float
    width: float
    height: float
    across: float
    """Diameter of the circle round it, from above."""
    open_across: float
    """The same with the arms open."""


def folded_size(frame: FrameDesign, layout: Layout, assembly: Assembly) -> FoldedSize:
    """Sizes of what is carried; needs a hinge."""
    opened = tuple(p for p in assembly.placements if p.key not in HUNG and p.group != "disc")
    points = _points(assembly, fold_places(frame, layout, opened))
    size = np.ptp(points, axis=0)
    return FoldedSize(
        length=float(size[0]),
        width=float(size[1]),
        height=float(size[2]),
        across=_across(points),
        open_across=_across(_points(assembly, opened)),
    )


def _points(assembly: Assembly, places: tuple[Placement, ...]) -> Floats:
    found = [assembly.meshes[p.key].vertices @ p.rotation.T + p.translation for p in places]
    return np.concatenate(found)


def _across(points: Floats) -> float:
    return 2 * float(np.hypot(points[:, 0], points[:, 1]).max())
