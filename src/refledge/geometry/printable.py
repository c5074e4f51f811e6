"""A part as the printer is told to make it, so that it comes out as drawn.

The first layer spreads, a round hole that lies across the bed droops at its crown, and one that
begins in a ceiling has nothing to hang from. The files for printers allow for all three; drawings,
STEP and every computation keep the part as it should come out.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from math import sqrt

import numpy as np

from refledge.geometry import kernel
from refledge.geometry.kernel import Solid
from refledge.geometry.named import Bore, Features
from refledge.geometry.profile import polygon
from refledge.typed import Floats

FITTED = ("foot_bore", "top_bore", "inside")
"""Bores whose whole wall is needed: pockets of inserts, the inside of a tube."""
CEILING = "ceiling_bore"
"""Bores that begin in a ceiling: printed shut by one layer, which the drill opens."""
LEVEL = 1e-3
"""Greatest slope of the axis of a bore that lies across the bed: our choice."""
_INSIDE = 1e-5  # sides cross the circle rather than touch it, which modellers bear badly, m
_RIM = 1e-4  # a lid reaches this far into the plastic round its bore, m
_PAST = 1e-4  # roofs reach this far beyond the ends of their bores, m


@dataclass(frozen=True, eq=False)
class Printable:
    """A solid in the axes of its part, changed for printing."""

    solid: Solid
    bevel: float
    """Of the edges on the bed, m; 0 where none is wanted or none could be made."""
    wanted: float
    """What the bevel should be, m."""
    roofs: int
    """Bores across the bed that were given a roof."""
    lids: int = 0
    """Bores in ceilings that are shut by one layer."""


def printable(
    solid: Solid,
    features: Features,
    rotation: Floats,
    spread: float,
    layer: float,
) -> Printable:
    """``solid`` with a roof over each bore that lies across the bed, a lid under each that begins
    in a ceiling, and bevelled foot edges.

    rotation: (3, 3), part axes to the bed. spread: of the first layer on each side, m. layer: its
    height, m. The bevel, at 45 degrees, takes half a layer more than the spread: then the cut
    half-way up the first layer is drawn in by just the spread.
    """
    laid = kernel.move(solid, rotation, np.zeros(3))
    tools = [roof(bore, rotation, layer) for bore in across(features, rotation)]
    laid = kernel.cut(laid, *tools)
    lids = [lid(bore, rotation, layer) for bore in ceilings(features)]
    laid = kernel.fuse(laid, *lids) if lids else laid
    wanted, bevel = (spread + layer / 2 if spread > 0 else 0.0), 0.0
    if wanted > 0:
        laid, bevel = kernel.bevel_foot(laid, wanted)
    return Printable(
        kernel.move(laid, rotation.T, np.zeros(3)), bevel, wanted, len(tools), len(lids)
    )


def across(features: Features, rotation: Floats) -> Iterable[Bore]:
    """Bores of bolts whose axis lies level on the bed."""
    for name, each in features.items():
        if isinstance(each, Bore) and not name.startswith(FITTED):
            axis = rotation @ np.array(each.axis)
            if abs(axis[2]) < LEVEL:
                yield each


def roof(bore: Bore, rotation: Floats, layer: float) -> Solid:
    """What is cut above a bore across the bed, in axes of the bed.

    Sides rise at 45 degrees from where they touch the circle to a flat bridge one layer above the
    crown: no line hangs over further than the last, and the bridge
    sags into the layer, not into the bolt.
    """
    r, base = bore.radius, bore.radius / sqrt(2.0)
    peak = r * sqrt(2.0) - _INSIDE
    top = min(r + layer, peak)
    points = [(base - peak, base), (peak - base, base), (peak - top, top), (top - peak, top)]
    points = points if top < peak else [*points[:2], (0.0, peak)]
    long = bore.length / 2 + _PAST
    blank = kernel.extrude(polygon(points), -long, long, axis="x")
    axis = rotation @ np.array(bore.axis)
    turn = np.column_stack([axis, np.cross([0.0, 0.0, 1.0], axis), [0.0, 0.0, 1.0]])
    return kernel.move(blank, turn, rotation @ np.array(bore.centre))


def ceilings(features: Features) -> Iterable[Bore]:
    """Bores that begin in the ceiling of a slot."""
    for name, each in features.items():
        if isinstance(each, Bore) and name.startswith(CEILING):
            yield each


def lid(bore: Bore, rotation: Floats, layer: float) -> Solid:
    """One layer across the mouth of an upright bore that faces the bed, in axes of the bed.

    Lines can only bridge to a far wall: round a hole they would hang in the air.
    """
    x, y, z = map(float, rotation @ np.array(bore.centre))
    width = 2 * (bore.radius + _RIM)
    return kernel.cone((x, y, z - bore.length / 2), width, width, layer)
