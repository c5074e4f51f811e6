"""What was asked for, in words and in metres."""

from typing import Any

from refledge.errors import InputError, Problem
from refledge.inputs.field_edits import Edit
from refledge.live.dimensions import RULES, unknown
from refledge.units import UnitError, to_si


def edit_words(edits: list[Edit]) -> str:
    """Such as ``motor.mass: 90 g``."""
    return "; ".join(_one(edit) for edit in edits)


def _one(edit: Edit) -> str:
    if edit.add is not None:
        return f"{edit.path}: {edit.add.get('name', 'an item')} added"
    if edit.remove:
        return f"{edit.path} taken out"
    return f"{edit.path}: {'struck out' if edit.value is None else edit.value}"


def length(path: str, value: Any) -> float:
    """A length typed with its unit, m; raises InputError."""
    if path not in RULES:
        raise InputError(unknown(path, list(RULES)))
    try:
        return to_si(str(value), "m")
    except UnitError as error:
        allowed, step = 'a length with its unit, such as "24 mm"', "write it with its unit"
        raise InputError(Problem("dimensions", path, str(error), allowed, step)) from error
