"""A grown arm, for the page: the same figures as ``refledge shape`` gives."""

from collections.abc import Iterable
from pathlib import Path
from typing import Any

from refledge.outputs.shape_files import remarks, rows
from refledge.shaping.result import Result


def shape_doc(found: Result, written: Iterable[Path], record: str) -> dict[str, Any]:
    """The result of a job ``shape``. record: as ``frame.grown_arm`` would name it, or ""."""
    names = ("figure", "present", "grown", "change")
    return {
        "rows": [dict(zip(names, each, strict=True)) for each in rows(found)],
        "remarks": list(remarks(found)),
        "steps": len(found.shaped.design.history),
        "files": [path.name for path in written],
        "record": record,
        "grounded": found.grounded,
    }
