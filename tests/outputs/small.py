"""Builds with small pictures, so that tests about everything else are quick."""

from pathlib import Path

import numpy as np

from refledge.outputs import pictures
from refledge.outputs.book import pictures as book_pictures
from refledge.outputs.build import BuildReport, write_build
from refledge.outputs.render import png_bytes
from refledge.study import Study

COVER = png_bytes(np.full((20, 30, 3), 200, dtype=np.uint8))
"""A picture to put on the book's cover."""

GIVEN = {"brief.toml": b'title = "as given"\n', "given/coefficients.csv": b"rpm,CT,CP\n"}


def shrink_pictures() -> None:
    """Draw every picture at about a twentieth of its pixels from now on."""
    pictures._VIEWS = {  # type: ignore[misc]
        name: (azimuth, elevation, 240, 160)
        for name, (azimuth, elevation, _, _) in pictures._VIEWS.items()
    }
    pictures._PART_VIEW = (*pictures._PART_VIEW[:2], 140, 100)  # type: ignore[misc]
    book_pictures.WIDE, book_pictures.HIGH = 180, 112
    book_pictures._PART_VIEW = (*book_pictures._PART_VIEW[:2], 90, 63)  # type: ignore[misc]


def small_build(study: Study, folder: Path) -> BuildReport:
    kept = pictures._VIEWS, pictures._PART_VIEW
    shrink_pictures()
    try:
        return write_build(study, folder, GIVEN)
    finally:
        pictures._VIEWS, pictures._PART_VIEW = kept  # type: ignore[misc]
