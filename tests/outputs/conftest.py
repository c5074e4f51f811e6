from pathlib import Path

import pytest

from refledge.outputs.book import book_of
from refledge.outputs.book import pictures as book_pictures
from refledge.outputs.book.blocks import Book
from refledge.study import Study
from tests.outputs.fake_study import fake_study
from tests.outputs.small import COVER, small_build


@pytest.fixture(scope="session")
def study() -> Study:
    return fake_study()


@pytest.fixture(scope="session")
def built(study: Study, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One whole build of the hand-made study; tests only read it."""
    return small_build(study, tmp_path_factory.mktemp("builds") / "build").folder


@pytest.fixture(scope="session")
def book(study: Study) -> Book:
    kept = book_pictures.WIDE, book_pictures.HIGH
    book_pictures.WIDE, book_pictures.HIGH = 240, 150
    try:
        return book_of(study, COVER)
    finally:
        book_pictures.WIDE, book_pictures.HIGH = kept
