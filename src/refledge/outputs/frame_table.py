"""Airframes side by side, in the units of the trade."""

from collections.abc import Iterator, Sequence
from dataclasses import fields
from typing import Any

from refledge.model.fields import FieldInfo, info_of
from refledge.model.frame_figures import FrameFigures
from refledge.units import show

_SKIPPED = ("name", "verdicts")


def frame_rows(frames: Sequence[FrameFigures]) -> Iterator[tuple[str, ...]]:
    """What, and what each airframe has of it; of two the change last."""
    for each in fields(FrameFigures):
        if each.name in _SKIPPED:
            continue
        info, values = info_of(each), [getattr(frame, each.name) for frame in frames]
        row = (info.meaning, *(_said(value, info) for value in values))
        yield (*row, _change(values)) if len(frames) == 2 else row
    for number, (verdict, _) in enumerate(frames[0].verdicts):
        row = (f"checks: {verdict}", *(str(frame.verdicts[number][1]) for frame in frames))
        yield (*row, "") if len(frames) == 2 else row


def frame_heads(frames: Sequence[FrameFigures]) -> tuple[str, ...]:
    """Heads of the columns of ``frame_rows``."""
    heads = ("", *(frame.name for frame in frames))
    return (*heads, "change") if len(frames) == 2 else heads


def frame_lines(frames: Sequence[FrameFigures]) -> Iterator[str]:
    """The table as text."""
    return table_lines([frame_heads(frames), *frame_rows(frames)])


def table_lines(table: Sequence[tuple[str, ...]]) -> Iterator[str]:
    """Names at the left, figures at the right of their columns."""
    widths = [max(len(cell) for cell in column) for column in zip(*table, strict=True)]
    for name, *cells in table:
        rest = (f"{cell:>{width}}" for cell, width in zip(cells, widths[1:], strict=True))
        yield "  ".join([f"{name:<{widths[0]}}", *rest]).rstrip()


def _said(value: Any, info: FieldInfo) -> str:
    if isinstance(value, str):
        return value
    if isinstance(value, tuple):
        return " to ".join(f"{each:.2f}" for each in value)
    return show(value, info.unit, info.shown).replace("**2", "²").replace("**3", "³")


def _change(values: Sequence[Any]) -> str:
    """Of the second against the first, where both are numbers and the first is not nil."""
    old, new = values
    if not isinstance(old, float) or old == 0.0:
        return ""
    change = round(100 * (new / old - 1))
    return f"{change:+d} %".replace("-", "−") if change else "none"
