"""Views of the whole on the paper: what room each takes, and where it goes."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from refledge.outputs.drawing.balloons import RADIUS, Balloon, column_places
from refledge.outputs.drawing.lanes import Tick, tick_depth, tick_span
from refledge.outputs.drawing.whole import WholeView
from refledge.typed import Floats

BORDER = 4.0
HEADING = 8.0
NOSE = 12.0
GAP = 5.0
"""Between a view and the lanes beside it, mm."""
LANE = 8.0
"""What one dimension under or beside a view takes, mm."""
LIST_WIDE = 130.0
"""Least width of the list, mm."""

Span = tuple[float, float, str]
"""From, to, m on the paper, and words."""


@dataclass(frozen=True, eq=False)
class Block:
    """A view on the paper at some scale."""

    view: WholeView
    scale: float
    low: Floats
    high: Floats
    """(2,), corners of what is drawn, m."""
    chains: tuple[Floats, ...]
    balloons: tuple[Balloon, ...]
    heights: tuple[tuple[float, str], ...]
    along: tuple[Span, ...]
    up: tuple[Span, ...]
    x: float = 0.0
    y: float = 0.0
    """Of the least corner, mm."""

    @property
    def size(self) -> tuple[float, float]:
        wide, tall = 1e3 * self.scale * (self.high - self.low)
        return float(wide), float(tall)

    def at(self, u: float, v: float) -> tuple[float, float]:
        """m on the view to mm on the paper."""
        factor = 1e3 * self.scale
        return self.x + factor * (u - self.low[0]), self.y + factor * (v - self.low[1])

    @property
    def ticks(self) -> tuple[Tick, ...]:
        return tuple(Tick(words, self.at(0.0, z)[1], self.x) for z, words in self.heights)

    @property
    def ends(self) -> list[tuple[int, float, float]]:
        """Number and end of every balloon's leader, mm."""
        return [(b.number, *self.at(float(b.at[0]), float(b.at[1]))) for b in self.balloons]

    def margins(self) -> tuple[float, float, float, float]:
        """Left, bottom, right, top that its lanes take, mm."""
        tall = self.size[1]
        left = max(GAP + tick_depth(self.ticks), GAP + LANE * len(self.up))
        right = GAP + 2 * RADIUS + 6.0 if self.balloons else GAP
        bottom = GAP + LANE * len(self.along)
        top = HEADING + (NOSE if self.view.name == "above" else 0.0)
        low, high = tick_span(self.ticks) if self.ticks else (self.y, self.y)
        places = column_places(sorted(y for _, _, y in self.ends))
        if places:
            low, high = min(low, places[0] - RADIUS), max(high, places[-1] + RADIUS)
        return left, max(bottom, self.y - low), right, max(top, high - self.y - tall + 6.0)

    @property
    def outer(self) -> tuple[float, float]:
        """Width and height with the margins, mm."""
        left, bottom, right, top = self.margins()
        return self.size[0] + left + right, self.size[1] + bottom + top


def taken(blocks: Mapping[str, Block], list_high: float, *, row: bool) -> tuple[float, float]:
    """Width and height of the plan, the two other views beside it and the list under those, mm.

    row: those two side by side, as tall airframes need, and not one under the other.
    """
    plan, front, left = (blocks[name].outer for name in ("above", "front", "left"))
    beside = front[0] + BORDER + left[0] if row else max(front[0], left[0])
    stack = max(front[1], left[1]) if row else front[1] + left[1]
    return plan[0] + max(beside, LIST_WIDE), max(plan[1], stack + list_high)


def placed(blocks: dict[str, Block], corner: tuple[float, float], *, row: bool) -> dict[str, Block]:
    """From above on the left; beside it from the front and, under that or in a ``row``, from the
    left."""
    x, top = corner
    beside_plan = x + blocks["above"].outer[0] + BORDER
    lefts = max(blocks[name].margins()[0] for name in ("front", "left"))
    found = {"above": hung(blocks["above"], x + blocks["above"].margins()[0], top)}
    middle = beside_plan + lefts + max(blocks[n].size[0] for n in ("front", "left")) / 2
    if row:
        for name in ("front", "left"):
            found[name] = hung(blocks[name], beside_plan + blocks[name].margins()[0], top)
            beside_plan += blocks[name].outer[0] + BORDER
        return found
    for name in ("front", "left"):
        found[name] = hung(blocks[name], middle - blocks[name].size[0] / 2, top)
        top -= blocks[name].outer[1]
    return found


def hung(block: Block, x: float, top: float) -> Block:
    """With its margin's upper edge at ``top``."""
    return replace(block, x=x, y=top - block.margins()[3] - block.size[1])
