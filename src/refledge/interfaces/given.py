"""What the user gave, as files that go into the build, so that it can be made again from itself."""

from dataclasses import replace
from pathlib import Path
from typing import Any

from refledge.errors import InputError, Problem
from refledge.inputs.writing import write_brief_text
from refledge.model.brief import Brief

_TABLES = ("coefficients", "blade_geometry", "thrust_table")


def given_files(brief: Brief) -> dict[str, bytes]:
    """Path in the build to contents: the brief with every default stated, and its tables."""
    files: dict[str, bytes] = {}
    copies: dict[str, Any] = {}
    for field in _TABLES:
        name = getattr(brief.propeller, field)
        if name:
            copies[field] = f"given/{field}.csv"
            files[copies[field]] = _contents(brief, field, name)
    moved = replace(brief, propeller=replace(brief.propeller, **copies))
    return {"brief.toml": write_brief_text(moved).encode("utf-8"), **files}


def _contents(brief: Brief, field: str, name: str) -> bytes:
    path = Path(brief.folder) / name
    try:
        return path.read_bytes()
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        problem = Problem(str(path), f"propeller.{field}", reason, "a file", "put the table there")
        raise InputError(problem) from error
