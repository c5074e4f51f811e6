"""Templates at 1:1 on A4: lay the printed part on the paper, or drill through it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from refledge.geometry.kernel import Solid
from refledge.model.results import PartSpec
from refledge.outputs.drawing.lines import clipped
from refledge.outputs.drawing.marks import Box, Line, Mark, Sheet, Text, box_line, line
from refledge.outputs.drawing.panels import Panel, part_of, three_views
from refledge.outputs.drawing.scales import SIZES, frame_of
from refledge.outputs.drawing.title import shortened, wrapped
from refledge.outputs.words import capital
from refledge.typed import Floats

RULER = 100.0
"""mm."""
_FOOT = 32.0
"""Height of the strip with the ruler, mm."""
_SIDE = 20.0
"""Width of the upright ruler's strip, mm."""
_OVERLAP = 10.0
"""What two windows on a part longer than the sheet share, mm."""
_RIM = 0.05
"""A window takes lines in that lie this far outside, mm: places in a view are rounded to 0.01."""
_CROSS = 3.0
_ADVICE = (
    "Print at 100 %, without fitting to the page. Lay a steel rule on both rulers: "
    "where 100 mm do not measure 100 mm, within half a millimetre, the sheet is of no use."
)


@dataclass(frozen=True)
class Window:
    """A piece of a view that goes on one sheet, mm from the view's least corner."""

    x0: float
    y0: float
    x1: float
    y1: float


def template_sheets(spec: PartSpec, solid: Solid, project: str) -> tuple[Sheet, ...]:
    """The part from above with every upright hole; none for parts without upright holes."""
    panel = three_views(part_of(solid))["top"]
    if not panel.crosses:
        return ()
    x0, y0, x1, y1 = frame_of("A4")
    room = (x1 - x0 - _SIDE - 10.0, y1 - y0 - _FOOT - 14.0)
    pages = _pages(list(_windows(1e3 * panel.size, room)), room)
    return tuple(
        _sheet(spec, panel, windows, project, (number, len(pages)))
        for number, windows in enumerate(pages, 1)
    )


def _windows(size: Floats, room: tuple[float, float]) -> Iterator[Window]:
    """Equal windows that cover ``size`` (2,), mm, none larger than ``room``, sharing a rim."""
    counts = [
        1 if size[k] <= room[k] else int(np.ceil((size[k] - _OVERLAP) / (room[k] - _OVERLAP)))
        for k in (0, 1)
    ]
    steps = [(size[k] - _OVERLAP) / counts[k] if counts[k] > 1 else size[k] for k in (0, 1)]
    rim = [_OVERLAP if count > 1 else 0.0 for count in counts]
    for j in range(counts[1]):
        for i in range(counts[0]):
            x, y = i * steps[0], j * steps[1]
            yield Window(
                float(x), float(y), float(x + steps[0] + rim[0]), float(y + steps[1] + rim[1])
            )


def _pages(
    windows: Sequence[Window], room: tuple[float, float]
) -> list[list[tuple[Window, float]]]:
    """Windows one below another, each with its depth below the top, mm, page by page."""
    pages: list[list[tuple[Window, float]]] = []
    down = np.inf
    for each in windows:
        high = each.y1 - each.y0
        if down + high > room[1]:
            pages.append([])
            down = 0.0
        pages[-1].append((each, down))
        down += high + 14.0
    return pages


def _sheet(
    spec: PartSpec,
    panel: Panel,
    windows: Sequence[tuple[Window, float]],
    project: str,
    page: tuple[int, int],
) -> Sheet:
    inner = frame_of("A4")
    x0, _, _, y1 = inner
    marks: list[Mark] = [box_line("frame", *inner)]
    for window, down in windows:
        corner = np.array([x0 + 6.0, y1 - 9.0 - down - (window.y1 - window.y0)])
        marks += _window(panel, window, corner)
    marks += _foot(spec, panel, project, page, inner)
    number = f"-{page[0]}" if page[1] > 1 else ""
    wide, high = SIZES["A4"]
    title = f"{spec.name}, template at 1:1{', ' + str(page[0]) if number else ''}"
    return Sheet(f"template-{spec.key}{number}", title, wide, high, tuple(marks), inner)


def _window(panel: Panel, window: Window, corner: Floats) -> list[Mark]:
    """What of the view lies in the window, its least corner at ``corner`` (2,), mm."""
    low = np.array([window.x0, window.y0])
    high = np.array([window.x1, window.y1])
    grown_low, grown_high = low - _RIM, high + _RIM
    marks: list[Mark] = []
    for each in panel.view.visible:
        for piece in clipped(1e3 * (each - panel.low), grown_low, grown_high):
            marks.append(Line(piece - low + corner, "thin"))
    for centre, _ in panel.crosses:
        at = 1e3 * (centre - panel.low)
        if np.all(at >= low) and np.all(at <= high):
            x, y = (at - low + corner).tolist()
            marks += [line("thin", (x - _CROSS, y), (x + _CROSS, y))]
            marks += [line("thin", (x, y - _CROSS), (x, y + _CROSS))]
    return marks + _joints(panel, window, corner)


def _joints(panel: Panel, window: Window, corner: Floats) -> list[Mark]:
    """Dashed lines where the next window takes over."""
    wide, high = window.x1 - window.x0, window.y1 - window.y0
    size = 1e3 * panel.size
    x, y = corner.tolist()
    marks: list[Mark] = []
    for there, at in (
        (window.x0 > 1e-6, x + _OVERLAP / 2),
        (window.x1 < size[0] - 1e-6, x + wide - _OVERLAP / 2),
    ):
        if there:
            marks.append(line("centre", (at, y - 3.0), (at, y + high + 3.0)))
            marks.append(Text(at, y + high + 4.0, "joint", 2.0, "middle"))
    for there, at in (
        (window.y0 > 1e-6, y + _OVERLAP / 2),
        (window.y1 < size[1] - 1e-6, y + high - _OVERLAP / 2),
    ):
        if there:
            marks.append(line("centre", (x - 3.0, at), (x + wide + 3.0, at)))
            marks.append(Text(x + wide + 4.0, at - 0.8, "joint", 2.0))
    return marks


def _foot(
    spec: PartSpec, panel: Panel, project: str, page: tuple[int, int], inner: Box
) -> list[Mark]:
    x0, y0, x1, _ = inner
    top = y0 + _FOOT
    marks: list[Mark] = [line("rule", (x0, top), (x1, top))]
    marks += _ruler(x0 + 8.0, y0 + 5.0)
    marks += _upright_ruler(x1 - 8.0, y0 + _FOOT + 10.0)
    left = x0 + RULER + 22.0
    room = x1 - left - 4.0
    of = f", {page[0]} of {page[1]}" if page[1] > 1 else ""
    name = f"{capital(spec.name)} at 1:1, from above{of}"
    marks.append(Text(left, top - 6.0, shortened(name, room, 3.5, bold=True), 3.5, bold=True))
    holes = "; ".join(words for words, _, _ in panel.notes if not words.split()[-1].startswith("R"))
    lines = [
        shortened(project, room, 2.0),
        *wrapped(holes, room, 1, 2.0),
        *wrapped(_ADVICE, room, 3, 2.0),
    ]
    marks += [Text(left, top - 10.5 - 3.6 * k, each, 2.0) for k, each in enumerate(lines)]
    return marks


def _ruler(x: float, y: float) -> list[Mark]:
    marks: list[Mark] = [line("thin", (x, y), (x + RULER, y))]
    for mm in range(int(RULER) + 1):
        high = 5.0 if mm % 10 == 0 else 3.5 if mm % 5 == 0 else 2.0
        marks.append(line("fine", (x + mm, y), (x + mm, y + high)))
        if mm % 10 == 0:
            marks.append(Text(x + mm, y + 6.0, str(mm), 2.0, "middle"))
    return [
        *marks,
        Text(x + RULER / 2, y + 10.5, "100 mm, to prove the printer's scale", 2.0, "middle"),
    ]


def _upright_ruler(x: float, y: float) -> list[Mark]:
    marks: list[Mark] = [line("thin", (x, y), (x, y + RULER))]
    for mm in range(0, int(RULER) + 1, 5):
        long = 5.0 if mm % 10 == 0 else 3.0
        marks.append(line("fine", (x, y + mm), (x - long, y + mm)))
        if mm % 50 == 0:
            marks.append(Text(x - 6.0, y + mm - 1.0, str(mm), 2.0, "end"))
    return marks
