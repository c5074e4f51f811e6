"""Hole patterns in common use, for hints."""

from refledge.data.tables import read_rows
from refledge.errors import DataError


def common_patterns(kind: str) -> tuple[str, ...]:
    """Texts such as "M3 16x19" in common use for a ``kind``: motor or controller."""
    found = tuple(row["pattern"] for row in read_rows("hole_patterns") if row["kind"] == kind)
    if not found:
        raise DataError(f"hole_patterns: no rows of kind {kind!r}")
    return found
