"""Prints that were made: minutes and grams, from CSV."""

import csv
from dataclasses import dataclass
from pathlib import Path

from refledge.errors import InputError, Problem
from refledge.inputs.files import read_text

_HEADS = ("part", "copies", "minutes", "grams")
_NEXT = "write a header line part,copies,minutes,grams and a line for each print"


@dataclass(frozen=True)
class PrintRow:
    """One print of copies of one part."""

    part: str
    copies: int
    seconds: float
    kilograms: float
    """All copies with their support; 0 where it was not weighed."""
    line: int


def read_print_records(path: str | Path) -> tuple[PrintRow, ...]:
    """Rows of a CSV with the columns part, copies, minutes, grams (grams may be left empty).

    Raises InputError with every problem.
    """
    file = Path(path)
    text = read_text(file, "a list of prints")
    rows = list(csv.reader(text.splitlines()))
    heads = [head.strip().lower() for head in rows[0]] if rows else []
    if missing := [head for head in _HEADS if head not in heads]:
        given = ", ".join(heads) or "nothing"
        allowed = ", ".join(_HEADS)
        lacks = f"header ({', '.join(missing)})"
        raise InputError(Problem(f"{file.name}:1", lacks, given, allowed, _NEXT))
    problems: list[Problem] = []
    found = []
    for number, row in enumerate(rows[1:], 2):
        if not any(cell.strip() for cell in row) or row[0].lstrip().startswith("#"):
            continue
        cells = dict(zip(heads, (cell.strip() for cell in row), strict=False))
        copies = _number(file, number, cells, "copies", problems, low=1)
        minutes = _number(file, number, cells, "minutes", problems, low=0.1)
        grams = _number(file, number, cells, "grams", problems, low=0.0, empty=0.0)
        found.append(
            PrintRow(cells.get("part", ""), int(copies), 60 * minutes, grams / 1e3, number)
        )
    if problems:
        raise InputError(*problems)
    return tuple(found)


def _number(
    file: Path,
    line: int,
    cells: dict[str, str],
    head: str,
    problems: list[Problem],
    *,
    low: float,
    empty: float | None = None,
) -> float:
    """A cell as a number; what is wrong with it joins ``problems``."""
    given = cells.get(head, "")
    if not given and empty is not None:
        return empty
    try:
        value = float(given)
    except ValueError:
        value = float("nan")
    if not low <= value < 1e6:
        allowed = f"a number from {low:g}"
        problems.append(
            Problem(f"{file.name}:{line}", head, given or "nothing", allowed, "mend the line")
        )
        return low
    return value
