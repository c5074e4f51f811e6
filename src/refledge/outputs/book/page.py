"""The book as one HTML page that needs no network and no script."""

import base64
from functools import cache
from importlib import resources

from jinja2 import Environment, FunctionLoader, StrictUndefined
from markupsafe import Markup

from refledge.outputs.book.blocks import Book, Diagram
from refledge.outputs.drawing.svg import svg_text


def book_html(book: Book) -> str:
    """The whole page."""
    page = _environment().get_template("book.html")
    return page.render(book=book, style=Markup(_template("book.css")))


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=FunctionLoader(_template),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.globals |= {"uri": _data_uri, "inline": _inline, "kind": _kind}
    return environment


def _template(name: str) -> str:
    folder = resources.files("refledge.outputs") / "templates"
    return (folder / name).read_text(encoding="utf-8")


def _data_uri(png: bytes) -> str:
    return "data:image/png;base64," + base64.b64encode(png).decode("ascii")


def _inline(diagram: Diagram) -> Markup:
    return Markup(svg_text(diagram.sheet))  # our own marks, texts escaped by the writer


def _kind(block: object) -> str:
    return type(block).__name__.lower()
