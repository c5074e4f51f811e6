"""Texts side by side without touching: each as near to its own place as the others let it."""

from collections.abc import Sequence
from dataclasses import dataclass

from refledge.outputs.drawing.lettering import width
from refledge.outputs.drawing.marks import Line, Mark, Text, arrow, line

PITCH = 4.0
"""Between the baselines of two texts 2.5 mm high, mm."""
JOG = 5.0
"""Length over which an extension line steps aside to its text, mm."""
STEM = 3.0
"""Straight ends of an extension line before and after the step, mm."""
GAP = 1.0
"""Between the outline and an extension line, mm (ISO 129-1 leaves a small gap; from memory)."""


@dataclass(frozen=True)
class Tick:
    """One running dimension: what it says, where on the lane, where its line starts across it."""

    words: str
    at: float
    """mm along the lane."""
    start: float
    """mm across, on the feature."""


def spread(wanted: Sequence[float], rooms: Sequence[float]) -> list[float]:
    """Places in order nearest to ``wanted`` (rising) by least squares, each with its room, mm.

    Pool adjacent violators: Barlow, Bartholomew, Bremner and Brunk, "Statistical Inference under
    Order Restrictions", 1972, on the places less what the rooms before them take.
    """
    before, total = [], 0.0
    for k, room in enumerate(rooms):
        total += (rooms[k - 1] + room) / 2 if k else 0.0
        before.append(total)
    pools: list[tuple[float, int]] = []
    for value in (w - b for w, b in zip(wanted, before, strict=True)):
        mean, count = value, 1
        while pools and pools[-1][0] > mean:
            other, n = pools.pop()
            mean, count = (mean * count + other * n) / (count + n), count + n
        pools.append((mean, count))
    level = [mean for mean, count in pools for _ in range(count)]
    return [a + b for a, b in zip(level, before, strict=True)]


def tick_depth(ticks: Sequence[Tick]) -> float:
    """How far a lane of running dimensions reaches from the view, mm."""
    if not ticks:
        return 0.0
    return 2 * STEM + JOG + max(width(tick.words, 2.5) for tick in ticks) + 2.0


def tick_span(ticks: Sequence[Tick]) -> tuple[float, float]:
    """First and last place along the lane that its texts take, mm."""
    if not ticks:
        return 0.0, 0.0
    places = spread([tick.at for tick in ticks], [PITCH] * len(ticks))
    return places[0] - PITCH / 2, places[-1] + PITCH / 2


def below(ticks: Sequence[Tick], edge: float) -> list[Mark]:
    """Running dimensions under a view whose lower clear edge is at y = ``edge``."""
    marks: list[Mark] = []
    places = spread([tick.at for tick in ticks], [PITCH] * len(ticks))
    for tick, x in zip(ticks, places, strict=True):
        y1, y2 = edge - STEM, edge - STEM - JOG
        marks.append(line("fine", (tick.at, tick.start), (tick.at, y1), (x, y2), (x, y2 - STEM)))
        marks.append(Text(x + 1.25, y2 - STEM - 1.0, tick.words, anchor="end", turn=90))
    return marks


def beside(ticks: Sequence[Tick], edge: float) -> list[Mark]:
    """Running dimensions left of a view whose left clear edge is at x = ``edge``."""
    marks: list[Mark] = []
    places = spread([tick.at for tick in ticks], [PITCH] * len(ticks))
    for tick, y in zip(ticks, places, strict=True):
        x1, x2 = edge - STEM, edge - STEM - JOG
        marks.append(line("fine", (tick.start, tick.at), (x1, tick.at), (x2, y), (x2 - STEM, y)))
        marks.append(Text(x2 - STEM - 1.0, y - 1.25, tick.words, anchor="end"))
    return marks


def across(x0: float, x1: float, y: float, words: str, tops: tuple[float, float]) -> list[Mark]:
    """A dimension from ``x0`` to ``x1`` at height ``y``; extension lines from the two ``tops``."""
    marks: list[Mark] = [
        line("thin", (x, top + GAP), (x, y + 0.8)) for x, top in zip((x0, x1), tops, strict=True)
    ]
    return [
        *marks,
        *_dimension((x0, y), (x1, y)),
        Text((x0 + x1) / 2, y + 1.0, words, anchor="middle"),
    ]


def under(x0: float, x1: float, y: float, words: str, foot: float) -> list[Mark]:
    """A dimension from ``x0`` to ``x1`` at ``y``, below a view that ends at ``foot``."""
    marks: list[Mark] = [line("thin", (x, foot - GAP), (x, y - 0.8)) for x in (x0, x1)]
    inside = width(words, 2.5) + 3.0 <= x1 - x0
    text = Text((x0 + x1) / 2, y + 1.0, words, anchor="middle")
    beside_it = Text(x1 + 7.0, y - 1.25, words)
    return [*marks, *_dimension((x0, y), (x1, y)), text if inside else beside_it]


def upright(y0: float, y1: float, x: float, words: str, sides: tuple[float, float]) -> list[Mark]:
    """A dimension from ``y0`` to ``y1`` at ``x``, left of the view's two ``sides``."""
    marks: list[Mark] = [
        line("thin", (side - GAP, y), (x - 0.8, y)) for y, side in zip((y0, y1), sides, strict=True)
    ]
    text = Text(x - 1.0, (y0 + y1) / 2, words, anchor="middle", turn=90)
    return [*marks, *_dimension((x, y0), (x, y1)), text]


def _dimension(a: tuple[float, float], b: tuple[float, float]) -> list[Mark]:
    """The line with its arrows: inside, or pointing in from outside where there is no room."""
    (ax, ay), (bx, by) = a, b
    long = abs(bx - ax) + abs(by - ay)
    if long >= 7.0:
        return [line("thin", a, b), arrow(a, b), arrow(b, a)]
    ux, uy = (bx - ax) / long, (by - ay) / long
    out_a, out_b = (ax - 5 * ux, ay - 5 * uy), (bx + 5 * ux, by + 5 * uy)
    return [line("thin", out_a, out_b), arrow(a, out_a), arrow(b, out_b)]


@dataclass(frozen=True)
class Note:
    """Words that point at a round edge on the paper, mm."""

    words: str
    x: float
    y: float
    radius: float


def column(notes: Sequence[Note], x: float) -> list[Mark]:
    """Notes one under another, their shoulders starting at ``x``, each leader to its edge."""
    ordered = sorted(notes, key=lambda note: note.y)
    places = spread([note.y for note in ordered], [PITCH + 1.0] * len(ordered))
    marks: list[Mark] = []
    for note, y in zip(ordered, places, strict=True):
        marks += [*_leader(note, (x, y), (x + 3.0, y)), Text(x + 4.0, y - 1.25, note.words)]
    return marks


def row(notes: Sequence[Note], y: float) -> list[Mark]:
    """Notes side by side on the baseline ``y``, each leader from its own start."""
    ordered = sorted(notes, key=lambda note: note.x)
    rooms = [width(note.words, 2.5) + 5.0 for note in ordered]
    places = spread([note.x for note in ordered], rooms)
    marks: list[Mark] = []
    for note, x in zip(ordered, places, strict=True):
        up = y - 1.2 if note.y < y else y + 3.5
        half = width(note.words, 2.5) / 2
        bend = max(x - half, min(x + half, note.x))
        marks += [
            *_leader(note, (bend, up), (bend, up)),
            line("thin", (x - half, up), (x + half, up)),
            Text(x, y, note.words, anchor="middle"),
        ]
    return marks


def row_width(notes: Sequence[Note]) -> float:
    """What a row of notes takes, mm."""
    return sum(width(note.words, 2.5) + 5.0 for note in notes)


def _leader(note: Note, bend: tuple[float, float], end: tuple[float, float]) -> list[Mark]:
    dx, dy = bend[0] - note.x, bend[1] - note.y
    long = max((dx * dx + dy * dy) ** 0.5, 1e-9)
    tip = (note.x + note.radius * dx / long, note.y + note.radius * dy / long)
    drawn: Line = line("thin", tip, bend, end)
    return [drawn, arrow(tip, bend, 2.0)]
