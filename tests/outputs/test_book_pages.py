"""The build book as a page and on paper: no network, the same words, whole steps."""

import io
import re
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import pytest
from pypdf import PdfReader

from refledge.outputs.book import book_of
from refledge.outputs.book import pictures as book_pictures
from refledge.outputs.book.blocks import Book, Points, Words
from refledge.outputs.book.page import book_html
from refledge.outputs.book.paper import book_pdf
from refledge.study import Study
from tests.outputs.small import COVER
from tests.outputs.test_book import steps


class _Page(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.links: list[str] = []
        self.ids: set[str] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        for name, value in attrs:
            if name in ("src", "href"):
                self.links.append(value or "")
            if name == "id":
                self.ids.add(value or "")
        assert tag not in ("script", "link", "iframe")


def test_the_page_needs_no_network(built: Path) -> None:
    page = _Page()
    page.feed((built / "book.html").read_text(encoding="utf-8"))
    assert page.links
    for link in page.links:
        if link.startswith("#"):
            assert link[1:] in page.ids
        else:
            assert link.startswith("data:image/png;base64,") or (built / link).is_file()


def test_page_and_paper_say_the_same(book: Book) -> None:
    paper = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(book_pdf(book))).pages)
    squeezed, page = re.sub(r"\s+", "", paper), book_html(book)
    for chapter in book.chapters:
        assert chapter.title in page
        assert re.sub(r"\s+", "", chapter.title) in squeezed
    for words in (
        "Tighten in two rounds",
        "swap two of its three leads",
        "Land at the first doubt",
    ):
        assert words in page
        assert re.sub(r"\s+", "", words) in squeezed


def test_the_paper_has_contents_pages_and_numbers(book: Book) -> None:
    data = book_pdf(book)
    assert data == book_pdf(book)
    reader = PdfReader(io.BytesIO(data))
    assert len(reader.outline) == len(book.chapters)
    assert len(reader.pages) >= 6
    for number, page in enumerate(reader.pages, 1):
        assert page.extract_text().strip(), f"page {number} is empty"
        assert float(page.mediabox.width) == pytest.approx(595.28, abs=0.1)
        assert re.search(rf"\b{number}\b", page.extract_text())


@pytest.mark.parametrize("lines", [5, 15, 25])
def test_a_step_is_not_torn_apart_by_a_page(book: Book, lines: int) -> None:
    """Its heading and the last words of its instructions stand on one page, wherever it comes."""
    filler, chosen = (
        tuple(Words("filler") for _ in range(lines)),
        max(steps(book), key=lambda each: len(str(each.blocks[1:]))),
    )
    long = replace(book, chapters=(replace(book.chapters[0], blocks=(*filler, chosen)),))
    pages = [page.extract_text() for page in PdfReader(io.BytesIO(book_pdf(long))).pages]
    (at,) = [k for k, page in enumerate(pages) if f"Step {chosen.number}: " in page]
    said = [block.items[-1] for block in chosen.blocks if isinstance(block, Points)]
    assert said
    for words in said:
        assert re.sub(r"\s+", "", words) in re.sub(r"\s+", "", pages[at])


def test_words_of_the_brief_cannot_break_the_book(study: Study) -> None:
    evil = '<b>&"湖" {nozzle} %s'
    spec = replace(study.parts[0], name=evil, print_note=evil)
    changed = replace(study, parts=(spec, *study.parts[1:]), notes=(evil,))
    changed = replace(changed, brief=replace(changed.brief, title=evil))
    kept = book_pictures.WIDE, book_pictures.HIGH
    book_pictures.WIDE, book_pictures.HIGH = 120, 75
    try:
        made = book_of(changed, COVER)
    finally:
        book_pictures.WIDE, book_pictures.HIGH = kept
    assert '<b>&"' not in book_html(made)
    text = PdfReader(io.BytesIO(book_pdf(made))).pages[0].extract_text()
    assert "question marks" in text
