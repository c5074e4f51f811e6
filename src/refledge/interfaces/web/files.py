"""Files of the project folder: never outside it, by names that the page may give."""

import re
from pathlib import Path

from refledge.errors import InputError, Problem

PLAIN = re.compile(r"[A-Za-z0-9][A-Za-z0-9 ._-]{0,79}")
"""Names that the page may give to new files and variants."""
HIDDEN = ".refledge"
"""Folder for what the page keeps, inside the project folder."""


def inside(folder: Path, name: str) -> Path:
    """The path of ``name`` in ``folder``; raises PermissionError where it leads out of it."""
    if not name or "\0" in name or "\\" in name:
        raise PermissionError(name)
    root = folder.resolve()
    path = (root / name).resolve()
    if path == root or not path.is_relative_to(root):
        raise PermissionError(name)
    return path


def plain_name(name: str, field: str) -> str:
    """A name of letters, digits, blanks, points and dashes; raises InputError."""
    name = name.strip()
    if PLAIN.fullmatch(name):
        return name
    allowed = "up to 80 letters, digits, blanks, points, dashes; a letter or digit first"
    raise InputError(Problem("name", field, repr(name[:60]), allowed, "choose another name"))
