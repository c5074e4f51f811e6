"""Sheets as one PDF, each page as large as its sheet. The same sheets give the same bytes."""

import io
from collections.abc import Sequence
from typing import Any

from refledge.outputs.drawing.lettering import CAP, registered, settable
from refledge.outputs.drawing.marks import STROKES, Area, Line, Mark, Picture, Sheet, Text
from refledge.typed import Floats

POINTS = 72 / 25.4
"""Points to a millimetre."""


def pdf_bytes(sheets: Sequence[Sheet], title: str) -> bytes:
    """All sheets, one to a page, with an outline to jump by."""
    from reportlab.pdfgen.canvas import Canvas  # noqa: PLC0415 - loads the PDF writer

    out = io.BytesIO()
    canvas = Canvas(out, invariant=1, pageCompression=1)
    canvas.setTitle(title)
    canvas.setAuthor("Refledge")
    for sheet in sheets:
        canvas.setPageSize((sheet.wide * POINTS, sheet.high * POINTS))
        canvas.bookmarkPage(sheet.key)
        canvas.addOutlineEntry(settable(sheet.title), sheet.key)
        canvas.scale(POINTS, POINTS)
        paint(canvas, sheet.marks)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def paint(canvas: Any, marks: Sequence[Mark]) -> None:
    """Draw ``marks`` on a PDF canvas whose unit is the millimetre."""
    canvas.setLineJoin(1)
    for mark in marks:
        if isinstance(mark, Line):
            wide, dashes = STROKES[mark.kind]
            canvas.setLineWidth(wide)
            canvas.setDash(list(dashes))
            canvas.drawPath(_path(canvas, (mark.points,), closed=False))
        elif isinstance(mark, Area):
            canvas.setFillGray(mark.grey)
            path = _path(canvas, mark.loops, closed=True)
            canvas.drawPath(path, stroke=0, fill=1, fillMode=0)
            canvas.setFillGray(0)
        elif isinstance(mark, Picture):
            _picture(canvas, mark)
        else:
            _words(canvas, mark)


def _path(canvas: Any, lines: Sequence[Floats], *, closed: bool) -> Any:
    path = canvas.beginPath()
    for points in lines:
        (x, y), *rest = points.tolist()
        path.moveTo(x, y)
        for x, y in rest:
            path.lineTo(x, y)
        if closed:
            path.close()
    return path


def _picture(canvas: Any, mark: Picture) -> None:
    from reportlab.lib.utils import ImageReader  # noqa: PLC0415 - loads the PDF writer

    canvas.drawImage(ImageReader(io.BytesIO(mark.png)), mark.x, mark.y, mark.wide, mark.high)


def _words(canvas: Any, text: Text) -> None:
    canvas.saveState()
    canvas.translate(text.x, text.y)
    canvas.rotate(text.turn)
    canvas.setFont(registered(bold=text.bold), text.height / CAP)
    draw = {
        "start": canvas.drawString,
        "middle": canvas.drawCentredString,
        "end": canvas.drawRightString,
    }[text.anchor]
    draw(0, 0, settable(text.words))
    canvas.restoreState()
