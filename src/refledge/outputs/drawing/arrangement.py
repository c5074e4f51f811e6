"""The general arrangement: the whole airframe from three sides, with the numbered list."""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from refledge.errors import BuildError
from refledge.geometry.folded import folded_size
from refledge.geometry.placing import payload_middle
from refledge.outputs.drawing.balloons import (
    RADIUS,
    Balloon,
    column,
    column_places,
    shared_out,
    unseen,
)
from refledge.outputs.drawing.callouts import mm
from refledge.outputs.drawing.lanes import Tick, beside, tick_depth, tick_span, under, upright
from refledge.outputs.drawing.listing import list_height, listed, numbers, table
from refledge.outputs.drawing.marks import Line, Mark, Sheet, Text, arrow, line
from refledge.outputs.drawing.measures import (
    Measures,
    chain_lines,
    disc_rim,
    measures_of,
    rotor_labels,
)
from refledge.outputs.drawing.scales import SCALES, SIZES, frame_of, scale_words
from refledge.outputs.drawing.sheet import revision
from refledge.outputs.drawing.title import STRIP, Title, framed
from refledge.outputs.drawing.whole import WholeView, whole_views
from refledge.study import Study
from refledge.typed import Floats
from refledge.units import show

KEY = "arrangement"
SIZE = "A3"
BETWEEN = (1 / 2.5, 1 / 4, 1 / 6, 1 / 8, 1 / 15)
"""Scales beside the preferred ones, which would leave half the sheet empty: ISO 5455 lets
intermediate ones be used where there is a reason; from memory."""
HEADINGS = {"above": "from above, nose up", "front": "from the front", "left": "from the left"}
"""The views stand where there is room, so each says what it is."""
_BORDER = 4.0
_HEADING = 8.0
_NOSE = 12.0
_GAP = 5.0
"""Between a view and the lanes beside it, mm."""
_LANE = 8.0
"""What one dimension under or beside a view takes, mm."""
_STUB = 5.0
"""How far discs seen edge on are drawn beyond the frame, mm."""
_LIST_WIDE = 130.0
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
        left = max(_GAP + tick_depth(self.ticks), _GAP + _LANE * len(self.up))
        right = _GAP + 2 * RADIUS + 6.0 if self.balloons else _GAP
        bottom = _GAP + _LANE * len(self.along)
        top = _HEADING + (_NOSE if self.view.name == "above" else 0.0)
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


def arrangement_sheet(study: Study, count: int) -> Sheet:
    """Sheet 1 of ``count``."""
    views, found = whole_views(study), measures_of(study)
    shared = shared_out(views, numbers(study))
    disc = Balloon(numbers(study)["disc"], disc_rim(study))
    shared["above"] = (*shared["above"], disc)
    rows = listed(study)
    blocks = _arranged(study, views, found, shared, list_height(len(rows)))
    marks: list[Mark] = []
    for block in blocks.values():
        marks += _drawn(block, found)
    marks += _rotors(study, blocks["above"])
    inner = frame_of(SIZE)
    left = blocks["above"].outer[0] + inner[0] + _BORDER
    foot = min(blocks[name].y - blocks[name].margins()[1] for name in ("front", "left"))
    marks += table(rows, left + _BORDER, inner[2] - _BORDER, foot - _BORDER)
    title = _title(study, count, blocks["above"].scale, views)
    wide, high = SIZES[SIZE]
    return Sheet(KEY, "general arrangement", wide, high, (*framed(inner, title), *marks), inner)


def _arranged(
    study: Study,
    views: Mapping[str, WholeView],
    found: Measures,
    shared: Mapping[str, tuple[Balloon, ...]],
    list_high: float,
) -> dict[str, Block]:
    """The greatest scale at which everything fits the sheet; BuildError where none does."""
    x0, y0, x1, y1 = frame_of(SIZE)
    y0 += STRIP
    for scale in sorted((*SCALES, *BETWEEN), reverse=True):
        blocks = {
            name: _block(study, view, found, scale, shared[name]) for name, view in views.items()
        }
        plan = blocks["above"].outer
        aside = max(blocks["front"].outer[0], blocks["left"].outer[0], _LIST_WIDE)
        stack = blocks["front"].outer[1] + blocks["left"].outer[1] + list_high
        fits = plan[0] + aside + 3 * _BORDER <= x1 - x0
        if fits and max(plan[1], stack) + 2 * _BORDER <= y1 - y0:
            return _placed(blocks, (x0 + _BORDER, y1 - _BORDER))
    raise BuildError("the airframe is too large for a general arrangement at 1:100 on A3")


def _placed(blocks: dict[str, Block], corner: tuple[float, float]) -> dict[str, Block]:
    """From above on the left; from the front and, under it, from the left beside it."""
    x, top = corner
    beside_plan = x + blocks["above"].outer[0] + _BORDER
    lefts = max(blocks[name].margins()[0] for name in ("front", "left"))
    found = {"above": _hung(blocks["above"], x + blocks["above"].margins()[0], top)}
    middle = beside_plan + lefts + max(blocks[n].size[0] for n in ("front", "left")) / 2
    for name in ("front", "left"):
        found[name] = _hung(blocks[name], middle - blocks[name].size[0] / 2, top)
        top -= blocks[name].outer[1]
    return found


def _hung(block: Block, x: float, top: float) -> Block:
    """With its margin's upper edge at ``top``."""
    return replace(block, x=x, y=top - block.margins()[3] - block.size[1])


def _block(
    study: Study,
    view: WholeView,
    found: Measures,
    scale: float,
    balloons: tuple[Balloon, ...],
) -> Block:
    stub = _STUB / (1e3 * scale)
    chains = chain_lines(study, view.name, view.low[0] - stub, view.high[0] + stub)
    points = np.concatenate([*chains, np.stack([view.low, view.high])])
    low, high = points.min(axis=0), points.max(axis=0)
    if view.name == "above":
        along, up = _spans(found, axis=1), _spans(found, axis=0)
        return Block(view, scale, low, high, chains, balloons, (), along, up)
    axis = 1 if view.name == "front" else 0
    turned = -1.0 if view.name == "left" else 1.0
    a, b = sorted(turned * found.feet[:, axis])
    feet = ((float(a), float(b), f"{mm(round(b - a, 4))} over the feet"),)
    heights = found.heights if view.name == "front" else ()
    return Block(view, scale, low, high, chains, balloons, heights, feet, ())


def _spans(found: Measures, axis: int) -> tuple[Span, ...]:
    """The frame and the discs from above, the shorter first; the paper's right is the body's -y."""
    way = -1.0 if axis == 1 else 1.0
    spans = []
    for corners, words in ((found.frame, "frame"), (found.discs, "over the propellers")):
        a, b = sorted(way * corners[:, axis])
        spans.append((float(a), float(b), f"{mm(round(b - a, 4))} {words}"))
    return tuple(sorted(spans, key=lambda span: span[1] - span[0]))  # the shorter nearer


def _drawn(block: Block, found: Measures) -> list[Mark]:
    """Lines, lanes, balloons and heading of one view."""
    (wide, tall), name = block.size, block.view.name
    marks: list[Mark] = [Line(_paper(block, each), "rule") for each in block.view.lines]
    marks += [Line(_paper(block, each), "centre") for each in block.chains]
    left, foot = block.x, block.y
    if name != "above":
        level = block.at(0.0, found.ground)[1]
        marks.append(line("outline", (left - 3.0, level), (left + wide + 3.0, level)))
    marks += beside(block.ticks, left - _GAP)
    for k, (a, b, words) in enumerate(block.along, 1):
        x0, x1 = block.at(a, 0.0)[0], block.at(b, 0.0)[0]
        marks += under(x0, x1, foot - _GAP - _LANE * k + 3.0, words, foot)
    for k, (a, b, words) in enumerate(block.up, 1):
        y0, y1 = block.at(0.0, a)[1], block.at(0.0, b)[1]
        x = left - _GAP - _LANE * k + 3.0
        marks += upright(y0, y1, x, words, (left, left))
    marks += column(block.ends, left + wide + _GAP + RADIUS + 2.0)
    top = foot + tall + block.margins()[3] - 4.0
    return [*marks, Text(left, top, HEADINGS[name], 2.5)]


def _paper(block: Block, points: Floats) -> Floats:
    factor = 1e3 * block.scale
    moved: Floats = (points - block.low) * factor + np.array([block.x, block.y])
    return moved


def _rotors(study: Study, block: Block) -> list[Mark]:
    """Numbers and turns of the rotors on their discs, and which way the nose points."""
    marks: list[Mark] = []
    for at, words in rotor_labels(study):
        x, y = block.at(float(at[0]), float(at[1]))
        first = y + 1.9 * (len(words) - 1) - 1.25
        marks += [
            Text(x, first - 3.8 * k, each, 2.5, "middle", bold=True) for k, each in enumerate(words)
        ]
    x, y = block.at(0.0, float(block.high[1]))
    marks += [line("rule", (x, y + 1.5), (x, y + 8.0)), arrow((x, y + 10.0), (x, y), 3.5)]
    return [*marks, Text(x + 2.5, y + 5.0, "nose", 2.5)]


def _title(study: Study, count: int, scale: float, views: Mapping[str, WholeView]) -> Title:
    brief, layout = study.brief, study.layout
    pairs = ", the upper of a pair first" if layout.paired else ""
    lines = [
        f"{layout.kind}; ready to fly {show(study.all_up_mass, 'kg', 'kg', 3)}, frame "
        f"{show(study.frame_mass, 'kg', 'g')}",
        f"chain lines: motor axes on Ø{mm(round(2 * layout.motor_radius, 4))}, propellers "
        f"Ø{mm(round(brief.propeller.diameter, 4))}, seen edge on cut short; "
        f"{mm(round(layout.tip_gap, 4))} between neighbouring tips",
        f"CW, CCW: turn of each rotor from above{pairs}; heights are from the ground it stands on",
    ]
    if brief.payload.slung:
        below = show(payload_middle(study.frame, brief), "m", "m", 2)
        lines.append(f"{numbers(study)['payload']} hangs {below} below on its line: not drawn")
    if study.frame.hinge is not None:
        size = folded_size(study.frame, study.layout, study.assembly)
        lines.append(
            f"chain outlines: arms folded by {np.degrees(study.frame.hinge.turn):.0f}°, within "
            f"Ø{mm(round(size.across, 4))}; propellers, battery and payload off"
        )
    hidden = unseen(
        views, {k: n for k, n in numbers(study).items() if k not in ("disc", "payload")}
    )
    if hidden:
        lines.append(f"covered in all three views: {', '.join(map(str, hidden))}")
    facts = (
        ("scale", scale_words(scale)),
        ("sheet", f"1 of {count}, {SIZE}"),
        ("file", "assembly.step"),
        ("revision of the whole", _revision(study)),
        ("drawn by", f"Refledge {study.version}"),
    )
    foot = (
        "Numbers are those of the list and of the part drawings. Items are plain blocks; their own",
        "masts, screws and wires are not drawn: bolts.csv and the build book have them.",
    )
    return Title(
        "General arrangement", brief.title, tuple(lines), facts, foot=foot, first_angle=False
    )


def _revision(study: Study) -> str:
    """Eight letters that change when a part's shape or place does."""
    told = hashlib.sha256()
    for place in study.assembly.placements:
        if place.group == "part":
            where = np.round(np.column_stack([place.rotation, place.translation]) * 1e6)
            told.update(f"{place.key} {revision(study.assembly.meshes[place.key])}".encode())
            told.update((where + 0.0).astype("<i8").tobytes())
    return told.hexdigest()[:8]
