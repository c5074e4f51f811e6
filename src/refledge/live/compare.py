"""Figures of variants side by side."""

from collections.abc import Sequence


def changes(values: Sequence[float | None]) -> list[float | None]:
    """Relative change of each against the first (1); None for the first and where it means nothing.

    A figure that one of them lacks, or that starts from nought, has no relative change.
    """
    first = values[0]
    if first is None or first == 0.0:
        return [None] * len(values)
    return [None, *(None if value is None else value / first - 1.0 for value in values[1:])]


def differ(values: Sequence[float | None], least: float = 5e-4) -> bool:
    """Whether any differs from the first by more than what three figures show (1)."""
    if any(value is None for value in values):
        return any(value is not None for value in values)
    known = [value for value in values if value is not None]
    scale = max(abs(value) for value in known)
    return max(known) - min(known) > least * scale
