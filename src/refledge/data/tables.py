"""The tables beside this file, as plain rows of text."""

import csv
from functools import cache
from importlib.resources import files
from io import StringIO

from refledge.errors import DataError


@cache
def read_rows(name: str) -> tuple[dict[str, str], ...]:
    """Rows of the table ``name`` such as "screws", each as column name to text.

    Raises DataError when the table is missing, empty, or a row does not match its header.
    """
    source = files("refledge.data").joinpath(f"{name}.csv")
    try:
        text = source.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise DataError(f"table {name!r} cannot be read: {error}") from error
    return parse_rows(text, name)


def parse_rows(text: str, name: str) -> tuple[dict[str, str], ...]:
    """Rows of a comma-separated text whose first line names the columns, one of them source."""
    header, *rows = csv.reader(StringIO(text)) if text.strip() else [[]]
    if "source" not in header or len(set(header)) != len(header):
        raise DataError(f"table {name!r}: the header {header} needs distinct names and a source")
    if not rows:
        raise DataError(f"table {name!r} has no rows")
    for line, row in enumerate(rows, start=2):
        if len(row) != len(header):
            raise DataError(f"table {name!r}, row {line}: {len(row)} cells for {len(header)}")
        if not row[header.index("source")].strip():
            raise DataError(f"table {name!r}, row {line}: no source")
    return tuple(dict(zip(header, row, strict=True)) for row in rows)


def number(row: dict[str, str], column: str, table: str) -> float:
    """The number in one cell."""
    try:
        return float(row[column])
    except (KeyError, ValueError) as error:
        raise DataError(f"table {table!r}: no number under {column!r} in {row}") from error
