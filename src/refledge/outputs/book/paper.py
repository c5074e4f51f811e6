"""The book as a PDF on A4. The same book gives the same bytes."""

import io
from collections.abc import Iterator
from typing import Any
from xml.sax.saxutils import escape

from reportlab.lib.pagesizes import A4
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.utils import ImageReader
from reportlab.platypus import (
    BaseDocTemplate,
    CondPageBreak,
    Flowable,
    Frame,
    Image,
    KeepTogether,
    PageBreak,
    PageTemplate,
    Paragraph,
    Spacer,
    Table,
)
from reportlab.platypus.tableofcontents import TableOfContents

from refledge.outputs.book.blocks import (
    Block,
    Book,
    Caution,
    Diagram,
    Gallery,
    Grid,
    Photo,
    Points,
    Step,
    Words,
)
from refledge.outputs.drawing.lettering import lacks, registered, settable
from refledge.outputs.drawing.marks import Sheet
from refledge.outputs.drawing.pdf import POINTS, paint

_LEFT, _RIGHT, _TOP, _FOOT = (mm * POINTS for mm in (20.0, 15.0, 16.0, 18.0))
_WIDE = A4[0] - _LEFT - _RIGHT
_MOST_HIGH = 118.0 * POINTS
"""No picture takes more than half a page."""
_ROOM = 95.0 * POINTS
"""A chapter starts on a new page where less than this is left."""
_LETTERS = (
    "Some letters of the brief are not in the PDF's font and stand as question marks; "
    "book.html has them all."
)


def book_pdf(book: Book) -> bytes:
    """The whole book with contents and page numbers."""
    out = io.BytesIO()
    document = _Pages(out, book)
    document.multiBuild(list(_story(book)))
    return out.getvalue()


def _style(name: str, size: float, **changes: Any) -> ParagraphStyle:
    bold = changes.pop("bold", False)
    return ParagraphStyle(
        name, fontName=registered(bold=bold), fontSize=size, leading=1.35 * size, **changes
    )


class _Styles:
    """Made when first asked for: fonts are known by then."""

    def __init__(self) -> None:
        self.plain = _style("plain", 9, spaceAfter=5)
        self.cell = _style("cell", 7.6)
        self.number = _style("number", 7.6, alignment=2)
        self.head = _style("head", 7.6, textColor="#444444")
        self.head_number = _style("headn", 7.6, textColor="#444444", alignment=2)
        self.caption = _style("caption", 7.6, textColor="#444444", spaceAfter=8)
        self.table = _style("table", 9, bold=True, spaceBefore=4, spaceAfter=3)
        self.title = _style("title", 26, bold=True, spaceAfter=10)
        self.chapter = _style("chapter", 17, bold=True, spaceAfter=9)
        self.step = _style("step", 12, bold=True, spaceBefore=8, spaceAfter=6)
        self.listed = _style("listed", 9, leftIndent=16, spaceAfter=3)
        self.caution = _style("caution", 9, bold=True, spaceAfter=2)
        self.contents = _style("contents", 9.5, leftIndent=0, spaceAfter=3)


class _Pages(BaseDocTemplate):  # type: ignore[misc]
    """Page frame, footer, and entries of the contents."""

    def __init__(self, out: io.BytesIO, book: Book) -> None:
        super().__init__(
            out, pagesize=A4, title=f"{book.title}: {book.subtitle}", author="Refledge", invariant=1
        )
        self._footer = settable(f"{book.title}, {book.subtitle.lower()}")
        frame = Frame(_LEFT, _FOOT, _WIDE, A4[1] - _TOP - _FOOT, 0, 0, 0, 0)
        self.addPageTemplates(PageTemplate("plain", [frame], onPage=self._draw_footer))

    def _draw_footer(self, canvas: Any, _document: Any) -> None:
        canvas.setFont(registered(), 7.5)
        canvas.drawString(_LEFT, 10 * POINTS, self._footer)
        canvas.drawRightString(A4[0] - _RIGHT, 10 * POINTS, str(canvas.getPageNumber()))

    def afterFlowable(self, flowable: Any) -> None:
        """Chapters go into the contents and the outline."""
        if isinstance(flowable, Paragraph) and flowable.style.name == "chapter":
            words = flowable.getPlainText()
            key = f"chapter-{words}"
            self.canv.bookmarkPage(key)
            self.canv.addOutlineEntry(words, key, 0)
            self.notify("TOCEntry", (0, escape(words), self.page, key))


def _story(book: Book) -> Iterator[Flowable]:
    s = _Styles()
    yield _para(f"{book.subtitle}, Refledge {book.version}", s.caption)
    yield _para(book.title, s.title)
    yield from _photo(book.cover, s)
    pairs = [(_para(name, s.head), _para(value, s.cell)) for name, value in book.facts]
    yield Table(pairs, colWidths=[0.2 * _WIDE, 0.8 * _WIDE], style=_RULES, hAlign="LEFT")
    yield Spacer(1, 10)
    yield _para(
        "General arrangement, drawings of every part and templates at 1:1 are in drawings.pdf.",
        s.plain,
    )
    if any(lacks(words) for words in _texts(book)):
        yield _para(_LETTERS, s.plain)
    contents = TableOfContents()
    contents.levelStyles = [s.contents]
    contents.dotsMinLevel = 0
    yield _para("Contents", s.table)
    yield contents
    for number, chapter in enumerate(book.chapters, 1):
        yield PageBreak() if number == 1 else CondPageBreak(_ROOM)
        yield Spacer(1, 0 if number == 1 else 14)
        yield _para(f"{number}  {chapter.title}", s.chapter)
        for block in chapter.blocks:
            yield from _block(block, s)
    if book.notes:
        yield CondPageBreak(80 * POINTS)
        yield _para("Assumed in this book", s.table)
        yield from _block(Points(book.notes), s)


def _texts(book: Book) -> Iterator[str]:
    """Texts that a user's own words may be in."""
    yield book.title
    yield from (value for _, value in book.facts)
    for chapter in book.chapters:
        for block in chapter.blocks:
            if isinstance(block, Grid):
                yield from (cell for row in block.rows for cell in row)


_RULES = [
    ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ("LINEBELOW", (0, 0), (-1, -1), 0.4, "#aaaaaa"),
    ("LEFTPADDING", (0, 0), (0, -1), 0),
    ("LEFTPADDING", (1, 0), (-1, -1), 5),
    ("RIGHTPADDING", (0, 0), (-1, -1), 5),
    ("TOPPADDING", (0, 0), (-1, -1), 2.5),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 2.5),
]


def _para(words: str, style: ParagraphStyle) -> Paragraph:
    return Paragraph(escape(settable(words)), style)


def _block(block: Block, s: _Styles) -> Iterator[Flowable]:
    if isinstance(block, Words):
        yield _para(block.text, s.plain)
    elif isinstance(block, Points):
        yield from _points(block, s)
    elif isinstance(block, Grid):
        yield from _grid(block, s)
    elif isinstance(block, Caution):
        yield from _caution(block, s)
    elif isinstance(block, Photo):
        yield KeepTogether(list(_photo(block, s)))
    elif isinstance(block, Diagram):
        yield KeepTogether([_Drawn(block.sheet), _para(block.caption, s.caption)])
    elif isinstance(block, Gallery):
        yield from _gallery(block, s)
    else:
        yield from _step(block, s)


def _step(step: Step, s: _Styles) -> Iterator[Flowable]:
    """All of it on one page where a page holds it."""
    inner = [
        list(_photo(block, s) if isinstance(block, Photo) else _block(block, s))
        for block in step.blocks
    ]
    heading = _para(f"Step {step.number}: {step.title}", s.step)
    yield KeepTogether([heading, *(each for flowables in inner for each in flowables)])


def _points(block: Points, s: _Styles) -> Iterator[Flowable]:
    for number, item in enumerate(block.items, 1):
        mark: Flowable = (
            _Box() if block.boxes else _para(f"{number}." if block.numbered else "–", s.plain)
        )
        row = Table(
            [[mark, _para(item, s.plain)]], colWidths=[16, _WIDE - 16], style=_LISTED, hAlign="LEFT"
        )
        yield row
    yield Spacer(1, 5)


_LISTED = [
    ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ("LEFTPADDING", (0, 0), (-1, -1), 0),
    ("RIGHTPADDING", (0, 0), (-1, -1), 0),
    ("TOPPADDING", (0, 0), (-1, -1), 0),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 0),
]


def _grid(block: Grid, s: _Styles) -> Iterator[Flowable]:
    if block.caption:
        yield CondPageBreak(40 * POINTS)
        yield _para(block.caption, s.table)
    count = len(block.head)
    shares = block.widths or (1.0 / count,) * count
    rows = [
        [_para(h, s.head_number if k in block.right else s.head) for k, h in enumerate(block.head)]
    ]
    rows += [
        [_para(cell, s.number if k in block.right else s.cell) for k, cell in enumerate(row)]
        for row in block.rows
    ]
    rules = [*_RULES, ("LINEBELOW", (0, 0), (-1, 0), 0.8, "#000000")]
    yield Table(
        rows,
        colWidths=[share * _WIDE for share in shares],
        style=rules,
        repeatRows=1,
        hAlign="LEFT",
    )
    yield Spacer(1, 9)


def _caution(block: Caution, s: _Styles) -> Iterator[Flowable]:
    inside = [_para(f"Caution: {block.name}", s.caution), _para(block.text, s.plain)]
    box = [
        ("BOX", (0, 0), (-1, -1), 1.2, "#000000"),
        ("LINEBEFORE", (0, 0), (0, -1), 7, "#000000", 0),
        ("LEFTPADDING", (0, 0), (-1, -1), 12),
    ]
    yield Table([[inside]], colWidths=[_WIDE], style=box, hAlign="LEFT")
    yield Spacer(1, 7)


def _photo(photo: Photo, s: _Styles, wide: float = _WIDE) -> Iterator[Flowable]:
    across, down = ImageReader(io.BytesIO(photo.png)).getSize()
    width = wide * photo.share
    width = min(width, _MOST_HIGH * across / down)
    yield Image(io.BytesIO(photo.png), width, width * down / across, hAlign="LEFT")
    if photo.caption:
        yield _para(photo.caption, s.caption)


def _gallery(gallery: Gallery, s: _Styles, columns: int = 3) -> Iterator[Flowable]:
    wide = _WIDE / columns
    cells = [list(_photo(photo, s, wide - 8)) for photo in gallery.photos]
    cells += [[] for _ in range(-len(cells) % columns)]
    rows = [cells[k : k + columns] for k in range(0, len(cells), columns)]
    style = [*_LISTED, ("RIGHTPADDING", (0, 0), (-1, -1), 8)]
    yield Table(rows, colWidths=[wide] * columns, style=style, hAlign="LEFT")


class _Box(Flowable):  # type: ignore[misc]
    """A box to tick."""

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        return 10, 11

    def draw(self) -> None:
        self.canv.setLineWidth(0.8)
        self.canv.rect(0.5, 1.5, 7.5, 7.5)


class _Drawn(Flowable):  # type: ignore[misc]
    """A sheet painted where it stands in the text."""

    def __init__(self, sheet: Sheet) -> None:
        super().__init__()
        self._sheet = sheet
        self._scale = min(0.8 * _WIDE / sheet.wide, _MOST_HIGH / sheet.high)

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        return self._sheet.wide * self._scale, self._sheet.high * self._scale

    def draw(self) -> None:
        self.canv.saveState()
        self.canv.scale(self._scale, self._scale)
        paint(self.canv, self._sheet.marks)
        self.canv.restoreState()
