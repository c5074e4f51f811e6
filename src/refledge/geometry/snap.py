"""Snap tongues: part of an upright wall cut free by two slits, with a lip inwards at its end.

Walls stand square to x, their inner faces at x and -x; tongues about y = 0.
"""

from refledge.geometry.kernel import Solid
from refledge.geometry.port import Kernel
from refledge.geometry.profile import polygon

SLIT = 0.8e-3
"""Beside a tongue, m: two printed lines, our choice."""
LEAD_IN = 3.0
"""Height of a lip's slope above over its reach: a gentle way in, our choice."""
_PAST = 1e-3  # cutters reach this far beyond what they cut, m


def lip_height(reach: float) -> float:
    """From what a lip holds to the end of its tongue, m."""
    return (1.0 + LEAD_IN) * reach


def slit(
    side: int, aside: int, tongue: float, across: tuple[float, float], up: tuple[float, float],
    kernel: Kernel,
) -> Solid:  # fmt: skip
    """Cutter beside the tongue on one ``side``.

    tongue: its width, m. across: wall's inner face and thickness, m. up: slit's foot and rim, m.
    """
    inner, wall = across
    edges = sorted((side * (inner - _PAST / 2), side * (inner + wall + _PAST)))
    own = sorted((aside * tongue / 2, aside * (tongue / 2 + SLIT)))
    return kernel.box((edges[0], own[0], up[0]), (edges[1], own[1], up[1] + _PAST))


def lip(
    side: int, tongue: float, across: tuple[float, float], low: float, reach: float, kernel: Kernel
) -> Solid:
    """Wedge on the tongue: 45 degrees below, so that it prints, a gentle way in above.

    low: height of what it holds, m.
    """
    inner, wall = across
    root = inner + wall / 2
    points = [
        (root, low), (inner, low), (inner - reach, low + reach),
        (inner, low + lip_height(reach)), (root, low + lip_height(reach)),
    ]  # fmt: skip
    outline = polygon([(side * along, up) for along, up in points][::side])
    return kernel.extrude(outline, -tongue / 2, tongue / 2, axis="y")
