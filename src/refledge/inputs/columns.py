"""Columns of numbers from a CSV file whose header names each with its unit."""

import csv
import re
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from refledge.errors import InputError, Problem
from refledge.inputs.files import read_text
from refledge.inputs.values import as_given
from refledge.typed import Floats
from refledge.units import UnitError, to_si

_HEADER = re.compile(r"\s*([^()\s][^()]*?)\s*(?:\(\s*([^()]*?)\s*\))?\s*")


@dataclass(frozen=True)
class Column:
    """One column that a table may have."""

    name: str
    unit: str
    """SI unit that it is read into."""
    written: str
    """How a header should look, such as ``thrust (gf)``."""
    implied: str = ""
    """Unit of a header that states none; "" where it must state one."""
    low: float = 0.0
    """Values must lie above this (SI) ..."""
    high: float = float("inf")
    """... and not above this."""


@dataclass(frozen=True, eq=False)
class Table:
    """Good columns of one file, in the order of its rows."""

    source: str
    """Name of the file and its comment lines."""
    lines: tuple[int, ...]
    """Line of each row."""
    values: dict[str, Floats]
    """(n,), SI, by name of the column."""


class TableReader:
    """Reads one file, collecting what is wrong with it."""

    def __init__(self, path: Path, columns: tuple[Column, ...]) -> None:
        self.path = path
        self.columns = {column.name.casefold(): column for column in columns}
        self.problems: list[Problem] = []

    def read(self) -> Table:
        """All known columns; unknown ones are left alone. Raises InputError when any is bad."""
        comments, rows = self._rows()
        if not rows:
            self.fault(1, "file", "no header and no rows", self._headers(), "fill it")
            self.stop()
        (head_line, header), *body = rows
        known = self._header(head_line, header)
        self.stop()
        whole = [(line, row) for line, row in body if self._whole(line, row, header)]
        values = {
            column.name: np.array([self._cell(line, row[i], column, unit) for line, row in whole])
            for i, (column, unit) in known.items()
        }
        self.stop()
        source = "; ".join([self.path.name, *comments])
        return Table(source, tuple(line for line, _ in whole), values)

    def fault(self, line: int, field: str, given: str, allowed: str, step: str) -> None:
        """Note one thing wrong."""
        self.problems.append(Problem(f"{self.path.name}:{line}", field, given, allowed, step))

    def stop(self) -> None:
        """Raise what has been noted so far."""
        if self.problems:
            raise InputError(*self.problems)

    def _rows(self) -> tuple[list[str], list[tuple[int, list[str]]]]:
        comments, rows = [], []
        text = read_text(self.path, "a table of comma-separated values")
        for line, content in enumerate(text.splitlines(), start=1):
            if content.lstrip().startswith("#"):
                comments.append(content.strip().lstrip("# "))
            elif content.strip():
                rows.append((line, next(csv.reader([content]))))
        return [each for each in comments if each], rows

    def _header(self, line: int, header: list[str]) -> dict[int, tuple[Column, str]]:
        known: dict[int, tuple[Column, str]] = {}
        for index, cell in enumerate(header):
            match = _HEADER.fullmatch(cell)
            column = self.columns.get(match[1].casefold()) if match else None
            if not match or column is None:
                continue
            unit = match[2] or column.implied
            if column in [each for each, _ in known.values()]:
                self.fault(line, column.name, "two columns of this name", "one", "strike one out")
            elif not self._converts(unit, column):
                step = f'head the column "{column.written}"'
                self.fault(line, column.name, as_given(cell), f'"{column.written}"', step)
            known[index] = (column, unit)
        if not known:
            step = "name the columns in the first line, separated by commas"
            self.fault(line, "header", as_given(",".join(header)), self._headers(), step)
        return known

    def _converts(self, unit: str, column: Column) -> bool:
        try:
            to_si(f"1 {unit}", column.unit)
        except UnitError:
            return False
        return True

    def _whole(self, line: int, row: list[str], header: list[str]) -> bool:
        if len(row) == len(header):
            return True
        given = f"{len(row)} cells"
        self.fault(line, "row", given, f"{len(header)}, as the header", "complete this line")
        return False

    def _cell(self, line: int, cell: str, column: Column, unit: str) -> float:
        limits = f"a number above {column.low:g}"
        if np.isfinite(column.high):
            limits += f", up to {column.high:g}"
        try:
            value = to_si(f"{float(cell)!r} {unit}", column.unit)
        except ValueError:  # UnitError is one
            self.fault(line, column.name, as_given(cell), limits, "correct this cell")
            return float("nan")
        if not column.low < value <= column.high:
            step = "strike this line out, or correct it"
            self.fault(line, column.name, f"{cell.strip()} {unit}", f"{limits} {column.unit}", step)
        return value

    def _headers(self) -> str:
        return ", ".join(f'"{column.written}"' for column in self.columns.values())
