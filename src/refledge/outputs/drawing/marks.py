"""What a drawing is made of: a sheet with lines, areas, texts and pictures, in mm on the paper.

x runs to the right, y up, from the sheet's lower left corner. Writers turn one list of marks into
SVG and PDF alike.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from refledge.outputs.drawing.lettering import CAP, DESCENT, width
from refledge.typed import Floats

Box = tuple[float, float, float, float]
"""Left, bottom, right, top, mm."""

STROKES: Final[dict[str, tuple[float, tuple[float, ...]]]] = {
    "outline": (0.5, ()),
    "hidden": (0.25, (3.0, 0.75)),
    "centre": (0.25, (6.0, 0.75, 0.25, 0.75)),
    "thin": (0.25, ()),
    "hatch": (0.18, ()),
    "fine": (0.13, ()),
    "cut": (0.5, (5.0, 1.2, 0.6, 1.2)),
    "frame": (0.7, ()),
    "rule": (0.35, ()),
}
"""Width and dashes, mm: wide and narrow lines of ISO 128-2, line group 0.5; from memory."""


@dataclass(frozen=True, eq=False)
class Line:
    """A polyline (n, 2), mm, of one of STROKES."""

    points: Floats
    kind: str


@dataclass(frozen=True, eq=False)
class Area:
    """Loops filled by the even-odd rule with ``grey`` (0 black, 1 white)."""

    loops: tuple[Floats, ...]
    grey: float = 0.0


@dataclass(frozen=True)
class Text:
    """Words whose baseline starts, or has its middle or end, at (x, y)."""

    x: float
    y: float
    words: str
    height: float = 2.5
    """Of capitals, mm (ISO 3098: 2.5, 3.5, 5; from memory)."""
    anchor: str = "start"
    turn: int = 0
    """0, or 90 to read from the right."""
    bold: bool = False

    @property
    def box(self) -> Box:
        """What the words cover, descenders included."""
        long = width(self.words, self.height, bold=self.bold)
        back = {"start": 0.0, "middle": long / 2, "end": long}[self.anchor]
        low, high = self.height / CAP * DESCENT, self.height
        if self.turn == 90:
            return (self.x - high, self.y - back, self.x + low, self.y - back + long)
        return (self.x - back, self.y - low, self.x - back + long, self.y + high)


@dataclass(frozen=True, eq=False)
class Picture:
    """A PNG with its lower left corner at (x, y)."""

    png: bytes
    x: float
    y: float
    wide: float
    high: float


Mark = Line | Area | Text | Picture


@dataclass(frozen=True, eq=False)
class Sheet:
    """One page."""

    key: str
    title: str
    wide: float
    high: float
    marks: tuple[Mark, ...]
    inner: Box
    """The frame, which nothing leaves."""

    @property
    def texts(self) -> tuple[Text, ...]:
        return tuple(mark for mark in self.marks if isinstance(mark, Text))


def line(kind: str, *points: tuple[float, float]) -> Line:
    """A polyline through ``points``, mm."""
    return Line(np.array(points, dtype=np.float64), kind)


def box_line(kind: str, x0: float, y0: float, x1: float, y1: float) -> Line:
    """A closed rectangle."""
    return line(kind, (x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0))


def arrow(tip: tuple[float, float], back: tuple[float, float], size: float = 2.5) -> Area:
    """A filled arrowhead at ``tip`` with its tail towards ``back``, a third as wide as long."""
    end, way = np.array(tip), np.array(back) - np.array(tip)
    way = way / max(float(np.linalg.norm(way)), 1e-9)
    side = np.array([-way[1], way[0]]) * size / 6
    return Area((np.array([end, end + size * way + side, end + size * way - side]),))


def ring(x: float, y: float, radius: float, kind: str = "thin") -> Line:
    """A circle as a polyline."""
    at = np.linspace(0.0, 2 * np.pi, 33)
    return Line(np.column_stack([x + radius * np.cos(at), y + radius * np.sin(at)]), kind)
