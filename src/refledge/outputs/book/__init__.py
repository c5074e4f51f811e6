"""The build book: what a stranger needs to build the airframe, as a page and on paper."""

from collections.abc import Callable

from refledge.outputs.book.blocks import Book
from refledge.outputs.book.content import book_of
from refledge.study import Study

__all__ = ["Book", "book_files", "book_of"]


def book_files(
    study: Study, cover: bytes, progress: Callable[[str], None] = lambda _what: None
) -> dict[str, bytes]:
    """``book.html`` and ``book.pdf``; ``cover`` is a picture of the whole airframe (PNG)."""
    from refledge.outputs.book.page import book_html  # noqa: PLC0415 - loads the template engine
    from refledge.outputs.book.paper import book_pdf  # noqa: PLC0415 - loads the PDF writer

    book = book_of(study, cover, progress)
    return {"book.html": book_html(book).encode("utf-8"), "book.pdf": book_pdf(book)}
