"""What the user gave, as files that go into the build, so that it can be made again from itself."""

from dataclasses import replace
from pathlib import Path
from typing import Any

from refledge.errors import InputError, Problem
from refledge.inputs.built import GIVEN_ARM
from refledge.inputs.grown import grown_paths
from refledge.inputs.writing import write_brief_text
from refledge.model.brief import Brief
from refledge.whole import reason

_TABLES = (
    ("motor", "thrust_table", "motor_thrust_table"),
    ("propeller", "coefficients", "coefficients"),
    ("propeller", "blade_geometry", "blade_geometry"),
    ("propeller", "thrust_table", "thrust_table"),
)
"""Item, its field, and the file's name in the build."""


def given_files(brief: Brief) -> dict[str, bytes]:
    """Path in the build to contents: the brief with every default stated, and its tables."""
    files: dict[str, bytes] = {}
    copies: dict[str, dict[str, Any]] = {"motor": {}, "propeller": {}}
    for item, field, file in _TABLES:
        name = getattr(getattr(brief, item), field)
        if name:
            copies[item][field] = f"given/{file}.csv"
            files[copies[item][field]] = _contents(brief, f"{item}.{field}", name)
    if brief.frame.grown_arm:
        files |= _grown(brief)
        moved_frame = replace(brief.frame, grown_arm=GIVEN_ARM)
    else:
        moved_frame = brief.frame
    moved = replace(
        brief,
        frame=moved_frame,
        motor=replace(brief.motor, **copies["motor"]),
        propeller=replace(brief.propeller, **copies["propeller"]),
    )
    return {"brief.toml": write_brief_text(moved).encode("utf-8"), **files}


def _grown(brief: Brief) -> dict[str, bytes]:
    """The record under the build's own name, its surface beside it."""
    record, surface = grown_paths(Path(brief.folder) / brief.frame.grown_arm)
    beside = Path(GIVEN_ARM).parent / surface.name
    return {GIVEN_ARM: record.read_bytes(), beside.as_posix(): surface.read_bytes()}


def _contents(brief: Brief, field: str, name: str) -> bytes:
    path = Path(brief.folder) / name
    try:
        return path.read_bytes()
    except OSError as error:
        problem = Problem(str(path), field, reason(error), "a file", "put the table there")
        raise InputError(problem) from error
