"""What SQLite refused, in words."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from refledge.errors import StoreError


@contextmanager
def told(path: Path) -> Iterator[None]:
    """Say in words what SQLite refused."""
    try:
        yield
    except sqlite3.Error as error:
        words = str(error)
        step = "try again when the other program is done" if "locked" in words else ""
        if "full" in words:
            step = "make room on the disk; the file with the readings still stands, save it again"
        if "not a database" in words:
            step = "it is no store; name another file"
        raise StoreError(
            f"{path}: {words}. Nothing was changed{'; ' + step if step else ''}."
        ) from error
