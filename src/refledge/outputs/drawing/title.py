"""Frame and title block, of our own design: a strip along the foot of the sheet."""

import textwrap
from dataclasses import dataclass, field

import numpy as np

from refledge.outputs.drawing.lettering import width
from refledge.outputs.drawing.marks import Box, Line, Mark, Text, box_line, line, ring
from refledge.typed import Floats

STRIP = 38.0
"""Height of the title block, mm."""
_BED = 52.0
_FACTS = 84.0
TOLERANCES = (
    "All in mm. General tolerance ISO 2768-1 m (from memory): ±0.1 to 6, ±0.2 to 30,",
    "±0.3 to 120, ±0.5 to 400. Running dimensions count from 0 on each axis.",
)
"""What a printer in good order keeps; common practice, no source."""


LEAST = 1.5
"""mm; smallest capitals of the title block: our choice."""


@dataclass(frozen=True, eq=False)
class Title:
    """What the title block says."""

    name: str
    project: str
    lines: tuple[str, ...]
    """Quantity, material and mass; how it prints; what is left out."""
    facts: tuple[tuple[str, str], ...]
    """Label and value: scale, sheet, revision, drawn by."""
    bed: tuple[Floats, ...] = ()
    """Picture of the part as it lies on the bed, polylines in m; none where it is no part."""
    bed_frame: Floats = field(default_factory=lambda: np.zeros((0, 2)))
    """The bed's outline under it, (n, 2), m."""
    foot: tuple[str, ...] = TOLERANCES
    first_angle: bool = True
    """Whether the views stand as first-angle projection has them."""


def shortened(words: str, room: float, height: float = 2.5, *, bold: bool = False) -> str:
    """``words`` cut to ``room`` mm, the cut marked."""
    if width(words, height, bold=bold) <= room:
        return words
    while words and width(words + "…", height, bold=bold) > room:
        words = words[:-1]
    return words.rstrip() + "…"


def fitted(words: str, room: float, height: float) -> tuple[str, float]:
    """``words`` set smaller where ``room`` mm asks for it, and their height; cut below LEAST."""
    share = (1.0 - 1e-6) * room / max(width(words, height), 1e-9)
    height = max(LEAST, min(height, share * height))
    return shortened(words, room, height), height


def wrapped(words: str, room: float, most: int, height: float = 2.5) -> list[str]:
    """``words`` broken into at most ``most`` lines of ``room`` mm, what is over cut and marked."""
    letters = max(8, int(room / width("n", height)))
    lines = textwrap.wrap(words, letters)
    while lines and max(width(each, height) for each in lines) > room:
        letters -= 1
        lines = textwrap.wrap(words, letters)
    if len(lines) > most:
        lines = [*lines[: most - 1], shortened(" ".join(lines[most - 1 :]), room, height)]
    return lines


def framed(inner: Box, title: Title) -> list[Mark]:
    """The frame, and the title block in its foot."""
    x0, y0, x1, y1 = inner
    top = y0 + STRIP
    first, second = x0 + (_BED if title.bed else 0.0), x1 - _FACTS
    marks: list[Mark] = [box_line("frame", x0, y0, x1, y1), line("frame", (x0, top), (x1, top))]
    marks += [line("rule", (x, y0), (x, top)) for x in (first, second) if x > x0]
    if title.bed:
        marks += _bed(title, (x0, y0, first, top))
    marks += _words(title, (first, y0, second, top))
    return marks + _facts(title, (second, y0, x1, top))


def _bed(title: Title, box: Box) -> list[Mark]:
    """The part as it lies on the bed, small."""
    x0, y0, x1, y1 = box
    points = np.concatenate([*title.bed, title.bed_frame])
    low, high = points.min(axis=0), points.max(axis=0)
    scale = float(min((x1 - x0 - 6) / (high - low)[0], (y1 - y0 - 10) / (high - low)[1]))
    middle = np.array([(x0 + x1) / 2, (y0 + y1) / 2 + 2.0])

    def on_paper(points: Floats) -> Floats:
        moved: Floats = (points - (low + high) / 2) * scale + middle
        return moved

    lines: list[Mark] = [Line(on_paper(title.bed_frame), "thin")]
    lines += [Line(on_paper(each), "hatch") for each in title.bed]
    return [*lines, Text((x0 + x1) / 2, y0 + 2.0, "as it lies on the bed", 2.0, "middle")]


def _words(title: Title, box: Box) -> list[Mark]:
    x0, y0, x1, y1 = box
    room = x1 - x0 - 5
    marks: list[Mark] = [
        Text(x0 + 2.5, y1 - 7.0, shortened(title.name, room, 4.0, bold=True), 4.0, bold=True)
    ]
    lines: list[str] = []
    for k, each in enumerate(title.lines):
        lines += wrapped(each, room, 1 if k == 0 else 2, 2.0)
    marks += [Text(x0 + 2.5, y1 - 12.0 - 3.4 * k, each, 2.0) for k, each in enumerate(lines[:5])]
    marks += [
        Text(x0 + 2.5, y0 + 5.0 - 3.2 * k, shortened(each, room, 2.0), 2.0)
        for k, each in enumerate(title.foot)
    ]
    return marks


def _facts(title: Title, box: Box) -> list[Mark]:
    x0, y0, x1, y1 = box
    room = x1 - x0 - 5
    marks: list[Mark] = [
        Text(x0 + 2.5, y1 - 5.0, shortened(title.project, room, 2.5, bold=True), bold=True)
    ]
    marks.append(line("rule", (x0, y1 - 7.5), (x1, y1 - 7.5)))
    for k, (label, value) in enumerate(title.facts):
        column, row = divmod(k, 3)
        x, y = x0 + 2.5 + 42.0 * column, y1 - 11.5 - 7.2 * row
        marks.append(Text(x, y, label, 1.8))
        words, height = fitted(value, 38.0 if column else 36.0, 2.3)
        marks.append(Text(x, y - 3.4, words, height))
    return marks + (symbol(x1 - 26.0, y0 + 4.2) if title.first_angle else [])


def symbol(x: float, y: float) -> list[Mark]:
    """First-angle projection (ISO 5456-2): a cone from the side, its ends to the right of it."""
    taper = line(
        "rule", (x, y - 1.6), (x, y + 1.6), (x + 8, y + 3.2), (x + 8, y - 3.2), (x, y - 1.6)
    )
    middle = x + 16.0
    return [
        taper, ring(middle, y, 3.2, "rule"), ring(middle, y, 1.6, "rule"),
        line("centre", (x - 1.5, y), (x + 9.5, y)),
        line("centre", (middle - 4.5, y), (middle + 4.5, y)),
        line("centre", (middle, y - 4.2), (middle, y + 4.2)),
    ]  # fmt: skip
