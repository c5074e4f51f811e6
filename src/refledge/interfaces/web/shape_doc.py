"""A grown arm, for the page: the same figures as ``refledge shape`` gives."""

from collections.abc import Iterable
from pathlib import Path
from typing import Any

from refledge.outputs.frame_table import frame_heads, frame_rows
from refledge.outputs.shape_files import remarks, rows
from refledge.outputs.shape_rounds import (
    ROUND_WORDS,
    framed_verdict,
    open_checks,
    round_heads,
    round_rows,
)
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
        "verdict": framed_verdict(found),
        "open": list(open_checks(found)),
        "frames": _table(frame_heads(found.frames), frame_rows(found.frames))
        if found.frames
        else None,
        "rounds": _table(round_heads(found), round_rows(found)) | {"words": ROUND_WORDS}
        if found.rounds
        else None,
    }


def _table(heads: Iterable[str], rows: Iterable[tuple[str, ...]]) -> dict[str, Any]:
    return {"heads": list(heads), "rows": [list(row) for row in rows]}
