"""The book as one HTML page that needs no network and no script."""

from markupsafe import Markup

from refledge.outputs.book.blocks import Book, Diagram
from refledge.outputs.drawing.svg import svg_text
from refledge.outputs.pages import data_uri, style, template


def book_html(book: Book) -> str:
    """The whole page."""
    page = template("book.html", uri=data_uri, inline=_inline, kind=_kind)
    return page.render(book=book, style=style("book.css"))


def _inline(diagram: Diagram) -> Markup:
    return Markup(svg_text(diagram.sheet))  # our own marks, texts escaped by the writer


def _kind(block: object) -> str:
    return type(block).__name__.lower()
