"""Where the views of a part go on the paper, and at which scale."""

from collections.abc import Mapping
from dataclasses import dataclass

from refledge.errors import BuildError
from refledge.outputs.drawing.lanes import (
    PITCH,
    Note,
    Tick,
    row_width,
    spread,
    tick_depth,
    tick_span,
)
from refledge.outputs.drawing.lettering import width
from refledge.outputs.drawing.panels import Panel, Place, words_of
from refledge.outputs.drawing.scales import SCALES, SIZES, frame_of, scale_words
from refledge.outputs.drawing.title import STRIP

CLEAR = 7.0
"""Kept free round a view before its lanes begin, mm: centre lines and section arrows end there."""
DIMENSION = 9.0
"""What one overall dimension takes, mm."""
HEADING = 6.0
LONG = 150.0
"""A view wider than this has its notes in a row along it, mm. Our choice."""
_BETWEEN = 4.0


@dataclass(frozen=True, eq=False)
class Placed:
    """A panel on the paper."""

    panel: Panel
    scale: float
    """mm on paper for each mm of the part."""
    x: float
    y: float
    """Of the panel's least corner, mm."""

    def at(self, u: float, v: float) -> tuple[float, float]:
        """m in the panel to mm on the paper."""
        low = self.panel.low
        return (
            self.x + 1e3 * self.scale * (u - float(low[0])),
            self.y + 1e3 * self.scale * (v - float(low[1])),
        )

    @property
    def wide(self) -> float:
        return 1e3 * self.scale * float(self.panel.size[0])

    @property
    def high(self) -> float:
        return 1e3 * self.scale * float(self.panel.size[1])

    def ticks(self, places: tuple[Place, ...], *, along: bool) -> tuple[tuple[Tick, ...], int]:
        """Running dimensions of the lane, and how many found no room."""
        room = (self.wide if along else self.high) + 2 * CLEAR
        kept = _fitting(places, max(2, int(room / PITCH)))
        ticks = []
        for place in kept:
            at = self.at(place.at, place.start) if along else self.at(place.start, place.at)
            ticks.append(Tick(words_of(place), at[0 if along else 1], at[1 if along else 0]))
        return tuple(ticks), len(places) - len(kept)

    @property
    def notes(self) -> tuple[Note, ...]:
        found = []
        for words, at, radius in self.panel.notes:
            x, y = self.at(float(at[0]), float(at[1]))
            found.append(Note(words, x, y, 1e3 * self.scale * radius))
        return tuple(found)

    @property
    def notes_in_row(self) -> bool:
        return self.wide > LONG and row_width(self.notes) < self.wide

    def margins(self) -> tuple[float, float, float, float]:
        """Left, bottom, right, top that its lanes take, mm."""
        ticks, _ = self.ticks(self.panel.along, along=True)
        stacked, _ = self.ticks(self.panel.up, along=False)
        low, high = tick_span(ticks)
        left = CLEAR + tick_depth(stacked) + DIMENSION
        left = max(left, self.x - low + 1.0 if ticks else 0.0)
        right = max(CLEAR, high - self.x - self.wide + 1.0 if ticks else 0.0)
        bottom = CLEAR + tick_depth(ticks)
        top = CLEAR + HEADING
        if self.panel.name in ("front", "left"):
            top += DIMENSION
        low, high = tick_span(stacked)
        bottom = max(bottom, self.y - low + 1.0 if stacked else 0.0)
        top = max(top, high - self.y - self.high + 1.0 + HEADING if stacked else 0.0)
        if not self.notes:
            return left, bottom, right, top
        if self.notes_in_row:
            return (
                left,
                bottom + (7.0 if self.panel.name == "front" else 0.0),
                right,
                top + (0.0 if self.panel.name == "front" else 6.0),
            )
        right = max(right, CLEAR + 6.0 + max(width(note.words, 2.5) for note in self.notes))
        ordered = sorted(note.y for note in self.notes)
        places = spread(ordered, [PITCH + 1.0] * len(ordered))
        bottom = max(bottom, self.y - places[0] + 4.0)
        top = max(top, places[-1] + 4.0 - self.y - self.high)
        return left, bottom, right, top


def _fitting(places: tuple[Place, ...], most: int) -> tuple[Place, ...]:
    """The weightiest ``most`` places, in order; ends and holes come before small faces."""
    ranked = sorted(range(len(places)), key=lambda k: (-places[k].weight, k))[:most]
    return tuple(places[k] for k in sorted(ranked))


@dataclass(frozen=True, eq=False)
class Arranged:
    """All panels of a sheet in place."""

    size: str
    scale: float
    placed: Mapping[str, Placed]


def arrange(panels: Mapping[str, Panel]) -> Arranged:
    """The greatest scale that fits A4; A3 where A4 would make the part smaller than it is.

    Raises BuildError where not even the smallest scale fits.
    """
    best = {size: _fit(panels, size) for size in SIZES}
    a4, a3 = best["A4"], best["A3"]
    if a4 is not None and (a4.scale >= 1 or a3 is None or a3.scale <= a4.scale):
        return a4
    if a3 is None:
        raise BuildError("a part is too large to be drawn at 1:100 on A3")
    return a3


def _fit(panels: Mapping[str, Panel], size: str) -> Arranged | None:
    x0, y0, x1, y1 = frame_of(size)
    box = (x0 + _BETWEEN, y0 + STRIP + _BETWEEN, x1 - _BETWEEN, y1 - _BETWEEN)
    for scale in SCALES[2:]:  # a part more than twice as large as it is tells nobody more
        for grid in GRIDS:
            placed = _grid(panels, grid, scale, box)
            if placed is not None:
                return Arranged(size, scale, placed)
    return None


Grid = tuple[tuple[str, str], ...]
GRIDS: tuple[Grid, ...] = (
    (("front", "left"), ("top", "B–B"), ("A–A", "")),
    (("front", "left"), ("top", "A–A"), ("", "B–B")),
)
"""First angle: from above is drawn below, from the left is drawn to the right (ISO 5456-2)."""


def _grid(
    panels: Mapping[str, Panel], grid: Grid, scale: float, box: tuple[float, float, float, float]
) -> dict[str, Placed] | None:
    """Views in rows and columns that line up, in the middle of ``box``; None where too large."""
    loose = {name: Placed(panel, _own(panel, scale), 0.0, 0.0) for name, panel in panels.items()}
    margins = {name: each.margins() for name, each in loose.items()}
    columns = [
        _track(
            [(loose[r[c]].wide, margins[r[c]][0], margins[r[c]][2]) for r in grid if r[c] in loose]
        )
        for c in (0, 1)
    ]
    rows = [
        _track([(loose[n].high, margins[n][1], margins[n][3]) for n in r if n in loose])
        for r in grid
    ]
    wide, high = sum(map(sum, columns)), sum(map(sum, rows))
    x0, y0, x1, y1 = box
    if wide > x1 - x0 or high > y1 - y0:
        return None
    spare_x = (x1 - x0 - wide) / 3
    spare_y = (y1 - y0 - high) / (sum(1 for row in rows if sum(row)) + 1)
    placed, top = {}, y1
    for names, (size, below, above) in zip(grid, rows, strict=True):
        if size == 0:
            continue
        top -= spare_y + above
        left = x0
        for name, (broad, before, after) in zip(names, columns, strict=True):
            left += spare_x + before
            if name in loose:
                each = loose[name]
                placed[name] = Placed(each.panel, each.scale, left, top - each.high)
            left += broad + after
        top -= size + below
    return placed


def _own(panel: Panel, scale: float) -> float:
    """A cross-section may be drawn larger than the views: up to 2:1 and 70 mm."""
    if panel.name != "B–B":
        return scale
    most = 70.0 / (1e3 * float(panel.size.max()))
    return max(scale, next(s for s in SCALES if s <= min(2.0, most)))


def _track(cells: list[tuple[float, float, float]]) -> tuple[float, float, float]:
    """Size, and the greatest margin before and after, of a row or column."""
    if not cells:
        return 0.0, 0.0, 0.0
    sizes, before, after = zip(*cells, strict=True)
    return max(sizes), max(before), max(after)


def heading(name: str, panel_scale: float, sheet_scale: float) -> str:
    """What stands above a panel."""
    words = {"front": "from the front", "top": "from above", "left": "from the left"}.get(
        name, name
    )
    return words if panel_scale == sheet_scale else f"{words}  {scale_words(panel_scale)}"
